"""One way to refuse a value: what is wrong with it, and what would be right."""

from __future__ import annotations


class Refused(ValueError):
    """A value that cannot be used; `message` says why, `hint` what would be right (may be "")."""

    def __init__(self, message: str, hint: str = ""):
        self.message = message
        self.hint = hint
        super().__init__(message)
