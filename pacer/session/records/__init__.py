"""Times, stroke rates, watches and notes: what they mean, and entries in a coach's words.

**Decided**

- During a session, recorded times correct the expectation (`expectedtimes.py`): where swimmers are drawn, when they
  touch, who catches whom, when all are out. The expectation is the session's own track with other bases, so that every
  view follows it by its usual rules; the send-offs stay, and the effect of a press is worked out from the plan.
  Rejected: a ratio passed to each rule that predicts (a rule that forgot it would disagree with the others).
- A ratio counts once it is more than chance, and in steps of half a per cent: a swimmer who swims as predicted is drawn
  as before, and a time that changes nothing costs no frame. Evidence: `tests/session/records/test_expectedtimes.py`,
  `tests/bench/bench_expected.py`.
- If the finish runs past the booking, the coach hears of it once, with the least cut in rest and the fewest repeats
  less that bring it back (`overrun.py`); they are keys on the page Finish by, with their preview. A catch that only the
  times predict is reported once for each set of a lane (`foretoldcatches.py`).
- A touch is the leader's, then the next swimmer's. A swimmer who was sent off again is passed over if somebody who was
  not is nearer to their prediction, unless the swimmer ahead has a time on the same repeat: then they are late, and it
  is their turn. Nobody is so late that it would be another swim: a fifth above the prediction, more than 5 s after the
  next send-off.
"""
