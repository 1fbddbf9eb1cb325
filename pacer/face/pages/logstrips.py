"""The strips of past sessions, made on another thread, so that the list appears at once and no frame waits."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.after.openedsession import strip_of_kept
from pacer.show.drive.asidethread import Answers
from pacer.show.figures.figure import Figure

MOST_STRIPS = 60  #: how many sessions get strips: the list is read from the top


class LogStrips:
    """Of the sessions in `store`. `ready()` is called when another is made."""

    def __init__(self, store: Store, ready: Callable[[], None]):
        self.store, self.ready = store, ready
        self._known: dict[int, Figure | None] = {}
        self._waiting: list[int] = []
        self._answers: Answers[tuple[Figure | None]] = Answers("strips")
        self._next = Clock.create_trigger(lambda _dt: self._make(), 0)

    def of(self, number: int) -> Figure | None:
        """The strip of a session, None until it is made or if there is none."""
        return self._known.get(number)

    def want(self, numbers: Sequence[int]) -> None:
        """Make these, in this order."""
        self._waiting = [number for number in numbers[:MOST_STRIPS] if number not in self._known]
        self._next()

    def close(self) -> None:
        """Stop making them."""
        self._waiting = []
        self._next.cancel()
        self._answers.drop()

    def _make(self) -> None:
        if self._waiting:
            number = self._waiting[0]
            found = self._answers.ask(number, lambda: (self._strip(number),))
            if found is not None:
                (self._known[number],) = found
                del self._waiting[0]
                self.ready()
            self._next()

    def _strip(self, number: int) -> Figure | None:
        try:
            return strip_of_kept(self.store.session(number))
        except StoreTrouble:
            return None
