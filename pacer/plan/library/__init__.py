"""Plans in one folder, and what a new one begins as."""
