"""Pages that a plan or a set is written on.

**Decided**

- A plan is written on a ruled page (`writtenpage.py`): times of the lane in hand in the left margin, the strip of all
  lanes along the foot, nothing beside the text. Words differ by weight; colour is for what is wrong. Times go with
  their lines until they are worked out anew.
- What is said of a plan moves no line of it (`remarks.py`, `linetiles.py`): while keys come there is a mark and an
  underline; what is said of the line in hand, with its fixes, stands between the text and the strip, in a place that
  is always kept for it. What is touched is what was painted when the finger came down. A page that is off the window
  takes no key (`Page._on_key`): one that lay under the editor once pressed its own.
  Evidence: `tests/face/editor/test_remarks.py`, `test_editorpage.py`, `test_journeys.py`.
"""
