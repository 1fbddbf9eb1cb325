"""Export sessions in open formats for other programs. Swimmers' names leave only if the coach asks for it.

This is not part of `paper`, because a program reads these files, not a coach.
"""
