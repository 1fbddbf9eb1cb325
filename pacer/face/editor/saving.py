"""A plan kept while it is written: noted on disk with every key, kept for good aside."""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock

from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.signal.worker import Worker


class Saving:
    """Keeps the plan `name` of `shelf`.

    `tell(long, short)` is called when it cannot be kept; `trouble` says why, "" while it is.
    """

    def __init__(self, shelf: Shelf, name: str, tell: Callable[[str, str], None]):
        self.shelf, self.name, self.tell = shelf, name, tell
        self.trouble = ""
        self._worker = Worker("plan")

    def put(self, text: str) -> None:
        """Note the text, and have it kept for good as soon as may be."""
        try:
            self.shelf.jot(self.name, text)
        except ShelfTrouble as error:
            self._in_trouble(str(error))
        self._worker.put(lambda: self._keep(text))

    def close(self, text: str) -> None:
        """Keep the text for good, now."""
        self._worker.close(2)
        try:
            self.shelf.keep(self.name, text)
        except ShelfTrouble as error:
            self.trouble = str(error)

    def _keep(self, text: str) -> None:
        said = ""
        try:
            self.shelf.keep(self.name, text)
        except ShelfTrouble as error:
            said = str(error)
        if said != self.trouble:
            Clock.schedule_once(lambda _dt: self._in_trouble(said), 0)

    def _in_trouble(self, said: str) -> None:
        if said and said != self.trouble:
            self.tell(f"{said}; it stays here while the page is open", said)
        self.trouble = said
