"""A coach's line as parts: how often, how far, how, on which interval, with which rest; all other words are its note.

Used where the notation can't read a line. `bits` cuts the line, `partreader` finds the parts, `partwriter` writes them
as a plan's lines. Every number either has a place in a part or is in a note.
"""
