"""Between sections: what comes next, in words that a coach can read out to everybody."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import NamedTuple, TypeVar

from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook, drills_of
from pacer.plan.model import Break, SetLine
from pacer.plan.planlines import set_lines
from pacer.plan.times import text_from_ms
from pacer.session.running.instant import READY_MS
from pacer.session.running.replay import Run
from pacer.show.wording.drilltext import hows
from pacer.show.wording.settext import first_repeats, part_ways, parts_of, rate_words, set_words
from pacer.show.wording.timereadings import clock_reading, count_down, seconds_to_go
from pacer.show.wording.viewtext import say
from pacer.squad.lanenumbers import spans
from pacer.timeline.course import Course
from pacer.timeline.laneline import LaneLine
from pacer.timeline.timeline import Timeline

T = TypeVar("T")


class ToldLine(NamedTuple):
    """A line to read out: `4 × 200`, what is swum, when to leave, its cues.

    `depth`: how many rounds it is inside; `how`: a line for each of its drills saying how it is swum.
    """

    head: str
    work: str
    detail: tuple[str, ...]
    cues: tuple[str, ...]
    depth: int
    how: tuple[str, ...] = ()


class Changeover(NamedTuple):
    """What comes next at an instant. `count` is "" if nothing more is swum; `starts` names the mark to leave on."""

    label: str
    name: str
    rounds: tuple[str, ...]
    cue: str
    lines: tuple[ToldLine, ...]
    gear: str
    count_label: str
    count: str  # type: ignore[assignment]  # a tuple's own `count` is not used
    starts: str
    clock: str
    inverted: bool
    by_lane: bool
    whose: str = "own"


class Talk(NamedTuple):
    """The part of a section's briefing that stays the same until it starts."""

    name: str
    rounds: tuple[str, ...]
    cue: str
    lines: tuple[ToldLine, ...]
    gear: str


def changeover_view(run: Run, at_ms: int, *, phase_ms: int = 0, book: DrillBook = EMPTY_BOOK) -> Changeover:
    """The section that a lane starts next after `at_ms`; before the session, its first.

    If lanes start it separately, the first lane's start counts, and `by_lane` says so.
    """
    timeline = run.timeline
    since = -(10**12) if run.begun is None else at_ms
    coming = [found for found in (_coming(track, since) for track in timeline.tracks) if found]
    clock = clock_reading(at_ms, phase_ms)
    if not coming or run.ended_ms is not None:
        return Changeover(say("next section"), say("that is all"), ("",), "", (), "", "", "", "", clock, False, False)
    start_ms, number = min(coming)
    talk = _talk(timeline, run.course, number, book)
    leaves_in_ms = start_ms - at_ms
    begun = run.begun is not None
    return Changeover(
        say("next section") if begun and at_ms >= 0 else say("first section"),
        talk.name,
        talk.rounds,
        talk.cue,
        talk.lines,
        talk.gear,
        say("starts in") if begun else "",
        count_down(seconds_to_go(leaves_in_ms)) if begun else "",
        _mark(start_ms + phase_ms),
        clock,
        begun and leaves_in_ms <= READY_MS,
        timeline.gates.get(number) is None,
    )


def _coming(track, since: int) -> tuple[int, int] | None:
    """Start and number of the next section that the lane starts after `since`."""
    index = track.index_at(since)
    reached = track.pass_at(index).section if index >= 0 else -1
    for found in track.passes[track.pass_of[index] if index >= 0 else 0 :]:
        if found.section > reached:
            return found.start_ms, found.section
    return None


def _mark(reading_ms: int) -> str:
    clock = clock_reading(reading_ms)
    return say({":00": "on the top", ":30": "on the bottom"}.get(clock, "on the mark"), clock=clock)


@lru_cache(16)
def _talk(timeline: Timeline, course: Course, number: int, book: DrillBook) -> Talk:
    section = timeline.plan.sections[number]
    lanes = range(len(timeline.tracks))
    lines = [{line.number: line for line in course.lines(number, lane)} for lane in lanes]
    told = tuple(_told(section.items, iter(range(1, 10**6)), lines, _Lanes(timeline), 0, book))
    gear = tuple(dict.fromkeys(gear for line in set_lines(section.items) for gear in line.gear))
    return Talk(
        section.name, _rounds(section, course, number, lanes, _Lanes(timeline)), section.cue, told, ", ".join(gear)
    )


def _rounds(section, course: Course, number: int, lanes: Iterable[int], named: _Lanes) -> tuple[str, ...]:
    """How often a section is repeated: lane by lane, and in short."""
    if section.for_ms is not None:
        return (say("for", time=text_from_ms(section.for_ms)),)
    if section.at_most_ms is not None:
        return (say("at most", time=text_from_ms(section.at_most_ms)),)
    counts = {lane: course.rounds(number, lane) for lane in lanes}
    order = list(dict.fromkeys(counts.values()))
    if order == [1]:
        return ("",)
    if len(order) == 1:
        return (say("rounds", n=order[0]),)
    return (
        named.told(counts, lambda n: say("one round") if n == 1 else say("rounds", n=n)),
        say("rounds", n=named.each(counts)),
        say("rounds", n=f"{min(order)}–{max(order)}"),
    )


class _Lanes:
    """Lanes by their numbers, and values that differ from lane to lane."""

    def __init__(self, timeline: Timeline):
        self.numbers = [lane.number for lane in timeline.squad.lanes]
        self.groups = [lane.group for lane in timeline.squad.lanes]

    def named(self, lanes: list[int]) -> str:
        """`lane 4`, `lanes 1-3, 5`."""
        numbers = [self.numbers[lane] for lane in lanes]
        return say("one lane", numbers=numbers[0]) if len(numbers) == 1 else say("lanes", numbers=spans(numbers))

    def each(self, values: Mapping[int, T]) -> str:
        """Each value once with the numbers of its lanes: `4:00 (lanes 1, 2), 4:20 (3–5)`.

        Nobody could tell from values alone which lane has which.
        """
        (first, lanes), *others = _by_value(values)
        numbers = ((value, spans(self.numbers[lane] for lane in found)) for value, found in others)
        return ", ".join([f"{first} ({self.named(lanes)})", *(f"{value} ({said})" for value, said in numbers)])

    def told(self, values: Mapping[int, T], whole) -> str:
        """A single value once; several values each with their lanes."""
        found = _by_value(values)
        if len(found) == 1:
            return whole(found[0][0])
        return "; ".join(f"{self.named(lanes)}: {whole(value)}" for value, lanes in found)


def _told(items, numbers, lines: list[dict[int, LaneLine]], named: _Lanes, depth: int, book: DrillBook):
    """Rows for `items`, as written. Lines that no lane swims are left out."""
    for item in items:
        if isinstance(item, SetLine):
            number = next(numbers)
            swum = {lane: found[number] for lane, found in enumerate(lines) if number in found}
            if swum:
                yield _line(swum, named, depth, len(lines))._replace(how=hows(drills_of(item, book)))
        elif isinstance(item, Break):
            time = say("break", time=" / ".join(map(text_from_ms, item.rest_ms.entries)))
            yield ToldLine(time, "", ("",), (item.cue,) if item.cue else (), depth)
        else:
            yield ToldLine(say("rounds", n=" / ".join(map(str, item.rounds.entries))), "", ("",), (), depth)
            yield from _told(item.items, numbers, lines, named, depth + 1, book)


def _line(swum: dict[int, LaneLine], named: _Lanes, depth: int, lanes: int) -> ToldLine:
    first = next(iter(swum.values()))
    written = first.line
    head = named.told({lane: set_words(line) for lane, line in swum.items()}, str)
    if len(swum) < lanes:
        head = f"{named.named(list(swum))}: {head}"
    details = []
    if written.hold is not None:
        details.append(
            named.told(
                {lane: _whole(line.holds[0]) for lane, line in swum.items()},
                lambda ms: say("hold", time=text_from_ms(ms)),
            )
        )
    if written.rate is not None:
        details.append(rate_words(written.rate))
    if written.change is not None:
        details.append(f"{written.change.trend} 1–{written.change.over}")
    if written.apart_ms is not None:
        details.append(say("apart", time=text_from_ms(written.apart_ms)))
    shown = list(dict.fromkeys(cue for shape in first.shapes for cue in shape.cues if cue))
    ways = tuple(dict.fromkeys(", ".join(part for part in (way, *details) if part) for way in _leaves(swum, named)))
    return ToldLine(head, _work(first), ways, tuple(shown), depth)


def _whole(ms) -> int:
    """To the nearest tenth of a second."""
    return round(ms / 100) * 100


def _leaves(swum: dict[int, LaneLine], named: _Lanes) -> tuple[str, ...]:
    """When to leave again: lane by lane, and in short."""
    written = next(iter(swum.values())).line
    if written.interval is not None:
        times = {lane: tuple(dict.fromkeys(map(_whole, line.intervals))) for lane, line in swum.items()}
        key = "every"
    elif written.rest_ms is not None:
        groups = {lane: named.groups[lane] for lane in swum}
        times = {lane: (written.rest_ms.for_lane(lane, groups[lane]),) for lane in swum}
        key = "rest after"
    else:
        return (say("straight through") if any(line.count > 1 for line in swum.values()) else "",)
    said = {lane: ", ".join(map(text_from_ms, ms)) for lane, ms in times.items()}
    order = list(dict.fromkeys(said.values()))
    if len(order) == 1:
        return (say(key, time=order[0]),)
    return (
        named.told(said, lambda time: say(key, time=time)),
        say(key, time=named.each(said)),
        say("times by lane"),
    )


def _by_value(values: Mapping[int, T]) -> list[tuple[T, list[int]]]:
    found: dict[T, list[int]] = {}
    for lane, value in values.items():
        found.setdefault(value, []).append(lane)
    return list(found.items())


def _work(line: LaneLine) -> str:
    """What is swum, part by part where repeats differ."""
    said = [part_ways(line, repeat)[0].removeprefix(f"{say('as')} ") for repeat in first_repeats(line)]
    return said[0] if len(line.line.pattern.parts) == 1 else "; ".join(parts_of(line, said))
