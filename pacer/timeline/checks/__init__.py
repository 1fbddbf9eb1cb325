"""What can go wrong with a plan in the water, and what would help."""
