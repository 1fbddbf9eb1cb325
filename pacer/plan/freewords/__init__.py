"""Lines in a coach's own words, put into the notation's: for one lane, one round or all; what can't be is a note."""
