"""Plan and squad to timeline."""
