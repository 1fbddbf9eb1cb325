"""What was swum in open formats, for other programs. Swimmers' names leave only where they are asked for.

Here and not with the paper: a program reads them, not a coach.
"""
