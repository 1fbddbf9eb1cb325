"""What the times of a session say about base paces and factors: offered, never changed unasked.

Bases and factors of a lane are learned together, in one normal model of log-ratios with stated priors (`learned`,
`posterior`). Refused: a mean for each factor alone, as a base that is off then shows in every factor; factors learned
over all lanes, as a drill is swum otherwise by beginners. Under the priors two standard errors hold the truth 19 times
of 20 (`tests/review/learning/test_learned.py`, 200 squads). What it cannot tell apart, it is not sure of: where a lane
swam nothing but easy backstroke, a slow base and a slow stroke look the same, and hardly anything is offered.

An offer keeps what stood in the squad before, so that each is undone by itself, unless it was changed by hand since
(`takenoffers`).
"""
