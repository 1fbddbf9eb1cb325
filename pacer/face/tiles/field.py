"""A place to write on a page, as seen by those who do not care how it is painted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from pacer.plan.text.textbuffer import TextBuffer


class Field(Protocol):
    """A draft with or without the keyboard's focus. `single`: it is one line."""

    draft: TextBuffer
    focus: bool
    single: bool

    def write(self, text: str) -> None:
        """Write at the cursor."""

    def rub(self) -> None:
        """Erase the selection, or the character before the cursor."""

    def enter(self) -> None:
        """A new line, or the end of writing."""

    def bind(self, **calls: Callable[..., Any]) -> None:
        """Call these on changes, as for any widget."""

    def unbind(self, **calls: Callable[..., Any]) -> None:
        """Stop calling these."""
