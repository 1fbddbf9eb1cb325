"""The views of the running session, and its sound."""
