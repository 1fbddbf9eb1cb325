"""Play clips on time, with the first back end that works.

A failure becomes a sentence for the settings page and is never raised: a session continues without
sound, because everything that sounds is also on the screen.
"""

from __future__ import annotations

import contextlib
import heapq
import itertools
import logging
import os
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from pacer.language import tr
from pacer.signal.clip import STOP_ALL, Clip, still_right
from pacer.signal.output import Output, Unavailable
from pacer.signal.output_kivy import KivyOutput
from pacer.signal.output_plyer import PlyerOutput
from pacer.signal.output_silent import NO_SOUND, SilentOutput
from pacer.signal.plyerfacade import leave_java
from pacer.threadswitching import short_turns

log = logging.getLogger(__name__)

#: A clip that is later than this stays silent; stop all is never too late.
SILENT_FROM_MS = 200

#: A count-down that is later than this starts at its next whole beep, so that the long one is in its place.
LATE_BEEP_MS = 100

_FINE_MS = 20  # the last milliseconds are slept: waiting for a lock is coarser on some systems
_LOOK_MS = 250  # look at the clock this often: it may run differently from the one that waits


def monotonic_ms() -> float:
    """Milliseconds on a clock that never jumps."""
    return time.monotonic_ns() / 1_000_000


def open_player(platform: str, folder: Path | None = None, clock_ms: Callable[[], float] = monotonic_ms) -> Player:
    """The player for `platform`, by Kivy's name for it (`android`, `win`, `macosx`, `linux`, ...).

    `folder` is where the app may store the clips' files (under 2 MB); without it, or if it cannot be
    written to, a temporary folder that is deleted when the player closes. Call it on the thread on
    which the app starts; it never raises. `clock_ms` is the clock for all instants given to the
    player; the player's thread calls it as well.
    """
    own = platform in ("android", "win")
    return Player((PlyerOutput, KivyOutput) if own else (KivyOutput,), folder, clock_ms)


class Player:
    """Start and stop clips on a separate thread, so that neither waits for a frame.

    One clip sounds at a time. Meanwhile a clip of lower rank is dropped, and one of the same or a
    higher rank replaces it: a tick never cuts off a count-down, stop all cuts off anything.
    """

    def __init__(self, opens: Sequence[type[Output]], folder: Path | None, clock_ms: Callable[[], float]):
        self._clock_ms = clock_ms
        self._opens: Iterator[type[Output]] = iter((*opens, SilentOutput))
        self._notes: dict[str, None] = {}
        self._temporary: tempfile.TemporaryDirectory | None = None
        self._folder = self._usable(folder)
        self.output = self._open_next()
        self._tokens = itertools.count(1)
        self.changed = threading.Condition()
        # Everything below is shared with the thread, and protected by `changed`.
        self.pending: list[tuple[float, int, Clip]] = []  # a heap
        self.sounding: tuple[int, Clip, float] | None = None  # token, clip, end
        self._volume = 100
        self._muted = False
        self._halt = False
        self._prepared: tuple[Output, int] | None = None
        self._closed = False
        self.thread = threading.Thread(target=self._run, name="player", daemon=True)
        self.thread.start()

    @property
    def name(self) -> str:
        """The back end in use: `plyer`, `kivy` or `silent`."""
        return self.output.name

    @property
    def usual_latency_ms(self) -> int:
        """How early to start this back end, until the coach has tuned it."""
        return self.output.usual_latency_ms

    @property
    def silent(self) -> bool:
        """Whether nothing is heard on this tablet at all."""
        return isinstance(self.output, SilentOutput)

    def notes(self) -> tuple[str, ...]:
        """What does not work, one plain sentence for each."""
        return tuple(self._notes)

    def start(self, clip: Clip, at_ms: float | None = None) -> int:
        """Play `clip` at `at_ms` on the player's clock, or now if None. Returns a token for `stop`.

        Returns at once. The player's thread starts the clip; the start is as exact as that thread's
        waking, plus the device's buffer. It does not allow for the device's latency (`Starter` does).
        A clip more than `SILENT_FROM_MS` late stays silent; of a count-down more than `LATE_BEEP_MS` late, the
        part that can still come on time sounds. `STOP_ALL` also cancels all later starts, and sounds at
        full volume even when muted.
        """
        with self.changed:
            token = next(self._tokens)
            if clip is STOP_ALL:
                self.pending.clear()
            heapq.heappush(self.pending, (self._clock_ms() if at_ms is None else at_ms, token, clip))
            self.changed.notify()
        return token

    def stop(self, token: int | None = None) -> None:
        """Cancel or silence the clip with this token from `start`; without a token, all. Returns at once."""
        with self.changed:
            self.pending = [each for each in self.pending if token is not None and each[1] != token]
            heapq.heapify(self.pending)
            if self.sounding and token in (None, self.sounding[0]):
                self._halt = True
            self.changed.notify()

    @property
    def volume(self) -> int:
        """Per cent of the full amplitude, 0 to 100; the coach sets the device's own volume."""
        return self._volume

    @volume.setter
    def volume(self, percent: int) -> None:
        with self.changed:
            self._volume = min(100, max(0, percent))
            self.changed.notify()

    @property
    def muted(self) -> bool:
        """Whether only stop all sounds. Setting it silences the current clip."""
        return self._muted

    @muted.setter
    def muted(self, muted: bool) -> None:
        with self.changed:
            self._muted = muted
            if muted and self.sounding and self.sounding[1] is not STOP_ALL:
                self._halt = True
            self.changed.notify()

    def close(self) -> None:
        """Silence everything and release the device; later calls do nothing."""
        with self.changed:
            self._closed = True
            self.changed.notify()
        self.thread.join(timeout=2)
        if self._temporary:
            self._temporary.cleanup()

    # Opening a back end: first on the app's thread, after a failure on the player's.

    def _usable(self, folder: Path | None) -> Path:
        """`folder` if files can be stored there, otherwise a temporary one."""
        if folder is not None:
            with contextlib.suppress(OSError):
                folder.mkdir(parents=True, exist_ok=True)
                if os.access(folder, os.W_OK):
                    return folder
            self._note(tr("pacer can't store its sounds on this tablet, so it makes them each time."))
        with contextlib.suppress(OSError):
            self._temporary = tempfile.TemporaryDirectory(prefix="pacer-")
            return Path(self._temporary.name)
        return Path()  # nothing can be stored: the outputs that need files will say so

    def _open_next(self) -> Output:
        for opens in self._opens:
            try:
                output = opens(self._folder)
            except Unavailable as refusal:
                self._note(str(refusal))
            except Exception:  # a provider may raise anything
                log.exception("%s does not open", opens.label)
                self._note(tr("Sound: {player} does not work here.", player=opens.label))
            else:
                break
        if isinstance(output, SilentOutput):
            self._note(NO_SOUND)
        return output

    def _note(self, sentence: str) -> None:
        self._notes[sentence] = None

    # On the player's thread.

    def _run(self) -> None:
        while job := self._next_job():
            job()
        with contextlib.suppress(Exception):
            self.output.close()
        leave_java()

    def _next_job(self) -> Callable[[], None] | None:
        """Wait for something to do; None when the player is closed."""
        with self.changed:
            while not self._closed:
                if self._halt:
                    return self._silence
                wait_ms = self.pending[0][0] - self._clock_ms() if self.pending else None
                if wait_ms is not None and wait_ms <= _FINE_MS:
                    return self._play_next
                if self._prepared != (self.output, self._volume):
                    return self._prepare
                self.changed.wait(None if wait_ms is None else min(wait_ms - _FINE_MS, _LOOK_MS) / 1000)
        return None

    def _silence(self) -> None:
        with self.changed:
            self._halt, self.sounding = False, None
        with contextlib.suppress(Exception):
            self.output.stop()

    def _prepare(self) -> None:
        self._prepared = (self.output, self._volume)
        self._insist(lambda output: output.prepare(self._volume))

    def _play_next(self) -> None:
        with short_turns():  # near a start, a working frame must not hold up a beep
            self._sleep_and_play()

    def _sleep_and_play(self) -> None:
        with self.changed:
            if not self.pending:
                return
            at_ms, token, clip = self.pending[0]
        time.sleep(max(0.0, at_ms - self._clock_ms()) / 1000)
        with self.changed:
            if self._halt or not self.pending or self.pending[0][1] != token:
                return  # during the sleep it was stopped, or something came before it
            heapq.heappop(self.pending)
            now_ms = self._clock_ms()
            if now_ms - at_ms > LATE_BEEP_MS and (rest := still_right(clip, now_ms - at_ms)):
                heapq.heappush(self.pending, (at_ms + rest[1], token, rest[0]))
                return
            if clip is not STOP_ALL and (self._muted or now_ms - at_ms > SILENT_FROM_MS):
                return
            if self.sounding and now_ms < self.sounding[2] and self.sounding[1].rank > clip.rank:
                return
            self.sounding = (token, clip, now_ms + clip.length_ms)
        volume = 100 if clip is STOP_ALL else self._volume
        self._insist(lambda output: output.play(clip, volume))

    def _insist(self, act: Callable[[Output], None]) -> None:
        """Do it with this back end; if it fails, try once more, and then use the next back end."""
        while True:
            for _ in range(2):
                with contextlib.suppress(Exception):
                    return act(self.output)
            with contextlib.suppress(Exception):
                self.output.close()
            label = self.output.label
            self._note(tr("Sound: {player} failed and is off.", player=label))
            self.output = self._open_next()
