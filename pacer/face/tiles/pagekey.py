"""A key on a page's bar."""

from __future__ import annotations

from typing import NamedTuple

from pacer.language import tr


class PageKey(NamedTuple):
    """A key on a page's bar.

    One that is not `able` is dim, and says why when it is pressed; `main` marks the page's main action, `lit` the view
    that is open; `later` as for the session's bar. A `note` is beside its label, smaller. One that is `beside` stays in
    the row of the key before it.
    """

    name: str
    label: str
    able: bool = True
    main: bool = False
    later: bool = False
    lit: bool = False
    note: str = ""
    beside: bool = False

    @property
    def labels(self) -> tuple[str, ...]:
        """All words on it."""
        return (f"{self.label} {self.note}".strip(),)

    @property
    def room(self) -> tuple[str, ...]:
        """Nothing else takes its place."""
        return ()


MORE = PageKey("more", tr("More"))  #: turns the bar's page
