"""What can go wrong with a plan in the water, and what would help.

**Decided**

- A lane that waits long is a warning, not an error. A fit that gives fast lanes more rounds makes the others wait;
  the check says so, warns of the cold, and offers `run on`.
- Room in the lane (`traffic`): a lane is full if n swimmers x spacing g exceeds T2, the leader's time for two lengths:
  the wall should still be free one spacing after the last swimmer has left. The literature's own derivation has
  (n - 1) x g > T2, the last swimmer's send-off itself, and allows one swimmer more; on the tie (n x g = T2) there is
  room. Catches are looked for within one repeat, because everybody leaves with a new gap on the next one. Only on lines
  swum straight through does the gap carry over from repeat to repeat. Distances are exact fractions.
"""
