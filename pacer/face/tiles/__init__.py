"""Tiles, keys and the frame of a page.

**Decided**

- Where no keyboard comes up, there are letters of our own (`letters.py`, `footletters.py`), all 26 at a wet thumb's
  size, in the order of an English keyboard if they fit that way; the sheet of a running session has room for fifteen
  at a time (`pacer.face.deck`).
- One grid in two sizes (`Glass.hands`): WET while a session runs and for test swims, 15 mm to touch, read from 1 m;
  DRY, 0.6 of that, on the pages before and after: 9 mm, read from 60 cm. Four sizes of type
  (`show/measure/typesizes.py`). A page with few things on it is larger (`pagegrid.py`).
  Rejected: a style for each page. Checked by `tests/face/pages/test_pagesizes.py`.
- A board says where there is more (`board.py`): a strip along its foot, in words, with an arrow; at rest it stops at
  the beginning of a tile or a row of words, and draws no part of one. The sheet beside a session fills its height with
  whole rows and has a mark at its side instead.
"""
