"""The pages around a session."""
