"""The session without a window: one block of text a second, and single keys."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Protocol, TextIO

from pacer.language import tr
from pacer.session.journal.entries import Unit
from pacer.session.records.entrytext import names_of, said
from pacer.session.records.touches import due, times, touched
from pacer.show.drive.deckchanges import offered
from pacer.show.drive.driver import Driver
from pacer.show.drive.pressproposal import Proposal
from pacer.show.view.instantview import pool_view
from pacer.show.view.viewvalues import STOP, Band, PoolNow

KEYS_SAID = tr(
    "keys: space pauses and resumes, n next repeat, p previous, l next set, s next section, x stops "
    "all, q ends, q again closes pacer even if swimmers are still in the water; t takes a touch, u undoes; a digit "
    "chooses the lane, a all lanes"
)

STILL_OUT = tr("swimmers are still swimming: x stops all, u resumes the session, q again closes pacer")

#: Waits at most that many seconds for a key; "" if none came.
Wait = Callable[[float], str]


class Beside(Protocol):
    """What runs beside the session in the terminal, such as lane screens."""

    keys_said: str

    def lines(self) -> Iterable[str]:
        """What there is to say since the last time."""

    def key(self, key: str) -> str | None:
        """What a key does that the session does not know; None: nothing."""


END = ("q", "\x03")  #: the keys that end it

BESIDE_S = 0.05  #: how often it is asked


def run_in_text(
    driver: Driver,
    *,
    out: TextIO | None = None,
    wait: Wait | None = None,
    phase_ms: int = 0,
    beside: Beside | None = None,
) -> None:
    """Run the session of `driver` until it is over: print a block as each second of the session begins.

    A session that is ended is over once everybody is home, or if the key that ends it is pressed again.

    If the driver's session has not begun, it begins after its lead-in. `wait` None: keys come from the terminal, if
    there is one.
    """
    out = out or sys.stdout
    if driver.run.begun is None:
        driver.do(driver.begin())
    with _terminal_keys() if wait is None else _given(wait) as wait_for_key:
        if wait is None and sys.stdin.isatty():
            print(KEYS_SAID if beside is None else f"{KEYS_SAID}; {beside.keys_said}", file=out)
        shown: int | None = None
        chosen: int | None = None
        while True:
            at_ms = _now(driver)
            if at_ms // 1000 != shown:
                shown = at_ms // 1000
                print(
                    block(pool_view(driver.seen, at_ms, phase_ms=phase_ms, places=False)),
                    end="\n\n",
                    file=out,
                    flush=True,
                )
            for line in () if beside is None else beside.lines():
                print(f"  * {line}\n", file=out, flush=True)
            if not driver.running and not _still_out(driver):
                break
            rest_s = (1000 - _now(driver) % 1000) / 1000
            key = wait_for_key(rest_s if beside is None else min(rest_s, BESIDE_S))
            if key.isdigit() or key == "a":
                chosen = _lane(driver, key)
                named = (
                    tr("all lanes")
                    if chosen is None
                    else tr("lane {number}", number=driver.run.timeline.lanes[chosen].number)
                )
                print(f"  * {tr('keys are for {named}', named=named)}\n", file=out, flush=True)
            elif key in END and driver.ended:
                break
            elif key:
                if beside is not None and (told := beside.key(key)) is not None:
                    print(f"  * {told}\n", file=out, flush=True)
                    continue
                proposal = _proposal(driver, key, None if chosen is None else (chosen,))
                if proposal is not None:
                    answer = driver.do(proposal) or proposal.ways
                    print(f"  * {answer[0]}\n", file=out, flush=True)
                    if key in END and _still_out(driver):
                        print(f"  * {STILL_OUT}\n", file=out, flush=True)
                    shown = None
    print(tr("The session is over."), file=out)


def block(view: PoolNow) -> str:
    """One instant as text: the pool view's words, a row for each lane."""
    out = ", ".join(part for part in (view.out, *view.spare[:1]) if part)
    head = "  ".join(part for part in (view.clock, f"{view.session_label} {view.session}", view.section, out) if part)
    return "\n".join([head, *[_row(band) for band in view.bands]])


def _row(band: Band) -> str:
    text = band.text
    leave = (
        tr("leaves {clock} in {count:>5}", clock=text.clock, count=band.count)
        if band.count
        else f"{text.leave_label} {text.clock}".strip()
    )
    swum = tr("elapsed {swum:>5}", swum=band.swum) if band.swum else ""
    what = ", ".join(part for part in (text.distance, _longest(text.repeat), _longest(text.round)) if part)
    doing = f"{text.present} {_longest(text.doing)}".strip().removeprefix(text.distance if text.state == STOP else "")
    cue = f"“{text.cue}”" if text.cue else ""
    tight = f"/!\\ {text.tight[0]}" if text.tight else ""
    return (
        f"  {text.lane:>2}  {text.word:<10} {leave:<20} {swum:<11} {what:<32} "
        f"{'  '.join(filter(None, (tight, doing, cue)))}"
    ).rstrip()


def _longest(ways: tuple[str, ...]) -> str:
    return ways[0] if ways else ""


def _lane(driver: Driver, key: str) -> int | None:
    """The lane with that number on the wall; None, meaning all, if there is no such lane."""
    return next((index for index, lane in enumerate(driver.run.timeline.lanes) if str(lane.number) == key), None)


def _proposal(driver: Driver, key: str, lanes: tuple[int, ...] | None) -> Proposal | None:
    if key == " ":
        waiting = [lane for lane in driver.run.paused() if lanes is None or lane in lanes]
        return driver.resume(lanes) if waiting else driver.pause(lanes)
    actions = {
        "n": lambda: driver.move(Unit.REPEAT, 1, lanes), "p": lambda: driver.move(Unit.REPEAT, -1, lanes),
        "l": lambda: driver.move(Unit.LINE, 1, lanes), "s": lambda: driver.move(Unit.SECTION, 1, lanes),
        "x": driver.stop_all, **dict.fromkeys(END, driver.end),
        "t": lambda: _touch(driver, lanes), "u": lambda: driver.reopen() if driver.ended else _take_back(driver),
    }  # fmt: skip
    return actions[key]() if key in actions else None


def _still_out(driver: Driver) -> bool:
    """Whether the session was ended, and somebody still swims to the wall."""
    if not driver.ended:
        return False
    return any(band.text.state == STOP for band in pool_view(driver.seen, _now(driver), places=False).bands)


def _now(driver: Driver) -> int:
    """Session time, for a session that has begun."""
    at_ms = driver.at_ms()
    assert at_ms is not None
    return at_ms


def _touch(driver: Driver, lanes: tuple[int, ...] | None) -> Proposal:
    """The swimmer who is due arrives; if no lane is chosen, in the only lane."""
    if lanes is None and len(driver.run.timeline.tracks) > 1:
        return Proposal(None, (tr("choose a lane first: press its number"),))
    lane, at_ms = (lanes or (0,))[0], _now(driver)
    swim = due(driver.run, times(driver.journal), lane, at_ms)
    if swim is None:
        return Proposal(None, (tr("no swimmer in that lane is due at the wall"),))
    entry = touched(swim, at_ms)
    return Proposal(entry, (said(entry, names_of(driver.run.timeline)),), driver.now_ms(), driver.run)


def _take_back(driver: Driver) -> Proposal:
    proposal = offered(driver, "take back", None)
    return proposal if proposal.entry is None else replace(proposal, ways=(tr("undone: {says}", says=proposal.says),))


@contextmanager
def _given(wait: Wait) -> Iterator[Wait]:
    yield wait


@contextmanager
def _terminal_keys() -> Iterator[Wait]:
    """Keys as they are pressed, if standard input is a terminal; else time just passes."""
    import selectors
    import time

    def slept(seconds: float) -> str:
        time.sleep(seconds)
        return ""

    try:
        import termios
        import tty

        stream = sys.stdin.fileno()
        before = termios.tcgetattr(stream)
    except (ImportError, OSError, ValueError, AttributeError):
        yield slept
        return
    except termios.error:
        yield slept
        return

    # Not `select.select`: in a process that was suspended, it waits for the rest of its time, however long the pause
    # was.
    with selectors.DefaultSelector() as keys:
        keys.register(stream, selectors.EVENT_READ)
        try:
            tty.setcbreak(stream)
            yield lambda seconds: sys.stdin.read(1) if keys.select(seconds) else ""
        finally:
            termios.tcsetattr(stream, termios.TCSADRAIN, before)
