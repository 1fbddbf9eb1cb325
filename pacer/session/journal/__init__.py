"""What happened on deck, entry by entry, and as lines of text."""
