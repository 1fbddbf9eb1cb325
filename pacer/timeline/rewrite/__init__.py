"""The plan written for other intervals or another pool."""
