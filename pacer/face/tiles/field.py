"""What is written into on a page, as those see it who do not care how it is painted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from pacer.plan.text.draft import Draft


class Field(Protocol):
    """A draft with the keyboard's focus, or without. `single`: it is one line."""

    draft: Draft
    focus: bool
    single: bool

    def write(self, text: str) -> None:
        """Write where the cursor is."""

    def rub(self) -> None:
        """Erase what is chosen, or the character before the cursor."""

    def enter(self) -> None:
        """A new line, or the end of writing."""

    def bind(self, **calls: Callable[..., Any]) -> None:
        """Be told of changes, as of any widget's."""

    def unbind(self, **calls: Callable[..., Any]) -> None:
        """Be told no more."""
