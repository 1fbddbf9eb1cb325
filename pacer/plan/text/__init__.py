"""The text of a plan: written anew, edited, read again while it is written.

**Decided**

- A line is named by its section and its own first words (`pacer/plan/text/whereabouts.py`), on the glass; numbers
  are for the command line.
"""
