"""What a band of the pool view says, and in which order it leaves things out when room is short. No Kivy.

Swimmers ask the coach for the drill by its name, so the name goes last. Left out before it, in this order: part of a
cue, NOW, the elapsed time, what follows the first segment of the next repeat, rate and gear, the word `drill` before a
name, the long ways to say round and repeat, the whole cue, NEXT, the segment's own distance, the lanes it is joined to,
the round, the repeat, the whole distance. `needs_of` has the same order reversed; only `rows_of` leaves out more, so
that no two distances are side by side.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pacer.show.measure.fitting import Measure, cue_words
from pacer.show.view.viewvalues import BandText
from pacer.show.wording.settext import SHORT
from pacer.show.wording.viewtext import say

GAP = 0.75  #: between the words of a row, in character heights
BOLD = frozenset({"distance", "tight"})
MARK = 1.3  #: the width of a warning's sign, in character heights

#: From left to right; a cue ends its row.
PLACES = ("next", "distance", "repeat", "round", "with", "now", "present", "detail", "swum", "tight", "cue")
_DIGITS = ("0", "1", "2", "3", "4", "5", "6", "7", "8", "9")
#: Items of the upper row if there are two and the ribbon has no words; if it has, all but the cue are in the upper row.
UPPER = frozenset({"next", "distance", "now", "present"})


class Need(NamedTuple):
    """One thing to say, in one way."""

    item: str
    way: str


def needs_of(text: BandText, *, labelled: bool, own_row: bool, fits) -> Iterator[Need]:
    """What is to be said, what matters most first; a later way to say the same thing replaces an earlier one.

    `labelled`: the ribbon says what is done. `own_row`: a cue has its own row, so part of it is better than nothing.
    `fits(words)`: whether words fit a row of their own.
    """
    own, fuller, detailed = ((), (), ()) if labelled else present_ways(text, fits)
    if own:
        yield Need("present", own[0])
    yield Need("distance", text.distance)
    if len(text.ribbon) > 1:
        yield Need("distance", f"{text.distance}:")
    yield from (Need("tight", way) for way in text.tight[-1:])
    yield Need("repeat", text.repeat[-1])
    yield Need("round", text.round[-1])
    yield from (Need("with", way) for way in text.mates[::-1])
    yield from (Need("tight", way) for way in text.tight[-2::-1])
    yield from (Need("present", way) for way in own[1:])
    if text.lit < 0:
        yield Need("next", text.present)
    yield Need("cue", cue_words(text.cue)[0])
    yield Need("repeat", text.repeat[0])
    yield Need("round", text.round[0])
    yield from (Need("present", way) for way in (*fuller, *detailed))
    yield from (
        Need("detail", way.partition(", ")[2]) for way in detailed
    )  # in the other row if there is no room after what is done
    if not labelled:
        yield Need("present", whole_repeat(text))
    if text.timed:
        yield Need("swum", f"{say('swum')} 88:88")
    if text.lit >= 0 and own:  # the only part comes after it whole, as after NEXT: `NOW 300 free easy`
        yield Need("now" if len(text.ribbon) > 1 else "next", text.present)
    if own_row:
        yield from (Need("cue", way) for way in cue_words(text.cue)[1:])


def whole_repeat(text: BandText) -> str:
    """The next repeat with all its parts, `25 drill / 25 swim`; "" if it has one, or if the lane swims."""
    return " / ".join(piece.labels[0] for piece in text.ribbon) if text.lit < 0 and len(text.ribbon) > 1 else ""


def present_ways(text: BandText, fits) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """What is done now or next, the shortest way first.

    Three groups: plain (kept longest), with the word `drill`, with rate and gear.

    A distance equal to the whole repeat's is left out: it is shown beside it already.
    """
    ways = text.doing
    if len(text.ribbon) <= 1:
        ways = tuple(way.removeprefix(text.distance).strip() for way in ways)
    if not ways[0]:
        return (), (), ()
    plain = tuple(way for way in ways if ", " not in way)
    plain = (plain[:-1] if len(plain) > 1 and plain[-1].split(" ")[-1] in SHORT.values() else plain)[::-1]
    detailed = tuple(way for way in ways[::-1] if way.startswith(f"{plain[-1]}, "))
    if not text.name or not fits(text.name):
        return plain, (), detailed
    named = tuple(way for way in plain if text.name in way)
    short = tuple(way for way in named if way.removesuffix(text.name).strip().isdecimal())
    return (text.name, *short), tuple(way for way in named if way not in short and way != text.name), detailed


def says_name(text: BandText, labels: Sequence[str]) -> bool:
    """Whether the words on a ribbon say what is done as well as a row would."""
    return not text.name or text.name in labels[max(text.lit, 0)]


def rows_of(
    text: BandText, widths: Sequence[float], unit: float, measure: Measure, labelled: bool
) -> list[dict[str, str]]:
    """What each row says, by item, within as many pixels as `widths` give it; rows may be empty."""
    widest = max(widths)
    needs = needs_of(
        text, labelled=labelled, own_row=len(widths) > 1, fits=lambda words: measure(words, unit, False) <= widest
    )
    return [without_two_distances(row) for row in placed(needs, widths, unit, measure, labelled)]


def without_two_distances(row: dict[str, str]) -> dict[str, str]:
    """A row that says `50: 25 kick`, or `50 NOW 25 kick`, but never `50 25 kick`."""
    whole = row.get("distance", "")
    after = [item for item in PLACES if item in row and item not in ("next", "distance")]
    if not whole:
        return row
    if not after or after[0] != "present":
        bare = whole[:-1] if whole.endswith(":") else whole
        return {item: bare if item == "distance" else row[item] for item in PLACES if item in row}
    if whole.endswith(":") or whole[-3:-2] == ":" or row["present"][0] not in _DIGITS:  # 5:00 is a time
        return row
    return {item: row[item] for item in PLACES if item in row and item != "distance"}


def placed(
    needs: Iterable[Need], widths: Sequence[float], unit: float, measure: Measure, labelled: bool
) -> list[dict[str, str]]:
    """Which of `needs`, what matters most first, each row has room for, from left to right."""
    rows = len(widths)
    made: list[dict[str, str]] = [{} for _ in widths]
    room = [width + GAP * unit for width in widths]
    found: dict[str, int] = {}
    wide: dict[str, float] = {}

    def width_of(item: str, way: str) -> float:
        return measure(way, unit, item in BOLD) + (GAP + (MARK if item == "tight" else 0)) * unit

    for item, way in needs:
        if not way or (item == "detail" and any(row.get("present", "").endswith(f", {way}") for row in made)):
            continue
        need = width_of(item, way)
        if item in found:
            row = found[item]
            if item == "cue" or need - wide[item] > room[row]:
                continue
            room[row] += wide[item]
        else:
            homes = (found.get("present", 0),) if item in ("now", "next") else _homes(item, rows, labelled)
            fits = [row for row in homes if need <= room[row]]
            if not fits:
                continue
            row = fits[0]
        found[item], wide[item], made[row][item] = row, need, way
        room[row] -= need
    return [{item: row[item] for item in PLACES if item in row} for row in made]


def _homes(item: str, rows: int, labelled: bool) -> Sequence[int]:
    """The rows that an item may be in, its own first."""
    if item == "cue":
        return range(rows)[::-1]
    if rows == 1 or labelled or item in UPPER:
        return range(rows)
    return (1, *range(2, rows), 0)
