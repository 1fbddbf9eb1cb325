"""Writes the parts of a line in the notation; what can't be read there goes into a note."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from pacer.plan.parts.partvalues import Part, Pause, Rounds, Swim
from pacer.plan.parts.roundsbylane import by_number
from pacer.plan.words.linepatterns import MOST_TOGETHER

Reads = Callable[[str], bool]
_ENDS = " ,;:-–—/.!+&=→"
_PAIRS = (("(", ")"), ("[", "]"), ("{", "}"))


def written(parts: list[Part], reads: Reads) -> list[str]:
    """The parts as lines of the notation, most often one; [] if they can't be read.

    `reads` says whether a text can be read as a line.
    """
    if any(isinstance(part, Swim) and _apart(part) for part in parts):
        lines: list[str] = []
        for part in parts:
            own = _for_lanes(part, reads) if isinstance(part, Swim) and _apart(part) else written([part], reads)
            if not own:
                return []
            lines += own
        return lines
    if any(isinstance(part, Swim) and part.lanes for part in parts):
        return _labelled(parts, reads)
    if any(map(_apart, _swims(parts))):  # what some lanes do would be lost
        return []
    texts = _texts(parts, reads)
    if not texts:
        return []
    swims = all(isinstance(part, Swim) for part in parts)
    return next(([made] for sign in ((", ", " + ") if swims else (" + ", ", ")) if reads(made := sign.join(texts))), [])


def _swims(parts: list[Part]) -> Iterator[Swim]:
    """The sets among some parts, with those of rounds."""
    for part in parts:
        if isinstance(part, Swim):
            yield part
        elif isinstance(part, Rounds):
            yield from _swims(part.parts)


def _apart(swim: Swim) -> bool:
    """Whether lanes have values of their own that don't fit on one line."""
    return bool(swim.by_lane) and not _inline(swim)


def _inline(swim: Swim) -> bool:
    """Whether the values of lanes fit on one line: those of groups, for all of them."""
    opens = {each[0] for each in swim.by_lane.values()}
    if len(opens) == 1 and opens <= {"on", "rest"} and not (swim.on or swim.rest):
        numbered = by_number("", {label: value for label, (_, value) in swim.by_lane.items()})
        if numbered:
            return True
    groups = all(label.isalpha() for label in swim.by_lane) and len(swim.by_lane) > 1
    return groups and opens in ({"on"}, {"rest"}) and not (swim.on or swim.rest)


def _labelled(parts: list[Part], reads: Reads) -> list[str]:
    """A line for each set, with the lanes that swim it in front."""
    lines = []
    named = [part.lanes for part in parts if isinstance(part, Swim) and part.lanes]
    label = ""
    for place, part in enumerate(parts):
        text = _texts([part], reads)
        label = part.lanes if isinstance(part, Swim) and part.lanes else label
        if not label and not place and isinstance(part, Swim):
            label = f"all but {', '.join(named)}"
        lines += [f"{label}: {text[0]}" if label else text[0]] if text else [""]
    return lines if all(line and reads(line) for line in lines) else []


def _for_lanes(swim: Swim, reads: Reads) -> list[str]:
    """A line for each of the lanes with a value of their own, and one for all others."""
    lines = [f"all but {', '.join(swim.by_lane)}: {_swim(replace(swim, by_lane={}), reads)}"]
    for label, (opens, value) in swim.by_lane.items():
        if opens == "often":
            own = replace(swim, by_lane={}, often=int(value))
        else:
            own = replace(
                swim, by_lane={}, on=[value] if opens == "on" else [], rest=[value] if opens == "rest" else []
            )
        lines.append(f"{label}: {_swim(own, reads)}")
    return lines if all(map(reads, lines)) else []


def _texts(parts: list[Part], reads: Reads) -> list[str]:
    """Each part in the notation; [] if one can't be read."""
    texts: list[str] = []
    for part in parts:
        match part:
            case Swim():
                texts.append(_swim(part, reads))
            case Pause():
                texts.append(f"rest {part.time}{_note(part.notes)}")
            case Rounds():
                texts.append(_rounds(part, reads))
    return texts if all(texts) else []


def _rounds(rounds: Rounds, reads: Reads) -> str:
    if (whole := _as_one(rounds)) is not None and (made := _swim(whole, reads)):
        return made
    swims = [part for part in rounds.parts if isinstance(part, Swim)]
    on = f", on {rounds.on}" if rounds.on else ""
    gear = f", with {' and '.join(rounds.gear)}" if rounds.gear else ""
    for detail, notes in ((on + gear, []), ("", [each.lstrip(" ,") for each in (on, gear) if each])):
        if swims:
            swims[-1].notes += [*rounds.notes, *notes]
            rounds.notes = []
        inner = _texts(rounds.parts, reads)
        if not inner:
            return ""
        if rounds.rest:
            inner.append(f"rest {rounds.rest}")
        made = f"{rounds.often} x ({' + '.join(inner)}){detail}"
        if reads(made):
            return made
    return ""


def _as_one(rounds: Rounds) -> Swim | None:
    """`4 x (25 fly + 25 back) on 2:00` as 4 x 50: the interval is that of all its parts together."""
    parts = [part for part in rounds.parts if isinstance(part, Swim)]
    if len(parts) != len(rounds.parts) or len(parts) < 2 or rounds.on and rounds.rest:
        return None
    short = sum(part.far for part in parts) <= MOST_TOGETHER
    pair = len(parts) == 2 and parts[0].far == parts[1].far <= MOST_TOGETHER // 2
    if not (rounds.on or rounds.rest and pair or rounds.straight and not rounds.rest and short):
        return None
    if any(part.often or not part.far or part.on or part.rest or part.gear for part in parts):
        return None
    said = []
    for part in parts:
        cue = _note(part.notes)
        if part.shares:
            own = part.shares.removeprefix("as ").split(" / ")
            if cue or own[0] == part.shares or sum(int(each.split()[0]) for each in own) != part.far:
                return None
            said += own
            continue
        said.append(" ".join([str(part.far), *part.work.values(), *part.said]) + cue)
    whole = Swim(rounds.often, sum(part.far for part in parts), shares="as " + " / ".join(said))
    whole.on, whole.rest = [rounds.on] * bool(rounds.on), [rounds.rest] * bool(rounds.rest)
    whole.shares_said, whole.gear, whole.notes = ", ".join(said).replace('"', "''"), rounds.gear, list(rounds.notes)
    return whole


def _swim(swim: Swim, reads: Reads) -> str:
    """A set in the notation with as much of it as can be read, and the rest as its note."""
    return next((made for each in _ways(swim) if reads(made := _plain(each) + _note(each.notes))), "")


def _ways(swim: Swim) -> Iterator[Swim]:
    """The set, then with more and more of it as a note."""
    yield swim
    if swim.said:
        yield replace(swim, said=[], notes=[*swim.said, *swim.notes])
    if swim.gear:
        yield replace(swim, gear=[], notes=[*swim.notes, "with " + " and ".join(swim.gear)])
    if swim.trend:
        yield replace(swim, trend="", notes=[swim.trend, *swim.notes])
    if swim.shares:
        yield from _ways(replace(swim, shares="", notes=[swim.shares_said, *swim.notes]))
        return
    words = [*swim.work.values(), *swim.said, swim.trend, *swim.gear, *swim.notes]
    yield Swim(
        swim.often,
        swim.far,
        swim.time,
        swim.ladder,
        swim.far_by_lane,
        swim.often_by_lane,
        on=swim.on,
        rest=swim.rest,
        notes=words,
    )
    times = [f"on {' / '.join(swim.on)}"] * bool(swim.on) + [f"rest {' / '.join(swim.rest)}"] * bool(swim.rest)
    yield Swim(
        swim.often, swim.far, swim.time, swim.ladder, swim.far_by_lane, swim.often_by_lane, notes=[*words, *times]
    )


def _plain(swim: Swim) -> str:
    """A set without its note."""
    head = " - ".join(map(str, swim.ladder)) or swim.far_by_lane or str(swim.far or swim.time)
    if swim.often_by_lane:
        head = f"{swim.often_by_lane} x {head}"
    elif swim.often:
        head = f"{swim.often} x {head}"
    words = [head, *swim.work.values(), *swim.said, *([swim.shares] if swim.shares else [])]
    details = [swim.trend] if swim.trend else []
    on, rest = (_values(swim, opens) for opens in ("on", "rest"))
    details += [f"on {on}"] * bool(on) + [f"rest {rest}"] * bool(rest)
    details += [f"hold {swim.hold}"] * bool(swim.hold)
    details += [f"with {' and '.join(dict.fromkeys(swim.gear))}"] * bool(swim.gear)
    return ", ".join([" ".join(words), *details])


def _values(swim: Swim, opens: str) -> str:
    """The intervals or the rests of a set: one for all, or one for each lane or group."""
    said = swim.on if opens == "on" else swim.rest
    own = {label: value for label, (kind, value) in swim.by_lane.items() if kind == opens}
    if not own:
        return " / ".join(said)
    if all(label.isalpha() for label in own):
        return " / ".join([*said, *(f"{label} {value}" for label, value in own.items())])
    return by_number(said[0] if said else "", own)


def _note(words: list[str]) -> str:
    """The note that some words make, in quotes after a space; "" for none."""
    said = ", ".join(dict.fromkeys(part for part in map(_tidy, words) if part))
    return f' "{said}"' if said else ""


def _tidy(words: str) -> str:
    """A stretch of words for a note: without signs at its ends, quotes and brackets that don't close."""
    text = " ".join(words.replace('"', "''").replace("“", "").replace("”", "").split()).strip(_ENDS)
    for one, other in _PAIRS:
        if text.count(one) != text.count(other):
            text = text.replace(one, " ").replace(other, " ")
    return " ".join(text.split()).strip(_ENDS)
