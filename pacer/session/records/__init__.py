"""Times, stroke rates, watches and notes: what they say, and what entries are called.

**Decided**

- Within a session the times taken correct what is expected (`expected.py`): where swimmers are drawn, when they touch,
  who catches whom, when all are out. They are the session's own track with other bases, so that every view follows by
  the rules it has; the send-offs stay, and what a press does is worked out from the plan. Refused: a ratio handed to
  each rule that predicts (a rule that forgot it would disagree with the others).
- A ratio counts once it is beyond chance, and goes by steps of half a per cent: who swims as written is drawn as
  before, and a time that changes nothing costs no frame. Evidence: `tests/session/records/test_expected.py`,
  `tests/bench/bench_expected.py`.
- A finish that drifts over the booking is told once, with the least rest and the fewest repeats that bring it back
  (`overrun.py`); they stand as presses on the page Finish by, with their preview. A catch that only the times foretell
  is told once for each set of a lane (`foretold.py`).
- A touch is of the leader, then of the next. Who was sent off again is passed over where somebody who was not is
  nearer by prediction, unless the one ahead has a time on the same repeat: then they are late, and in turn. Nobody is
  so late that it would be another swim: a fifth above the prediction, more than 5 s after the next send-off.
"""
