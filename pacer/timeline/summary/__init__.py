"""Sum up a session: fitted, added up, as a table."""
