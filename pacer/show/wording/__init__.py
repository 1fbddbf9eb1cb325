"""Sets, times, moves and changes in a coach's words."""
