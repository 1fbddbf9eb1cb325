"""What a session comes to: fitted, added up, as a table."""
