"""One way to refuse a value: say what is wrong with it, and what would be right."""

from __future__ import annotations


class Refused(ValueError):
    """A value cannot be used: `message` says why, `hint` what would be right (it may be "")."""

    def __init__(self, message: str, hint: str = ""):
        self.message = message
        self.hint = hint
        super().__init__(message)

    @property
    def ways(self) -> tuple[str, str]:
        """To say it, the longest way first."""
        return f"{self.message}: {self.hint}" if self.hint else self.message, self.message


def shown(text: str) -> str:
    """A text from a file, made safe to show in a message."""
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= 30 else text[:29] + "…"
