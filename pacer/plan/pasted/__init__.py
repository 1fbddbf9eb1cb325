"""A whole page as coaches keep it, to the text of a plan and what was understood of each of its lines."""
