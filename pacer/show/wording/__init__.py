"""Sets, times, moves and changes in a coach's words.

**Decided**

- One rule for the way out (`pacer/show/wording/closing.py`): what is shown is left by Close, in one corner, also
  while it is written in (keys to write with are put away by Keys away, which is there while they are); a question
  is answered by what the answer does. The bar's keys say which lanes they mean and keep their places whatever the
  state; it is the session's own from the count-down on, another start is chosen behind More.
- Out and booked are two times of day, the one rounded up and the other down, so that they agree however often they
  are read; over is said where it is over, and never for the seconds of a session that fits (`instantview`).
  Refused: minutes to spare (three readings came to two ends of the booking).
"""
