"""What is shown of a plan and a session, in words and places. It needs no Kivy."""
