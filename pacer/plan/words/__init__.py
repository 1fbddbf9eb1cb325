"""The words of the notation, as data: the ways to write each, and the instructions that are kept as written."""
