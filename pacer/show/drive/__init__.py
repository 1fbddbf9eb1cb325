"""Runs a session, for the window and for the text form.

**Decided**

- An entry counts once it is on disk, and no frame waits for the disk. `Driver.append` passes the entry to the writing
  thread; `settle` applies it in the first frame after it is safe. After a quarter of a second it counts anyway and the
  coach is told. Stop all counts at once. Rejected: waiting in the touch handler, which froze the screen for as long as
  the disk took.
"""
