"""What drives a session, for the window and for the text form.

**Decided**

- An entry counts once it is on disk, and no frame waits for that. `Driver.append` gives it to the thread that
  writes, `settle` lets it count in the frame after it is safe; after a quarter of a second it counts anyway and the
  coach is told. Stop all counts at once. Refused: waiting in the touch (frames stood still for as long as the disk
  took).
"""
