"""Many sessions: who came, how far, and how the same set and the same swimmer went over time."""
