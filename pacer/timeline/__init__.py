"""From plan and squad to timeline.

All times are whole milliseconds from the session's zero. The rules are exact, so that two implementations agree to the
millisecond; `tests/reference/simulation.py` is a second one, written from this page alone. `pacer.plan.notation`
(R1 to R8) says what the words of a plan mean.

**The walk.** A section is its lines one after the other, each swum as often as its count says; a line's first send-off
comes one interval after the last send-off of the line before it. Rounds repeat the lines, with only what is written
between them. Swimmer k (from 0) leaves k x spacing after the leader, in every repeat. A section ends for a lane when
its last swimmer touches; the next one starts for all lanes together, on the top or the bottom of the clock (`starts`),
a `changeover` after the last lane's end: the coach talks to everybody at once. An interval that is too tight is kept; a
check says so.

**Work and pace** (`shape`, `pacer.squad.factors`)

- T1. Effort of a segment: its own (R1); else descend or ascend; else the section's; else threshold. With
  `descend 1-m`, repeat n has place j = (n - 1) mod m and factor steady + (fast - steady) x j/(m - 1); `ascend` from
  fast to steady. Repeats count from 1 again in every round. `build` has the mean of easy's and fast's factor.
- T2. Predicted time of a segment: base x d/100 x activity x stroke x effort x gear, in exact rationals; gear is the
  product over all gear of the line. A base per 100 of the other unit is converted exactly, not rounded. Cumulate
  within the repeat, round each cumulated value half up; every later rule uses the rounded values.
- T3. `hold`: the whole repeat takes the hold time (`base+`: (lane's base + extra) x d/100, exact) for every swimmer of
  the lane; the cumulated value at a boundary is hold x (the predicted share of the repeat done there), rounded half up.
  The factors give the shares.
- T4. A timed repeat takes its time for everybody: send-off, then touch, both with distance 0; it has one segment.
- T13. Change events: at each boundary inside a repeat where the work (after defaults, with its effort as resolved) or
  the cue (R6) differs. Ladder entries are repeats, not segments. Segments of zero length do not exist. A segmented
  repeat that stops early stops after a whole segment.
- T17. Factors of squad, lane and swimmer merge by name, the swimmer's first, then the lane's; then the most specific
  name wins: activity with stroke and name, activity with name, activity with stroke, activity; gear with activity,
  gear. The slowest swimmer of a repeat is the one who takes longest for it, whatever the bases are.
- T18. `doing` gives the segment's own distance even if there is no change event at its end. `of` stays as written if
  `for` or `at most` cuts the line short.

**Send-offs of a line** (`linemaker`, `laneline`)

- T5. `on`: the leader leaves every interval. `base+` intervals use the lane's base: round(base x d/100 + extra) half
  up, then up to a multiple of `clock`. `per` intervals: rounded half up, not moved to the clock. `rest R`: the slowest
  predicted time of that repeat in the lane plus R, up to a multiple of `clock`, so that swimmers can read it there.
- T6. A line with neither `on` nor `rest`: swimmer k leaves on repeat 1 at the line's start + k x spacing, and on each
  further repeat at their own touch. The line takes max over swimmers (sum of the swimmer's rounded repeat times),
  rounded up to a multiple of `clock`.

**Which lines, how often** (`laneprograms`)

- T12. The first section starts at 0 for all lanes. If a line names groups, lanes of other groups leave it out. A lane
  with no repeat in a section does not swim it.
- T16. Flexible counts take their least value until the fit chooses.
- T19. A squad's `rounds` is moved to the nearest count that the plan allows, also in `if time` sections.

**Sections one after the other** (`course`)

- T7. A break adds its time to the lane's next send-off within the section, even at its start; at the section's end it
  adds nothing.
- T8. A lane's end of a section is the latest touch of all its swimmers over all its repeats there (with an interval
  that is too tight, an earlier repeat can end later). `for` and `at most` are tested repeat by repeat in order: the
  first repeat in which any swimmer would touch later than the limit after the lane's start of the section ends the
  section for the lane, before that repeat. Lines before it in the round stay.
- T9. Let E(L) be the latest end of lane L over all sections so far. After a section without `run on` the next starts
  for all lanes at the first multiple of `starts` >= max E + changeover. After one with `run on`, lane L starts at the
  first multiple of `clock` >= its end there + changeover; a lane that swam nothing there starts the next section at
  the very time it would have started the section it left out.
- T10. A section in which no lane swims anything takes no time and no changeover, and its `run on` has no effect:
  starts stay as they were before it.
- T11. A `for` section that anybody swims ends, for every lane, at that lane's own start of it + its time, whether or
  not the lane swims in it. The session itself ends at the last touch.
- T14. In a `for` section, rounds repeat until the limit cuts; a round in which a lane swims nothing ends the section
  for that lane.

**Events** (`events`)

- T15. Events of a lane are ordered by time, then swimmer, then touch, change, send-off; events equal in all of these,
  by repeat.

**Decided**

- A lane's send-offs are one flat ascending list (`track`), not a list of events or a tree of sections: the face asks
  for any instant, many times a second.
- Shapes are separate from pace (`shape`): a repeat's cumulated factors are whole numbers over one scale, worked out
  once per line and set of factors and shared by all lanes; a swimmer's time is one multiplication and one rounding.
  Rejected: floats (two implementations would differ), a Fraction for each segment and swimmer (slow).
- The same walk lays out a whole session and the rest of one (`Course.lay`): it starts from wherever lanes are, so
  pause, next and the refit of a running session follow the same rules. If only some lanes are moved, `Course.rejoin`
  lays those out between the common starts, which stay as they are: nobody else waits.
- A line added on deck is the last of its section (`laneprograms`): it has the next free number, and `Course.order` says
  when its turn comes. So a recorded line, count, interval or time always means the same line. Rejected: a plan with the
  line in its place (every later number would change in the journal's past), a list of repeats per lane (later rounds,
  refits and lanes that join would not know of it).
- The course keeps what a lane sits out (`Deviation.missed`); it is not only removed from the lane's track. So the part
  of a section that is still to come moves with its start, and a lane that goes back to it swims it. A lane that waits
  for a later section counts for every common start before it (T9), and nobody who was stopped starts a section early.
- Events share their texts: an event has its time, kind, swimmer, and a `What` that is the same for every swimmer of
  the lane; listing events is a few passes over columns.
"""
