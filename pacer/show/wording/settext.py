"""Set lines and segments in words, from the longest way to say them to the shortest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from pacer.plan.model import Activity, Effort, Part, RateRange, Stroke, Work
from pacer.plan.times import text_from_ms
from pacer.show.wording.viewtext import say
from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import Shape

#: The trade's short forms.
SHORT = {"free": "fr", "back": "bk", "breast": "br", "fly": "fl", "choice": "ch", "kick": "k", "pull": "p",
    "drill": "d",
         "easy": "ez"}  # fmt: skip


def work_words(work: Work) -> tuple[str, ...]:
    """Work without its distance, the longest way first.

    With name and effort, without effort, the name alone, without name, short.
    """
    return _work_ways(work, work.as_swim)


@lru_cache(1024)
def _work_ways(work: Work, as_swim: bool) -> tuple[str, ...]:
    kind = str(work.stroke) if work.activity is Activity.SWIM and not as_swim else str(work.activity)
    stroke = "" if work.activity is Activity.SWIM or work.stroke is None else str(work.stroke)
    effort = "" if work.effort in (None, Effort.THRESHOLD) else str(work.effort)
    short = SHORT.get(kind, kind)
    ways = (
        (kind, work.name, stroke, effort),
        (kind, work.name, stroke),
        *([(work.name,)] if work.name and work.activity is Activity.DRILL else []),  # what swimmers call it
        (kind, stroke, effort),
        (kind, stroke),
        (kind,),
        (short,),
    )
    return tuple(dict.fromkeys(" ".join(word for word in way if word) for way in ways))


@lru_cache(4096)
def doing_words(shape: Shape, segment: int, medley: bool = False) -> tuple[str, ...]:
    """What is done in a segment, with its distance or time, the longest way first.

    `medley`: the stroke changes in IM order from repeat to repeat, and "IM order" is said for it.
    """
    start = shape.ends[segment - 1] if segment else 0
    length = str(shape.ends[segment] - start) if shape.time_ms is None else text_from_ms(shape.time_ms)
    full, work = shape.doings[segment], shape.works[segment]
    if medley:
        full, work = full.replace(f" {work.stroke}", f" {Stroke.IM_ORDER}", 1), replace(work, stroke=Stroke.IM_ORDER)
    if work.as_swim:  # the timeline's word is the stroke
        full = full.replace(f"{length} {Stroke.FREE}", f"{length} {Activity.SWIM}", 1)
    return tuple(dict.fromkeys((full, *(f"{length} {words}" for words in work_words(work)))))


def name_words(work: Work) -> str:
    """A drill's name alone; a scull's or a kick's name with its activity; "" for none."""
    return work.name if work.activity is Activity.DRILL or not work.name else f"{work.activity} {work.name}"


def rate_words(wanted: RateRange) -> str:
    """`rate 32–40`, or `rate 36` if it stays the same."""
    return say("rate", rate=wanted.start if wanted.start == wanted.end else f"{wanted.start}–{wanted.end}")


def length_words(shape: Shape) -> str:
    """The length of a repeat: its distance, or its time.

    Distances have no unit: it is the same in the whole pool.
    """
    return str(shape.distance) if shape.time_ms is None else text_from_ms(shape.time_ms)


def set_words(line: LaneLine, count: int | None = None) -> str:
    """`4 × 200`; a single repeat is its distance alone, a ladder its steps. `count`: how many are swum, if not all."""
    if line.line.ladder is not None:
        return " - ".join(map(str, line.line.ladder))
    length = length_words(line.shapes[0])
    count = line.count if count is None else count
    return length if count == 1 else say("times", n=count, what=length)


def line_words(line: LaneLine, count: int | None = None) -> tuple[str, ...]:
    """A whole line in one phrase, the longest way first: `200 as 50 drill / 50 back`, `6 × 50 odd free / even fly`."""
    return _whole(set_words(line, count), line)


def lanes_words(lines: Sequence[LaneLine], repeats: Sequence[int] = ()) -> tuple[str, ...]:
    """A line of the plan as several lanes swim it, the longest way first: `6 / 5 / 3 × 50 as 25 drill / 25 free`.

    `repeats`: how many each of them swims, if time or a press cuts it short.
    """
    heads = dict.fromkeys(map(set_words, lines, repeats or [line.count for line in lines]))
    counts, far = [head.rpartition(" × ")[0] for head in heads], {head.rpartition(" × ")[2] for head in heads}
    if len(heads) == 1:
        return _whole(next(iter(heads)), lines[0])
    whole = f"{' / '.join(counts)} × {far.pop()}" if len(far) == 1 and all(counts) else " / ".join(heads)
    return _whole(whole, max(lines, key=lambda line: line.count))


def repeat_words(line: LaneLine, repeat: int) -> tuple[str, ...]:
    """One repeat, counted from 0, of a line: `100 back build`, `200 as 50 drill / 50 back`, the longest way first."""
    return _after(length_words(line.shapes[repeat]), part_ways(line, repeat, alone=True))


def parts_of(line: LaneLine, said: Sequence[str]) -> list[str]:
    """Each of `said` after the repeats it is for: `odd free`, `even back`; `1–4 free`, `5–8 back`; `2 fly`, `1 free`.

    `said` has an entry for each part that the line's repeats reach.
    """
    parts = line.line.pattern.parts
    if line.line.pattern.cycles:
        alternate = [part.count for part in parts] == [1, 1]
        return [
            f"{say(('odd', 'even')[place]) if alternate else part.count} {words}"
            for place, (part, words) in enumerate(zip(parts, said))
        ]
    made, last = [], 0
    for part, words in zip(parts, said):
        first, last = last + 1, min(last + part.count, line.count)
        made.append(f"{first if first == last else f'{first}–{last}'} {words}")
    return made


def first_repeats(line: LaneLine) -> list[int]:
    """The first repeat (from 0) of each part that the line's repeats reach."""
    firsts, place = [], 0
    for part in line.line.pattern.parts:
        if place < line.count:
            firsts.append(place)
        place += part.count
    return firsts


def part_ways(line: LaneLine, repeat: int, alone: bool = False) -> tuple[str, ...]:
    """The work of a repeat without its distance, the longest way first: `back build`, `as 50 drill / 50 back`.

    `alone`: of this repeat only; otherwise of all that have its part, where the stroke may go in IM order.
    """
    shape, part = line.shapes[repeat], line.line.pattern.part_of(repeat + 1)
    medley = [not alone and line.count > 1 and _in_order(part, j) for j in range(len(shape.works))]
    if len(shape.works) == 1:
        return work_words(replace(shape.works[0], stroke=Stroke.IM_ORDER) if medley[0] else shape.works[0])
    written = range(min(len(part.segments), len(shape.works)))
    ways = zip(*[_padded(doing_words(shape, j, medley[j]), 3) for j in written])
    return tuple(dict.fromkeys(f"{say('as')} " + " / ".join(way) for way in ways))


def _in_order(part: Part, segment: int) -> bool:
    return part.segments[segment % len(part.segments)].work.stroke is Stroke.IM_ORDER


def _whole(head: str, line: LaneLine) -> tuple[str, ...]:
    firsts = first_repeats(line)
    if len(firsts) == 1:
        return _after(head, part_ways(line, 0))
    ways = [part_ways(line, repeat) for repeat in firsts]
    longest = max(map(len, ways))
    pattern = line.line.pattern
    lead = "" if [part.count for part in pattern.parts] == [1, 1] and pattern.cycles else "in turn"
    lead = lead if pattern.cycles else "repeats"
    lead = f"{say(lead)} " if lead else ""
    rows = zip(*[_padded(_grouped(each), longest) for each in ways])
    return _after(head, tuple(dict.fromkeys(lead + " / ".join(parts_of(line, row)) for row in rows)))


def _grouped(ways: Sequence[str]) -> list[str]:
    """The ways of a part of several: its segments in brackets, as their slashes differ from those between parts."""
    lead = f"{say('as')} "
    return [f"({way.removeprefix(lead)})" if way.startswith(lead) else way for way in ways]


def _after(head: str, ways: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f"{head} {way}" for way in ways)) + (head,)


def _padded(ways: Sequence[str], count: int) -> list[str]:
    return [ways[min(i, len(ways) - 1)] for i in range(count)]
