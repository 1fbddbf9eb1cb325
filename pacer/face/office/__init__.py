"""The coach's office, away from the deck: all pages around the session, and the ways between them."""
