"""Sessions on disk: one writer, one file, found again after a crash."""
