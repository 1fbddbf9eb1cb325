"""Pages that a plan or a set is written on.

**Decided**

- What is said of a plan moves no line of it (`remarks.py`, `linetiles.py`): while keys come there is a mark and an
  underline; what is said of the line in hand, with its fixes, stands where the totals are: beside the text across,
  below it upright or over a soft keyboard. What is touched is what was painted when the finger came down. A page
  that is off the window takes no key (`Page._on_key`): one that lay under the editor once pressed its own. Keys
  that add a row stand above the rows. Evidence: `tests/face/editor/test_remarks.py`, `test_journeys.py`.
"""
