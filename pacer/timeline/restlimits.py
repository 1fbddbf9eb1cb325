"""From where a rest is too short to count, and from where it is a wait."""

LEAST_REST_MS = 5_000  #: less is as good as none
MOST_REST_MS = 120_000  #: a swimmer who stands for longer waits, and gets cold
COLD_MS = 180_000  #: children who wait longer get cold; the cautions say so in whole minutes
