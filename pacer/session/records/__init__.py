"""Times, stroke rates, watches and notes: what they say, and what entries are called."""
