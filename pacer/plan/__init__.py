"""The written page: its values, and how to read and write them."""
