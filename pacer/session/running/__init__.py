"""A session on its way: what entries make of its timeline."""
