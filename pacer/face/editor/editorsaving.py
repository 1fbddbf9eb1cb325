"""Saves a plan while it is written: the draft with every key, the plan itself on another thread."""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock

from pacer.language import tr
from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.signal.slowcalls import Worker


class Saving:
    """Saves the plan `name` of `shelf`.

    `tell(long, short)` is called when it can't be saved; `trouble` says why, "" while it can.
    """

    def __init__(self, shelf: Shelf, name: str, tell: Callable[[str, str], None]):
        self.shelf, self.name, self.tell = shelf, name, tell
        self.trouble = ""
        self._closed = False
        self._worker = Worker("plan")

    def put(self, text: str) -> None:
        """Save the draft, and the plan as soon as possible."""
        try:
            self.shelf.jot(self.name, text)
        except ShelfTrouble as error:
            self._in_trouble(str(error))
        self._worker.put(lambda: self._keep(text))

    def close(self, text: str) -> None:
        """Save the plan now; once it was saved like this, it can go from the shelf."""
        if self._closed:
            return
        self._worker.close(2)
        try:
            self.shelf.keep(self.name, text)
            self._closed = True
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
            self.tell(tr("{said}. It stays here while this page is open.", said=said), said)
        self.trouble = said
