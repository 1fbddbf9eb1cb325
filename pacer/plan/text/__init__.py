"""The text of a plan: write it from a plan, edit it, and read it while the coach types.

**Decided**

- On the screen a line is named by its section and its own first words (`pacer/plan/text/linename.py`); line
  numbers are for the command line.
"""
