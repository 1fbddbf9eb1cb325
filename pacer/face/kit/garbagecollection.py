"""When Python collects garbage: not before the first picture, and while somebody types only in their pauses.

CPython lets a thread run for 5 ms before another may, which can happen several times in one frame; its collector looks
through everything there is, which takes a tenth of a second and more beside a long plan. Figures:
`tests/bench/bench_editor.py`.
"""

from __future__ import annotations

import gc
from contextlib import ExitStack

from pacer.threadswitching import short_turns


def wait_for_first_picture() -> None:
    """Collect nothing until `settle_in`: there is no garbage yet, and collecting takes a tenth of the start."""
    gc.disable()


def settle_in() -> None:
    """The first picture is on the screen, or there will be none.

    Everything made so far will stay, so the garbage collector need not look through it again and again.
    """
    gc.collect()
    gc.freeze()
    gc.enable()


class TypingPace:
    """While somebody types, no key waits for a background thread or for garbage collection.

    From its creation until it is closed, garbage is collected only in `rest()`, and only among new objects."""

    def __init__(self):
        self._collects, self._open = gc.isenabled(), True
        self._turns = ExitStack()
        self._turns.enter_context(short_turns())
        gc.disable()
        gc.freeze()

    @staticmethod
    def rest() -> None:
        """The fingers rest: collect among what was made since the last rest.

        Each plan worked out makes 20,000 objects.
        """
        gc.collect(0)

    def close(self) -> None:
        """Restore the usual settings."""
        if self._open:
            self._open = False
            self._turns.close()
            gc.unfreeze()
            if self._collects:
                gc.enable()
