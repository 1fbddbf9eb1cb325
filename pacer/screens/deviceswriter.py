"""Writes down who has joined, beside the server's loop: the disk may be slow."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

FIRST_GAP_S = 1.0  #: between the first two times that devices are saved
#: Devices that change all the time are saved this seldom: the journal's entries wait behind them on the disk.
SELDOM_S = 15.0


class DevicesWriter:
    """Calls `keep` in a thread of its own soon after a change, and ever more seldom while changes go on."""

    def __init__(self, keep: Callable[[], None]):
        self._keep, self._unkept = keep, asyncio.Event()

    def changed(self) -> None:
        """There is something to be saved."""
        self._unkept.set()

    async def run(self) -> None:
        """Save it, again and again."""
        self._unkept = asyncio.Event()
        clock, gap_s, rested_s = asyncio.get_running_loop().time, FIRST_GAP_S, 0.0
        while True:
            await self._unkept.wait()
            gap_s = min(2 * gap_s, SELDOM_S) if clock() - rested_s < FIRST_GAP_S else FIRST_GAP_S
            self._unkept.clear()
            await asyncio.to_thread(self._keep)
            await asyncio.sleep(gap_s)
            rested_s = clock()
