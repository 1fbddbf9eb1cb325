"""A page's lines to the values that they mean, or to their mistakes."""
