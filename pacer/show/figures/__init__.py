"""Figures described once, for the screen, for paper and for files: marks in the units of their data, axes and words."""
