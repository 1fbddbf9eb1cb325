"""Wrong codes are slowed, then shut out. Pure: the instant is passed in."""

from __future__ import annotations

from pacer.plan.times import MINUTE_MS

FIRST_WAIT_MS = 1_000  #: after the first wrong code of an address; doubled with each that follows
SHUT_AFTER = 5  #: wrong codes of one address shut it out
SHUT_MS = 5 * MINUTE_MS  #: for so long
MOST_WRONG = 50  #: of all addresses; then nobody joins by this code any more, until the coach makes another
MOST_ADDRESSES = 256  #: that are remembered


class Lockout:
    """Who typed wrong codes. 50 tries at a million codes find the right one once in 20,000 sessions."""

    def __init__(self) -> None:
        self._wrong: dict[str, tuple[int, int]] = {}  # by address: how often, and until when it waits
        self._all = 0

    @property
    def closed(self) -> bool:
        """Whether so many codes were wrong that no more are accepted."""
        return self._all >= MOST_WRONG

    def wait_ms(self, address: str, now_ms: int) -> int:
        """How long an address has still to wait before it may try."""
        _, until_ms = self._wrong.get(address, (0, now_ms))
        return max(0, until_ms - now_ms)

    def wrong(self, address: str, now_ms: int) -> int:
        """A wrong code came from an address; how long it waits for that."""
        count = self._wrong.pop(address, (0, 0))[0] + 1
        wait_ms = SHUT_MS if count >= SHUT_AFTER else FIRST_WAIT_MS << (count - 1)
        self._wrong[address] = count, now_ms + wait_ms
        self._all += 1
        while len(self._wrong) > MOST_ADDRESSES:
            del self._wrong[next(iter(self._wrong))]
        return wait_ms

    def right(self, address: str) -> None:
        """A right code came from it."""
        self._wrong.pop(address, None)
