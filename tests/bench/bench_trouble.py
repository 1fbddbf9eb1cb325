"""A session in text form, in a separate process in real time, while its machine makes trouble.

    python tests/bench/bench_trouble.py [SECONDS]

The process is stopped (SIGSTOP) for SECONDS (60) and continued; its disk is full for a while; its folder is read-only
for a while (these two need root, and are skipped without). Prints how soon it showed the right instant, and raises an
AssertionError if it showed a wrong one, or if a press is not in the journal exactly once, in its place.
"""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager, suppress
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

from table import Row, print_table, shown

from pacer.session.storage.store import Store

PAUSES = r"lane 1 (?:stops at the wall and )?pauses"
BLOCK = re.compile(r"session time (\d+):(\d\d)")


class Running:
    """`pacer run --text` in a separate terminal, with its output so far."""

    def __init__(self, home: Path):
        self._terminal, inner = pty.openpty()
        command = [sys.executable, "-m", "pacer", "run", "--text", "--new", "--line", "30 x 50 free on 1:00"]
        self.process = subprocess.Popen(
            command, cwd=ROOT, stdin=inner, stdout=inner, stderr=inner, env={**os.environ, "PACER_HOME": str(home)}
        )
        os.close(inner)
        self.said = ""

    def __enter__(self) -> Running:
        return self

    def __exit__(self, *_) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self._terminal)

    def hears(self, pattern: str, timeout_s: float = 30.0) -> tuple[re.Match, float]:
        """Wait for new output that matches; return the last match, and when it came."""
        until, heard = time.monotonic() + timeout_s, ""
        while not (found := list(re.finditer(pattern, heard))):
            assert select.select([self._terminal], [], [], max(0, until - time.monotonic()))[0], (
                f"{pattern} was not said:\n{self.said[-2000:]}"
            )
            heard += os.read(self._terminal, 65_536).decode()
        self.said += heard
        return found[-1], time.monotonic()

    def at(self) -> tuple[int, float]:
        """The next second that it shows, and when."""
        found, came = self.hears(BLOCK.pattern)
        return int(found[1]) * 60 + int(found[2]), came

    def press(self, key: str) -> None:
        os.write(self._terminal, key.encode())

    def over(self) -> None:
        self.press("q")
        if "again" in self.hears("q again closes pacer|The session is over")[0][0]:  # somebody is still swimming
            self.press("q")
            self.hears("The session is over")
        assert self.process.wait(20) == 0


def kept(home: Path) -> list[str]:
    """The journal of the only session there, after checking that its numbers have no gap."""
    store = Store(home)
    assert store.open() == () and [listed.number for listed in store.sessions()] == [1]
    session = store.session(1)
    assert not session.lost and [line.number for line in session.lines] == list(range(1, len(session.lines) + 1))
    return [type(entry).__name__ for entry in session.journal]


def stopped(home: Path, seconds: float) -> list[Row]:
    with Running(home) as session:
        session.hears("session time 0:02")
        before, came = session.at()
        session.process.send_signal(signal.SIGSTOP)
        time.sleep(seconds)
        goes_on = time.monotonic()
        session.process.send_signal(signal.SIGCONT)
        after, again = session.at()
        passed = again - came
        assert again - goes_on < 0.5, "it takes its time to show anything"
        assert abs(after - before - passed) < 1.0, (before, after, passed)
        session.press(" ")
        session.hears(PAUSES)
        session.press(" ")
        session.hears(r"\* lane 1 leaves :")
        session.over()
    assert kept(home) == ["Begun", "Paused", "Resumed", "Ended"]
    return [
        Row(
            f"stopped for {seconds:.0f} s: from going on to the instant as it is",
            shown(again - goes_on),
            "at once",
            spread=f"{after} s, {passed:.2f} s after {before} s",
        )
    ]


@contextmanager
def mounted(place: Path, options: str):
    place.mkdir(exist_ok=True)
    subprocess.run(["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place)], check=True)
    try:
        yield
    finally:
        subprocess.run(["umount", str(place)], check=True)


def on_a_full_disk(home: Path) -> list[Row]:
    with mounted(home, "size=1m"), Running(home) as session:
        session.hears("session time 0:02")
        told, presses = "", 0
        while not told.startswith("not") and presses < 400:  # the store still has some room, and makes some
            with (home / "filler").open("ab", buffering=0) as file, suppress(OSError):
                while True:
                    file.write(bytes(512))
            session.press(" ")
            told, presses = session.hears(r"not saved yet[^\r\n]*|\* lane 1 leaves|" + PAUSES)[0][0], presses + 1
        assert told.startswith("not"), "the disk is full"
        before, came = session.at()
        after, again = session.at()
        assert abs(after - before - (again - came)) < 1.0
        (home / "filler").unlink()
        session.press(" ")
        session.hears(PAUSES + r"|\* lane 1 leaves")
        session.over()
        assert kept(home) == ["Begun", *(["Paused", "Resumed"] * 201)[: presses + 1], "Ended"]
    return [Row(f"on a disk that was full for a while: none of {presses + 1} presses lost", "", spread=told)]


def where_nothing_can_be_written(home: Path) -> list[Row]:
    with mounted(home, "ro,size=1m"), Running(home) as session:
        told, _ = session.hears("pacer can't save to[^\\r\\n]*")
        session.hears("session time 0:02")
        before, came = session.at()
        after, again = session.at()
        assert abs(after - before - (again - came)) < 1.0
        session.press(" ")
        session.hears(r"not saved yet[^\r\n]*|" + PAUSES)
        subprocess.run(["mount", "-o", "remount,rw", str(home)], check=True)
        time.sleep(3)
        session.press(" ")
        session.hears(r"\* lane 1 leaves :")
        session.over()
        assert kept(home) == ["Begun", "Paused", "Resumed", "Ended"]
    return [Row("in a folder that could only be read for a while: nothing lost", "", spread=told[0])]


def main(seconds: float = 60) -> None:
    with tempfile.TemporaryDirectory() as folder:
        rows = stopped(Path(folder) / "stopped", seconds)
        if os.geteuid() == 0:
            rows += on_a_full_disk(Path(folder) / "full") + where_nothing_can_be_written(Path(folder) / "read")
        print_table(rows)


if __name__ == "__main__":
    main(*map(float, sys.argv[1:]))
