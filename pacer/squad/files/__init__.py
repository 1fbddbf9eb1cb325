"""Squads and lists of swimmers as TOML and CSV."""
