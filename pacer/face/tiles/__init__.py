"""Tiles, keys and the frame of a page.

**Decided**

- Letters of our own stand where no keyboard comes (`letters.py`, `footletters.py`), all 26 at a wet thumb's size,
  in the order of an English keyboard where they fit so; on the sheet of a running session there is room for fifteen
  at a time (`pacer.face.deck`).
- One grid, two sizes of it (`Glass.hands`): WET while a session runs and for test swims, 15 mm to be touched and read
  from 1 m; DRY, 0.6 of that, on the pages before and after it: 9 mm, read from 60 cm. Four sizes of type
  (`show/measure/typesizes.py`). Refused: a style of its own for each page.
  Evidence: `tests/face/pages/test_pagesizes.py`.
- A board says where there is more (`board.py`): a strip along its foot, in words, with an arrow; at rest it stops where
  a tile or a row of words begins, and draws no part of one. The sheet beside a session fills its height with whole rows
  and keeps the mark at its side.
"""
