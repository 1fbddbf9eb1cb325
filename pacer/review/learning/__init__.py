"""Learn base paces and factors from a session's times: they are only offered, never changed without asking.

A lane's bases and factors are learned together, in one normal model of log-ratios with stated priors (`learned`,
`posterior`). Rejected: a separate mean for each factor, because a wrong base then shows in every factor; factors
learned over all lanes, because beginners swim a drill differently. Under the priors, two standard errors contain the
truth 19 times out of 20 (`tests/review/learning/test_learned.py`, 200 squads). The model is unsure of what it cannot
separate: if a lane swam nothing but easy backstroke, a slow base and a slow stroke look the same, and it offers hardly
anything.

An offer keeps the squad's old value, so that each can be undone by itself, unless it was changed by hand since
(`takenoffers`).
"""
