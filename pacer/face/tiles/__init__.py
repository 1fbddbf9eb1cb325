"""Tiles, keys and the frame of a page.

**Decided**

- Letters of our own stand where no keyboard comes (`letters.py`, `footletters.py`), all 26 at a wet thumb's size,
  in the order of an English keyboard where they fit so; on the sheet of a running session there is room for fifteen
  at a time (`pacer.face.deck`).
"""
