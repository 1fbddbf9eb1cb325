"""The written page: its values, reading and writing."""
