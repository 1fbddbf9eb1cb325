"""The running session: journal, clock, state at an instant, store."""
