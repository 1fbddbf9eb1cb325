"""After sessions and between tablets: enter times, export and import everything, look at series and season."""
