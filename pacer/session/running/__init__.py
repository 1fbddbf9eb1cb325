"""A session on its way: what entries make of its timeline.

**Decided**

- The next repeat is the one that leaves next, or the one after it when the lane already gets ready for that. The
  previous is the last one left on. So a press brings the next send-off forward, a second press leaves one out, and
  "previous" does again what was just swum. Evidence: `tests/session/running/test_run.py`.
- What was swum is told in whole lengths (`running/breakoff.py`): a repeat that was broken off counts up to the wall
  where the leader stops. Who is told to stop in the last lengths of a repeat comes to its end: it counts whole, its
  touch is due, and a lane of which nobody stopped short keeps its next send-off. A touch is of the swim that a
  swimmer can be ending, none of one before a swim they are well into (`touches.due`).
- The clock on the wall is known by an instant at which it passed its top (`poolclock.WallTop`), on the clock that
  never jumps, of one start of the tablet; so one match serves the sessions of twelve hours. A session begun by it
  keeps what the wall shows at its zero in `Begun`. Without a match the pace clock is off until the start: a clock
  that runs and then jumps is worse than none. Refused: the tablet's time of day as the reference (it jumps), a
  match kept for good (clocks on walls are set anew).
- Heads counted before the start are written right behind `Begun`; who leaves the page before it counts anew.
- Who breaks off swims on to the home wall (`instant.swims_in`): there the glass shows them, and no send-off of a
  press (next, previous, resume, a section) comes before everybody is back and has had five seconds to hear of it
  (`run.soonest_ms`). Refused: a send-off five seconds after the press wherever they are (swimmers half a length out
  were told to leave).
- Undo takes back what has not happened and rewrites nothing that has (`pacer/session/running/undo.py`). A lane
  whose departures and swimmers' places are the same with and without the change goes on exactly as before it. One
  with a past of its own keeps it and leaves on the next repeat of the earlier plan: when that was planned, or from
  now by the rules of a resume; `TakenBack.leave_ms` holds which. A resume that is undone pauses the lane from now,
  a set put in that was begun is left out from now, repeats that were swum stay. Refused: restoring the earlier run
  whatever has happened (a lane was shown in mid-swim of a repeat it was never sent on). Evidence:
  `tests/session/running/test_undo.py`.
- A set put in after a section was started is at that section's head, and so it is where some wait for a section and
  the others only come home. Before it is done the preview names every lane whose next send-off comes later by more
  than an interval.
- A press that ends what a lane swims breaks it off at the home wall (`STOP AT WALL`), pause too; nobody of the lane
  leaves any more. A pause of an older journal (`Held` without `breaks_off`) is replayed as it was: its swimmers
  came to the end of their repeat.
"""
