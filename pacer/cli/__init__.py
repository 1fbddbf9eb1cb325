"""The command line, and the session as text."""
