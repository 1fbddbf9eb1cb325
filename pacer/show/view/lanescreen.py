"""What one lane's own view shows its swimmers: one thing large, when to leave, who leaves when, what comes after."""

from __future__ import annotations

from pacer.session.running.run import Run
from pacer.show.view.lanereader import LaneReader
from pacer.show.view.viewvalues import STOP, WAIT, Band, BandText, LaneNow, Leaver
from pacer.show.wording.readings import clock_reading, count_down, seconds_to_go
from pacer.show.wording.settext import line_words, set_words
from pacer.show.wording.viewtext import nth, say

LEAVING_MS = 1_500  #: how long `GO` stands for each swimmer


def lane_at(reader: LaneReader, at_ms: int, run: Run, phase_ms: int, now: str, glide_ms: int) -> LaneNow:
    """What the lane's own view shows at `at_ms`; `now` is the pace clock's reading."""
    band = reader.band(at_ms, run, phase_ms, False, glide_ms)
    text = band.text
    leaves = _leaves(reader, text)
    waits = [k for k, at in enumerate(leaves) if at > at_ms]
    hero, kind, label = _hero(band, leaves, waits, at_ms)
    leave, leave_label = text.clock, say("leave at") if text.clock else ""
    if text.state == WAIT:
        leave = leave_label = ""
    elif waits:
        leave = clock_reading(leaves[waits[0]], phase_ms)
        leave_label = say("who leaves at", who=nth(waits[0])) if waits[0] else say("leave at")
    leavers = tuple(_leaver(k, at, leaves, at_ms, phase_ms) for k, at in enumerate(leaves)) if len(leaves) > 1 else ()
    over = text.index < 0 or text.state == "done"
    return LaneNow(
        reader.lane,
        len(reader.timeline.tracks),
        text,
        hero,
        kind,
        label,
        text.state in ("ready", "go"),
        now,
        leave_label,
        leave,
        leavers,
        band.swum,
        band.done,
        "" if over else set_words(reader.track.pass_at(text.index).laneline),
        ("",) if over else _after(reader, text),
        run.stopped,
    )


def _leaves(reader: LaneReader, text: BandText) -> list[int]:
    """When each swimmer leaves: on the repeat being left on while the lane goes, else on the next."""
    index = text.index if text.state == "go" else text.upcoming
    if index < 0 or text.state in ("held", "done", WAIT):
        return []
    found = reader.track.pass_at(index)
    repeat = reader.track.repeat_in_line(index)
    return [found.start_ms + found.laneline.leaves(repeat, k, found.skipped) for k in range(reader.ways.swimmers)]


def _hero(band: Band, leaves: list[int], waits: list[int], at_ms: int) -> tuple[str, str, str]:
    state = band.text.state
    if state == "go":
        if any(0 <= at_ms - at < LEAVING_MS for at in leaves) or not waits:
            gone = len(leaves) - len(waits)
            return say("go"), "word", say("leaves now", who=nth(gone - 1)) if len(leaves) > 1 else ""
        return count_down(seconds_to_go(leaves[waits[0]] - at_ms)), "down", say("next in", who=nth(waits[0]))
    if state in ("held", "done", WAIT):
        return (
            band.text.word,
            "word",
            (band.text.leave_label if band.text.leave_label == say("finish") else say("waits"))
            if state == "held"
            else say("that is all")
            if state == "done"
            else say("not begun"),
        )
    if state == STOP:
        return band.text.word, "word", f"{say('leaves in')} {band.count}" if band.count else ""
    if band.count:
        return band.count, "down", say("leaves in")
    return band.swum or band.text.word, "up" if band.swum else "word", say("swum") if band.swum else ""


def _after(reader: LaneReader, text: BandText) -> tuple[str, ...]:
    """What comes after the line in hand."""
    number = reader.track.pass_of[text.index]
    if number + 1 == len(reader.track.passes):
        return (say("last line"),)
    following = reader.track.passes[number + 1]
    words = line_words(following.laneline)
    if following.section != text.section:
        name = reader.timeline.plan.sections[following.section].name
        words = tuple(f"{name}: {way}" for way in words) + (name,) if name else words
    return tuple(f"{say('then')} {way}" for way in words)


def _leaver(k: int, at: int, leaves: list[int], at_ms: int, phase_ms: int) -> Leaver:
    if at > at_ms:
        when = "next" if k == 0 or leaves[k - 1] <= at_ms else "later"
    else:
        when = "now" if at_ms - at < LEAVING_MS else "gone"
    return Leaver(nth(k), clock_reading(at, phase_ms), when)
