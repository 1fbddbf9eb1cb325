"""Set lines and segments in words, from the longest way to say them to the shortest."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from pacer.plan.model import Activity, Effort, RateRange, Stroke, Work
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
def doing_words(shape: Shape, segment: int) -> tuple[str, ...]:
    """What is done in a segment, with its distance or time, the longest way first."""
    start = shape.ends[segment - 1] if segment else 0
    length = str(shape.ends[segment] - start) if shape.time_ms is None else text_from_ms(shape.time_ms)
    full = shape.doings[segment]
    if shape.works[segment].as_swim:  # the timeline's word is the stroke
        full = full.replace(f"{length} {Stroke.FREE}", f"{length} {Activity.SWIM}", 1)
    return tuple(dict.fromkeys((full, *(f"{length} {words}" for words in work_words(shape.works[segment])))))


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


def set_words(line: LaneLine) -> str:
    """`4 × 200`; a single repeat is its distance alone, a ladder its steps."""
    if line.line.ladder is not None:
        return " - ".join(map(str, line.line.ladder))
    length = length_words(line.shapes[0])
    return length if line.count == 1 else say("times", n=line.count, what=length)


def line_words(line: LaneLine) -> tuple[str, ...]:
    """A whole line in one phrase, the longest way first: `4 × 200 as 50 drill / 50 back`, `2 × 100 back build`."""
    return _with_work(set_words(line), line, 0)


def lanes_words(lines: Sequence[LaneLine]) -> tuple[str, ...]:
    """A line of the plan as several lanes swim it, the longest way first: `6 / 5 / 3 × 50 as 25 drill / 25 free`."""
    heads = dict.fromkeys(map(set_words, lines))
    counts, far = [head.rpartition(" × ")[0] for head in heads], {head.rpartition(" × ")[2] for head in heads}
    if len(heads) == 1:
        return line_words(lines[0])
    whole = f"{' / '.join(counts)} × {far.pop()}" if len(far) == 1 and all(counts) else " / ".join(heads)
    return _with_work(whole, lines[0], 0)


def repeat_words(line: LaneLine, repeat: int) -> tuple[str, ...]:
    """One repeat, counted from 0, of a line: `100 back build`, `200 as 50 drill / 50 back`, the longest way first."""
    return _with_work(length_words(line.shapes[repeat]), line, repeat)


def _with_work(head: str, line: LaneLine, repeat: int) -> tuple[str, ...]:
    shape = line.shapes[repeat]
    if len(shape.works) == 1:
        return tuple(dict.fromkeys(f"{head} {words}" for words in work_words(shape.works[0]))) + (head,)
    written = line.line.pattern.part_of(repeat + 1).segments[: len(shape.works)]
    ways = zip(*[_padded(doing_words(shape, j), 3) for j in range(len(written))])
    return tuple(dict.fromkeys(f"{head} {say('as')} " + " / ".join(way) for way in ways)) + (head,)


def _padded(ways: tuple[str, ...], count: int) -> list[str]:
    return [ways[min(i, len(ways) - 1)] for i in range(count)]
