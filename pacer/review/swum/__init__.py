"""Work out what a session's lanes and swimmers really swam, as values."""
