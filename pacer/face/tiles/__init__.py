"""Tiles, keys and the frame of a page."""
