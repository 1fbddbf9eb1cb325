"""Keep the player in step with the programme, once a frame.

The starter hands each count-down to the player a little before its start, so that the start itself
does not wait for a frame, and cancels it if its instant disappears from the programme (a lane was
paused, the coach moved on). It reads no clock.
"""

from __future__ import annotations

from typing import Protocol

from pacer.signal.clip import BEEP_MS, COUNTDOWNS, LEAD_MS, LONG_MS, SHORTS, Clip
from pacer.signal.clipschedule import Programme

#: How long before its start a count-down is handed over: longer than any frame should
#: take, and so short that a change of schedule rarely has to cancel it.
HANDOVER_MS = 500


class Starts(Protocol):
    """What the starter needs from a player (`player.Player` is one)."""

    volume: int
    muted: bool

    @property
    def usual_latency_ms(self) -> int:
        """How much later than asked a clip is heard."""

    @property
    def silent(self) -> bool:
        """Whether nothing is heard at all."""

    def start(self, clip: Clip, at_ms: float | None = None) -> int:
        """Play `clip` at `at_ms` on the player's clock, or now if None; returns a token to stop it."""

    def notes(self) -> tuple[str, ...]:
        """What does not work, in sentences."""

    def stop(self, token: int) -> None:
        """Cancel the start with this token, or silence it if it sounds already."""


class Starter:
    """Turn programme and time into starts and stops.

    `latency_ms`: how early to start a clip on this device so that it is heard on time, as the coach
    tuned it; None uses the player's usual value.
    """

    def __init__(self, player: Starts, latency_ms: int | None = None):
        self.latency_ms = latency_ms
        self._player = player
        self._tokens: dict[int, int] = {}  # by instant, of clips handed over and not over yet
        self._programme: Programme | None = None

    def update(self, now_ms: int, programme: Programme, zero_ms: int = 0) -> None:
        """Start what is due and stop what has disappeared; call it every frame.

        `now_ms` is the current session time, which the programme uses; `zero_ms` is the instant on the
        player's clock at which the session's time is 0. A count-down that should have begun already
        (the app came back, the coach moved on) sounds from its next whole beep; one whose long beep has
        begun plays to its end.
        """
        if self._tokens:
            self._look_back(now_ms, programme)
        self._programme = programme
        first_ms = now_ms + self.start_ahead_ms
        for sound in programme.between(first_ms, first_ms + LEAD_MS + HANDOVER_MS):
            if sound.at_ms not in self._tokens:
                shorts = min(SHORTS, (sound.at_ms - first_ms) // BEEP_MS)
                start_ms = sound.at_ms - self.start_ahead_ms - shorts * BEEP_MS
                self._tokens[sound.at_ms] = self._player.start(COUNTDOWNS[shorts], zero_ms + start_ms)

    def clear(self) -> None:
        """Cancel everything: the session ended, another started, or its clock jumped."""
        for token in self._tokens.values():
            self._player.stop(token)
        self._tokens.clear()
        self._programme = None

    @property
    def start_ahead_ms(self) -> int:
        """The latency in use."""
        return self._player.usual_latency_ms if self.latency_ms is None else self.latency_ms

    def _look_back(self, now_ms: int, programme: Programme) -> None:
        changed = programme is not self._programme
        for at_ms, token in list(self._tokens.items()):
            if at_ms + LONG_MS <= now_ms:
                del self._tokens[at_ms]
            elif changed and at_ms > now_ms and at_ms not in programme:
                self._player.stop(token)
                del self._tokens[at_ms]
