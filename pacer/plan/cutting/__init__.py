"""Cuts one line of a page into the grammar's tokens, in the grammar's order, or finds the mistake that stops it."""
