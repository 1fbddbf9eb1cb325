"""Test swims, what they say of a base pace, and lanes proposed by it.

**Decided**

- Test swims. Two trials of which the longer is quicker per 100 are refused; with three and more, 2 % is tolerated
  with a warning (the others outvote it). "Rough" covers any trial under two minutes, a standard error above 2 % of
  the pace, an anaerobic distance below 0 or above 50, and one race. The limits are ours; the sources are in
  `pacer/squad/trials/testswims.py`.
- Lanes proposed minimise the sum of squared spreads of pace, then even sizes, then fewer swimmers in faster lanes,
  by dynamic programming over cuts of the order of pace.
"""
