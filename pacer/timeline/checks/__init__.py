"""What can go wrong with a plan in the water, and what would help.

**Decided**

- A lane stands long: that is a matter of care, not an error. A fit that gives fast lanes more rounds lets the others
  stand; the check says so, names the cold, and offers `run on`.
- Room in the lane (`traffic`): a lane is full where n swimmers x spacing g exceeds T2, the leader's time for two
  lengths: the wall is wanted free one spacing after the last has left. The literature's own derivation has
  (n - 1) x g > T2, the last one's send-off itself, and is one swimmer more generous; on the tie (n x g = T2) there is
  room. Catches are looked for within one repeat: everybody leaves anew on the next one. Only on lines swum straight
  through does the gap carry on from repeat to repeat. Distances are exact fractions.
"""
