"""After sessions and between tablets: times entered, everything exported and imported, series and season looked at."""
