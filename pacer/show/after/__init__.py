"""What a coach does after a session and between tablets: times entered, everything exported and imported."""
