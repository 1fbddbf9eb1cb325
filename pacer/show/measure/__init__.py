"""What fits and what can be read: sizes, colours, gestures.

**Decided**

- Every text that the face draws comes as a tuple of ways to say it, from the longest to the shortest. The longest that
  fits is drawn; nothing is cut off (`pacer/show/measure/fitting.py`).
"""
