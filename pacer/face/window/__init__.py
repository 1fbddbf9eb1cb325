"""The window: which page is in front, the running session, the app."""
