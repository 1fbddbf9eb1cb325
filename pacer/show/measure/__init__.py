"""What fits and what can be read: sizes, colours, gestures.

**Decided**

- Ways to say a thing, from the longest to the shortest. Every text the face draws comes as a tuple; what fits is
  taken, nothing is cut off (`pacer/show/measure/fitting.py`).
"""
