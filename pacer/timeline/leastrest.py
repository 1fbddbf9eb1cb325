"""The least rest that is worth having."""

LEAST_REST_MS = 5_000  #: less is as good as none
