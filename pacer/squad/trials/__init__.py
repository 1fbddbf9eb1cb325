"""Test swims, the base pace that they give, and lanes proposed from it.

**Decided**

- Test swims. Two trials are refused if the longer one is faster per 100; with three or more, up to 2 % is tolerated
  with a warning (the others outvote it). "Rough" covers any trial under two minutes, a standard error above 2 % of
  the pace, an anaerobic distance below 0 or above 50, and one race. The limits are ours; the sources are in
  `pacer/squad/trials/basefromtrials.py`.
- Proposed lanes have the least sum of squared spreads of pace, then the most even sizes, then the fewest swimmers in
  the faster lanes. Dynamic programming finds them, over the cuts of the swimmers in order of pace.
"""
