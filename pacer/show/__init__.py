"""What the app shows of a plan and a session, as words and positions. Needs no Kivy."""
