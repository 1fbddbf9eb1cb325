"""Many sessions: who came, how far they swam, and how a set and a swimmer changed over time."""
