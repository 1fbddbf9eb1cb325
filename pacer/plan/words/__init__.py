"""The words of the notation, as data: what each may be written as, and what is kept as it is said."""
