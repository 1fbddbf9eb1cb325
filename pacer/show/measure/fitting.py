"""Makes text fit its box: shrinks it to a floor, then wraps it, then says it shorter. Text is never cut off.

Widths come from a `Measure`: pixels of a text at a character height, bold or not. A line of text is `LINE` character
heights high, from the top of its capitals to the foot of its `g`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

Measure = Callable[[str, float, bool], float]

LINE = 1.4  #: from the top of a capital to the foot of a `g`, in character heights (B612)
PITCH = 1.62  #: from line to line
FOOT = 0.35  #: the part of it below the base line
_BREAKS = re.compile(" (?![/–×])")  # no line begins with one of these
WORTH_A_LINE = 1.25  #: how much larger the text has to get to be worth another line


class Fit(NamedTuple):
    """Text that fits: its lines, the character height in pixels, and whether that is below the floor."""

    lines: tuple[str, ...]
    cap: float
    small: bool = False


def lines_height(count: int, cap: float) -> float:
    """The height of `count` lines."""
    return (LINE + (count - 1) * PITCH) * cap


def fit(
    ways: Sequence[str],
    width: float,
    height: float,
    cap: float,
    floor: float,
    measure: Measure,
    *,
    bold: bool = False,
    lines: int = 1,
) -> Fit:
    """The longest of `ways` (longest first) that fits into `width` by `height`, at most `cap` high, in at most `lines`
    lines.

    Not smaller than `floor`, unless even the shortest way, shortened word by word, would not fit: then it is as large
    as fits and marked as small.
    """
    for way in ways:
        found = _fit_way(way, width, height, cap, floor, measure, bold, lines)
        if found:
            return found
    for way in shortened(ways[-1]):
        found = _fit_way(way, width, height, cap, floor, measure, bold, lines)
        if found:
            return found
    best = max(
        (
            _largest(way, width, height, cap, floor, measure, bold, lines)
            for way in (ways[-1], *list(shortened(ways[-1]))[-1:])
        ),
        key=lambda found: found.cap,
    )
    return best._replace(small=True)


def _fit_way(way, width, height, cap, floor, measure, bold, lines) -> Fit | None:
    found = _largest(way, width, height, cap, floor, measure, bold, lines)
    return found if found.cap >= min(floor, cap) - 0.01 else None


def _largest(way: str, width, height, cap, floor, measure: Measure, bold: bool, lines: int) -> Fit:
    """In the fewest lines that reach the floor; in more if that makes it much larger."""
    best = None
    for count in range(1, lines + 1):
        rows = wrapped(way, count, measure, bold)
        if rows is None:
            break
        size = min(cap, height / (LINE + (count - 1) * PITCH))
        widest = max(measure(row, size, bold) for row in rows)
        while widest > width and size > 1:
            size = min(size * width / widest, size - 0.5)
            widest = max(measure(row, size, bold) for row in rows)
        if best is None or size > best.cap * (WORTH_A_LINE if best.cap >= floor - 0.01 else 1):
            best = Fit(rows, size)
    assert best is not None, "one line can always be made"
    return best


def wrapped(text: str, count: int, measure: Measure, bold: bool) -> tuple[str, ...] | None:
    """`text` in `count` lines with the widest as narrow as possible; None if it has too few words."""
    words = _BREAKS.split(text)
    if count > len(words):
        return None
    if count == 1:
        return (text,)
    size = 50.0
    widths = [measure(word, size, bold) for word in words]
    space = measure(" ", size, bold)
    low, high = max(widths), sum(widths) + space * len(words)
    while high - low > 1:
        limit = (low + high) / 2
        if len(_rows(words, widths, space, limit)) <= count:
            high = limit
        else:
            low = limit
    return tuple(_rows(words, widths, space, high))


def _rows(words, widths, space, limit) -> list[str]:
    rows: list[str] = []
    row: list[str] = []
    wide = 0.0
    for word, width in zip(words, widths):
        if row and wide + space + width > limit:
            rows.append(" ".join(row))
            row, wide = [], 0.0
        wide += width + (space if row else 0)
        row.append(word)
    rows.append(" ".join(row))
    return rows


def shortened(text: str) -> Iterator[str]:
    """`text`, shorter and shorter.

    First long words are cut to four letters and a full stop, the longest first, but no figures; then words are left out
    from the end.

    >>> list(shortened("hips at surface")), list(shortened("250/1,400 m"))
    (['hips at surf.', 'hips at…', 'hips…'], ['250/1,400…'])
    """
    words = text.split(" ")
    for _ in words:
        longest = max(range(len(words)), key=lambda i: len(words[i]) * (words[i][:1] > "9"))
        if len(words[longest]) <= 6 or words[longest].endswith("."):
            break
        words[longest] = _cut(words[longest])
        yield " ".join(words)
    while len(words) > 1:
        words.pop()
        yield " ".join(words) + "…"


def _cut(word: str) -> str:
    return word[:4] + "."


def cue_words(cue: str) -> tuple[str, ...]:
    """A cue in quotation marks, whole and then shorter and shorter, but never its first word alone.

    >>> cue_words("six kicks, then roll")
    ('“six kicks, then roll”', '“six kicks, then…”', '“six kicks…”')
    """
    if not cue:
        return ("",)
    words = cue.split(" ")
    fewer = (" ".join(words[:count]).rstrip(",;:–") + "…" for count in range(len(words) - 1, 1, -1))
    return tuple(f"“{said}”" for said in (cue, *fewer))


class Item(NamedTuple):
    """Something for a row: ways to say it, the longest first, and how much it matters (0 most)."""

    name: str
    ways: tuple[str, ...]
    rank: int
    bold: bool = False


def filled(items: Sequence[Item], width: float, cap: float, gap: float, measure: Measure) -> dict[str, str]:
    """Which of `items` a row of `width` holds, and how each is said.

    The items that matter most go in first, as short as possible; then, in the same order, each gets the longest way
    there is room for.
    """
    chosen: dict[str, int] = {}
    left = width + gap
    ranked = sorted((item for item in items if item.ways and item.ways[0]), key=lambda item: item.rank)
    for item in ranked:
        need = measure(item.ways[-1], cap, item.bold) + gap
        if need <= left:
            chosen[item.name] = len(item.ways) - 1
            left -= need
    for item in ranked:
        if item.name not in chosen:
            continue
        now = measure(item.ways[chosen[item.name]], cap, item.bold)
        for place, way in enumerate(item.ways[: chosen[item.name]]):
            more = measure(way, cap, item.bold) - now
            if more <= left:
                chosen[item.name] = place
                left -= more
                break
    return {item.name: item.ways[chosen[item.name]] for item in items if item.name in chosen}
