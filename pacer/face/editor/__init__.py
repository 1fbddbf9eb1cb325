"""Pages on which a plan or a set is written.

**Decided**

- A plan is written on a ruled page (`plantextpage.py`): the chosen lane's times in the left margin, the strip of all
  lanes along the foot, nothing beside the text. Words differ by weight; colour is only for errors. Times move with
  their lines until they are worked out again.
- Notes about a plan never move its lines (`notetiming.py`, `notetiles.py`): while keys come there is only a mark and an
  underline; the notes of the current line, with their fixes, are between the text and the strip, in a place always
  reserved for them. A touch means what was painted when the finger came down. A page that is not in the window takes
  no key (`Page._on_key`): a page under the editor once pressed its own keys. Checked by
  `tests/face/editor/test_notetiming.py`, `test_editorpage.py`, `test_journeys.py`.
"""
