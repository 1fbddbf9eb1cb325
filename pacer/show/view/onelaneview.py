"""What one lane's own view shows its swimmers: one large thing, when to leave, who leaves when, what comes next."""

from __future__ import annotations

from bisect import bisect_right

from pacer.session.running.replay import Run
from pacer.show.view.bandreader import BandReader
from pacer.show.view.viewvalues import STOP, WAIT, BandCard, BandText, LaneCard, LaneNow, Leaver
from pacer.show.wording.settext import line_words, set_words
from pacer.show.wording.timereadings import clock_reading, count_down, count_up, seconds_to_go
from pacer.show.wording.viewtext import nth, say
from pacer.timeline.track import Track

LEAVING_MS = 1_500  #: how long `GO` is shown for each swimmer


def lane_at(reader: BandReader, at_ms: int, run: Run, phase_ms: int, now: str, glide_ms: int) -> LaneNow:
    """What the lane's own view shows at `at_ms`; `now` is the pace clock's reading."""
    band = reader.band(at_ms, run, phase_ms, False, glide_ms)
    card = lane_card(reader, at_ms, run, phase_ms)
    hero, label = card.hero, card.hero_label
    if card.hero_ms is not None:
        down = card.kind == "down"
        hero = count_down(seconds_to_go(card.hero_ms - at_ms)) if down else count_up((at_ms - card.hero_ms) // 1000)
    if card.label_ms is not None:
        label = f"{label} {count_down(seconds_to_go(card.label_ms - at_ms))}"
    return LaneNow(
        reader.lane,
        len(reader.timeline.tracks),
        band.text,
        hero,
        card.kind,
        label,
        card.inverted,
        now,
        card.leave_label,
        card.leave,
        card.leavers,
        band.swum,
        band.done,
        card.set_words,
        card.after,
        run.stopped,
    )


def lane_card(reader: BandReader, at_ms: int, run: Run, phase_ms: int) -> LaneCard:
    """What the lane's own view says at `at_ms`, with the instants that it counts to and from."""
    band = reader.card(at_ms, run, phase_ms, bisect_right(reader.track.sendoffs, at_ms) - 1)
    text = band.text
    leaves = _leaves(reader, text)
    waits = [k for k, at in enumerate(leaves) if at > at_ms]
    leave, leave_label = text.clock, say("leave at") if text.clock else ""
    if text.state == WAIT:
        leave = leave_label = ""
    elif waits:
        leave = clock_reading(leaves[waits[0]], phase_ms)
        leave_label = say("who leaves at", who=nth(waits[0])) if waits[0] else say("leave at")
    leavers = tuple(_leaver(k, at, leaves, at_ms, phase_ms) for k, at in enumerate(leaves)) if len(leaves) > 1 else ()
    over = text.index < 0 or text.state == "done"
    return LaneCard(
        band,
        *_hero(band, leaves, waits, at_ms),
        text.state in ("ready", "go"),
        leave_label,
        leave,
        leavers,
        "" if over else _set(reader.track, text.index),
        ("",) if over else _after(reader, text),
    )


def lane_changes(reader: BandReader, run: Run, from_ms: int, until_ms: int) -> set[int]:
    """The instants after `from_ms` and before `until_ms` at which the lane's view may say something else.

    Besides those of its band, when each swimmer leaves and when that is over.
    """
    made = reader.changes(run, from_ms, until_ms)
    track = reader.track
    last = track.index_at(until_ms)
    for index in range(max(0, track.index_at(from_ms)), min(last + 2, len(track.sendoffs))):
        for leaves in _leaves_on(reader, index):
            made |= {at for at in (leaves, leaves + LEAVING_MS) if from_ms < at < until_ms}
    return made


def _leaves(reader: BandReader, text: BandText) -> list[int]:
    """When each swimmer leaves: on the repeat that the lane is leaving on, else on the next."""
    index = text.index if text.state == "go" else text.upcoming
    if index < 0 or text.state in ("paused", "done", WAIT):
        return []
    return _leaves_on(reader, index)


def _leaves_on(reader: BandReader, index: int) -> list[int]:
    found = reader.track.pass_at(index)
    return [found.leaves(index, k) for k in range(len(found.laneline.bases))]


def _hero(
    band: BandCard, leaves: list[int], waits: list[int], at_ms: int
) -> tuple[str, int | None, str, str, int | None]:
    """The hero as a word or an instant, its kind, its label and the instant that is counted down to behind that."""
    text, state = band.text, band.text.state
    if state == "go":
        if any(0 <= at_ms - at < LEAVING_MS for at in leaves) or not waits:
            gone = len(leaves) - len(waits)
            label = say("leaves now", who=nth(gone - 1)) if len(leaves) > 1 else ""
            return say("go"), None, "word", label, None
        return "", leaves[waits[0]], "down", say("next in", who=nth(waits[0])), None
    if state == "paused":
        finish = text.leave_label == say("finish")
        return text.word, None, "word", text.leave_label if finish else say("waits"), None
    if state in ("done", WAIT):
        return text.word, None, "word", say("that is all") if state == "done" else say("not begun"), None
    if state == STOP:
        return text.word, None, "word", "" if band.leave_ms is None else say("leaves in"), band.leave_ms
    if band.leave_ms is not None:
        return "", band.leave_ms, "down", say("leaves in"), None
    if band.sent_ms is not None:
        return "", band.sent_ms, "up", say("swum"), None
    return text.word, None, "word", "", None


def _set(track: Track, index: int) -> str:
    """The set of a repeat, with as many repeats as the lane swims."""
    found = track.pass_at(index)
    return set_words(found.laneline, track.repeats_of(found))


def _after(reader: BandReader, text: BandText) -> tuple[str, ...]:
    """What comes after the current line."""
    number = reader.track.pass_of[text.index]
    if number + 1 == len(reader.track.passes):
        return (say("last line"),)
    following = reader.track.passes[number + 1]
    words = line_words(following.laneline, reader.track.repeats_of(following))
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


def later_ways(leavers: tuple[Leaver, ...]) -> tuple[str, ...]:
    """When those leave who leave after the next one, the longest way first; ("",) where nobody does."""
    later = [leaver.clock for leaver in leavers if leaver.when == "later"]
    if not later:
        return ("",)
    short = f"{later[0]} … {later[-1]}" if len(later) > 2 else " ".join(later)
    return tuple(dict.fromkeys((" ".join((say("then"), *later)), " ".join(later), short)))


def work_ways(text: BandText) -> tuple[str, ...]:
    """What is swum now; before the send-off the whole next repeat, part by part. The longest way comes first."""
    if text.lit >= 0 or len(text.ribbon) < 2:
        return text.doing
    most = max(len(piece.labels) for piece in text.ribbon)
    whole = [" / ".join(piece.labels[min(way, len(piece.labels) - 1)] for piece in text.ribbon) for way in range(most)]
    return tuple(dict.fromkeys((*whole, *text.doing)))


def foot_ways(set_words: str, text: BandText) -> tuple[str, ...]:
    """The set in hand with repeat and round, the longest way first."""
    ways = ((set_words, text.repeat[0], text.round[0]), (set_words, text.repeat[-1], text.round[-1]),
            (set_words, text.repeat[-1]), (set_words,))  # fmt: skip
    return tuple("  ".join(filter(None, way)) for way in ways)
