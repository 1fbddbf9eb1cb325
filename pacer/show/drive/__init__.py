"""What drives a session, for the window and for the text form."""
