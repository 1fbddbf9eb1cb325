"""While somebody types: no key waits for a thread that works aside, nor for the collector of garbage.

CPython lets a thread go on for 5 ms before another may, several times in the frame of a key; and its collector looks
through all there is, for a tenth of a second and more beside a long plan. Figures: `tests/bench/bench_editor.py`.
"""

from __future__ import annotations

import gc
import sys

SWITCH_S = 0.001  #: so soon a thread that works aside lets the keys' go on


class KeyPace:
    """From when it is made until it is closed; garbage is looked for in `rest()`, and only among what is new."""

    def __init__(self):
        self._switch_s, self._collects = sys.getswitchinterval(), gc.isenabled()
        self._open = True
        sys.setswitchinterval(SWITCH_S)
        gc.disable()
        gc.freeze()

    @staticmethod
    def rest() -> None:
        """Fingers rest: what was made since they last did is looked through.

        20,000 things by each plan that is worked out.
        """
        gc.collect(0)

    def close(self) -> None:
        """As it was before."""
        if self._open:
            self._open = False
            sys.setswitchinterval(self._switch_s)
            gc.unfreeze()
            if self._collects:
                gc.enable()
