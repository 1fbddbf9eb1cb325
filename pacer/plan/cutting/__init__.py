"""One line of a page to the tokens that the grammar knows, in the grammar's order, or to the mistake that stops it."""
