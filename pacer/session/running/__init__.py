"""A running session: how entries change its timeline.

**Decided**

- The next repeat is the one that leaves next, or the one after it if the lane is already getting ready for that. The
  previous repeat is the last one left on. So one press brings the next send-off forward, a second press skips one, and
  "previous" repeats what was just swum. Evidence: `tests/session/running/test_replay.py`.
- Next set for several lanes takes them to one section as soon as one of them comes to the next (`Moved.together`); in
  a section each goes on to its own next set. Rejected: each always to its own (a lane began its added round of the set
  that was to be left, and the others waited for it for eleven minutes); for older journals that still holds.
- A lane that was told to begin a section by itself keeps that start when a press for all lanes lays all of them out
  again before it has left (`runstate._begins_alone`). Rejected: to make it wait for the next common start (by a repeat
  cut for all, it stood for 22 minutes).
- Distance swum counts in whole lengths (`running/brokenrepeats.py`): a repeat that was broken off counts up to the wall
  where the leader stops. A swimmer told to stop in the last lengths of a repeat finishes it: it counts whole, its touch
  is due, and a lane in which nobody stopped short keeps its next send-off. A touch belongs to the swim that a swimmer
  can be ending, never to a swim before one that they are well into (`touches.due`).
- The pool clock is known from an instant at which it passed its top (`poolclock.WallTop`), on the clock that never
  jumps, since one start of the tablet; so one match is good for the sessions of twelve hours. A match in mid-session
  moves no send-off; marks and common starts that are set after it are the pool clock's (`Run.marks_ms`). A session
  started by it keeps the pool clock's reading at its zero in `Begun`. Without a match the pace clock is off until the
  start: a clock that runs and then jumps is worse than none. Rejected: the tablet's time of day as the reference (it
  jumps), a match kept for good (pool clocks get set).
- A repeat that was stopped before its leader had swum a length of it is swum again: by Resume, by an Undo that comes
  too late to let the lane swim on, and after an end (`Track.again`, `brokenrepeats.hardly_swum`); one that is stopped
  later is left, and *Previous repeat* swims it again. Lanes stopped together on the same repeat go together: it is
  enough if one of them has not swum a length. Rejected: always to leave it (a STOP ALL 5 s into a 300 cost all lanes
  the 300), and each lane for itself (the fast lanes were a set ahead). In older journals it was left (`Paused.again`,
  `Stopped.again`, `TakenBack.again`).
- A head count from before the start is recorded right after `Begun`; a coach who leaves the page first counts again.
- Swimmers who break off swim on to the home wall (`instant.swims_in`): the screen shows them there. No send-off from a
  press (next, previous, resume, a section) comes before everybody is back and has had five seconds to hear of it
  (`leavingagain.soonest_ms`). Rejected: a send-off five seconds after the press wherever they are (swimmers half a
  length out were told to leave).
- If that leaves a lane's swimmers at both walls (some had not left on a length, or were past the middle), those at the
  far one swim back easy, and the lane leaves from the home wall once they are back (`Track.gathers`,
  `whereabouts.sides`); a lane that is all at the far wall leaves from there. After stop all nobody is told to swim
  before the lane is resumed. Rejected: to leave from both walls (the lane swam in opposite directions to the end of
  the set). Evidence: `tests/session/running/test_gathering.py`.
- Undo reverses what has not happened yet, and rewrites nothing that has (`pacer/session/running/undo.py`). If a lane's
  departures and swimmers' places are the same with and without the change, the lane resumes exactly as before it. If
  not, the lane keeps its own past and leaves on the next repeat of the earlier plan: when that was planned, or from now
  by the rules of a resume; `TakenBack.leave_ms` holds which. Undoing a resume pauses the lane from now; undoing an
  added set that has begun skips the rest of it; repeats that were swum stay. Rejected: restoring the earlier run
  whatever has happened (a lane was shown in the middle of a repeat on which it was never sent). Where undoing the last
  change would change nothing, or is too late, Undo looks past it to an older one and names that (`presses.undo`,
  `TakenBack.stay`): later changes for other lanes stay, as if the older one had never been made. Evidence:
  `tests/session/running/test_undo.py`.
- Repeats or rounds added to some lanes for which there is no time before the next common start are not swum later
  either, nor is what lanes have no time for because of an added set (`CountChanged.in_time`, `LinePutIn.in_time`,
  `Deviation.last`). Rejected: to swim them whole once all lanes are laid out again (a
  pause of all let four lanes wait for the added round of one, past the booking). In older journals that still holds.
- A round added for several lanes is of one section, the one in which one of them still is; a lane that was sent to a
  later section is there already while it comes home (`CountChanged.one_section`). Rejected: each lane's own (a lane
  that was home got its round in the next section, one that came home went back to the section that it was sent from).
- An added set has one place on the page: in each round of a section all lanes swim it after the last set that one of
  them has begun (`LinePutIn.one_place`). Rejected: each lane after its own current set (a lane between two sets swam it
  before the set that the others had begun); for older journals that still holds.
- A lane that waits for its next section swims an added set in that wait if all of it ends in time, otherwise at the
  beginning of the section (`LinePutIn.in_wait`). Rejected: always there (children stood for nine minutes while the
  coach had a set for them), and always in the wait (most of the set would be cut).
- A set added after a section was started comes at the beginning of that section, and also if some lanes wait for a
  section while the others only come home. Before the press, the preview names every lane whose next send-off comes more
  than an interval later.
- A press that ends a lane's swim breaks it off at the home wall (`STOP AT WALL`), and so does a pause; nobody in the
  lane leaves any more. A lane that joins another stops at once if it would not finish in time, and joins at a send-off
  that it can make. In an older journal (`Paused`, `LaneJoined` without `breaks_off`) both are replayed as they were:
  paused swimmers finished their repeat, joining ones swam on until the send-off.
- A swimmer who is moved to another lane in mid-repeat swims home in the old lane (drawn, timed and waited for there; a
  set swum straight through to its end), and leaves with the other lane from the first send-off for which they are back
  and have had five seconds (`SwimmerChanged.joins_ms`). Until then they are in that lane's order and its rest
  intervals, but on none of its repeats (`swumtrack.leave_newcomers_out`), unless somebody behind them is there. In an
  older journal they left with the next send-off, wherever they were. They are drawn in the old lane until they are
  home, then at the wall of the other one. Evidence: `tests/show/view/test_whoisdrawn.py`.
- Every swimmer of a session has a number (`Swimmer.number`), which their lane's lines carry (`LaneLine.who`): places
  change, numbers don't. No entry names it, so older journals get the same ones: first the squad, then those who join. A
  swimmer who is added again after Undo took them out keeps theirs (`swimmermoves._number`): the same name, or again
  none, is the same person. Where swimmers are, when they leave late, at which wall they stand, what they miss and how
  fast they are by their times goes by number. A recorded time says who by the place on its own repeat (`Swim.who`).
  Rejected: a new number for each join (one swimmer was two people in the review).
- A swimmer who comes back is named by how many got out before them (`SwimmerJoined.back`), one who comes late by their
  number among the absent (`SwimmerJoined.absent`): that holds in a copy without names. A swimmer who is in a
  lane already is never added twice: then it is somebody new, as in older journals. Rejected: by name (a copy without
  names would lose who it was, and two swimmers may share one). Evidence: `tests/review/swum/test_comeandgone.py`.
- A session that is resumed after its end continues like one that was paused then, because everybody was told to stop
  at the wall: with a send-off that gives notice (`TakenBack.leave_ms`). If stop all was pressed after the end, or the
  session was left, all stay stopped (`TakenBack.stopped`). In older journals they swam on.
"""
