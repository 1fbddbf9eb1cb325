"""Flexible counts chosen so that the session fits its booking."""
