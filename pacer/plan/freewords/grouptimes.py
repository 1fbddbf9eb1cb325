"""Times of several groups or lanes that a line names beside each time, as a list for the lanes."""

from __future__ import annotations

import re

from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import LINE_WORDS

#: Times of several groups, with the groups' names: `1:00 (L1-2) 1:05 (L3-4)`, `g 1.20 s 1.30`, `on 55 (devs 65)`.
_CLOCK = r"(?:\d{1,2}[:.]\d\d|:\d\d|\d{2,3})"
_NAME = r"(?!x\b)[A-Za-z][\w/&-]{0,9}(?:\s+(?:lanes?|group))?"
_GROUPED = (
    regex(rf"(?:(?:on|off|@)\s*)?{_CLOCK}\s*\({_NAME}\)(?:\s*[,/]?\s*{_CLOCK}\s*\({_NAME}\))+"),
    regex(rf"(?:(?:on|off|@)\s*)?(?<!\w){_NAME}\s{_CLOCK}(?:\s*[,/]?\s+{_NAME}\s{_CLOCK})+(?!\w)"),
    regex(rf"(?:on|off|@)\s*{_CLOCK}\s+{_NAME}(?:\s*/\s*{_CLOCK}\s+{_NAME})+(?!\w)"),
    regex(rf"(?:on|off|@)\s*{_CLOCK}\s*\({_NAME}\s{_CLOCK}\)"),
)
#: `L4 1:25  L3 1:35  L1+2 1:45`: times of lanes by their numbers.
_OF_LANES = r"(?:lanes?|ln|L)\s?\d(?:\s*[-–/&+,]\s*(?:L\s?)?\d)*"
_BY_NUMBER = (
    regex(
        rf"(?:(?:on|off|@)\s*)?{_OF_LANES}\s*[:=]?\s+{_CLOCK}(?:\s*[,;/]?\s*{_OF_LANES}\s*[:=]?\s+{_CLOCK})+(?!\w)",
        re.I,
    ),
    regex(
        rf"(?:(?:on|off|@)\s*)?{_CLOCK}\s*\(?{_OF_LANES}\)?(?:\s*[,;/]?\s*{_CLOCK}\s*\(?{_OF_LANES}\)?)+(?!\w)", re.I
    ),
)


def _by_number(text: str) -> tuple[str, list[str]]:
    """A line with the times of lanes that it names by their numbers in the lanes' order, and what it said of them."""
    for pattern in _BY_NUMBER:
        match = pattern.search(text)
        if match is None:
            continue
        lanes = [_lanes_in(said) for said in re.findall(_OF_LANES, match[0], re.IGNORECASE)]
        times = [
            clock(time)
            for time in re.findall(
                rf"(?<![\w-]){_CLOCK}(?![\w-])", re.sub(_OF_LANES, " ; ", match[0], flags=re.IGNORECASE)
            )
        ]
        by_lane = {lane: time for own, time in zip(lanes, times) for lane in own}
        if len(lanes) == len(times) and sorted(by_lane) == list(range(1, len(by_lane) + 1)):
            ordered = " / ".join(by_lane[lane] for lane in sorted(by_lane))
            said = f"{text[: match.start()].rstrip(' ,')}, on {ordered}"
            return f"{said}  {text[match.end() :].lstrip(' ,')}".rstrip(), [" ".join(match[0].split())]
    return text, []


def _lanes_in(said: str) -> list[int]:
    """The numbers in `L1+2`, `lanes 1-3`."""
    numbers = [int(number) for number in re.findall(r"\d", said)]
    return list(range(numbers[0], numbers[-1] + 1)) if len(numbers) == 2 and re.search("[-–]", said) else numbers


def with_times(text: str) -> tuple[str, list[str]]:
    """A line with the times of its groups as a list for the lanes, and what it said of the groups."""
    made, listed = _by_number(text)
    if listed:
        return made, listed
    for pattern in _GROUPED:
        if (match := pattern.search(text)) and match.start():
            times = [clock(time) for time in re.findall(rf"(?<![\w-]){_CLOCK}(?![\w-])", match[0])]
            names = re.findall(r"[^\W\d_]+", match[0].casefold())
            unlike = any(name == "x" or name in LINE_WORDS and name not in ("on", "s") for name in names)
            alike = max(map(_seconds, times)) <= 2 * min(map(_seconds, times))
            if (
                len(times) > 1
                and alike
                and not unlike
                and names.count("on") < 2
                and not re.search(r"(?:x|×|rest|hold)\s*$", text[: match.start()], re.IGNORECASE)
            ):
                groups = [name for name in re.findall(r"[^\W\d_]+", match[0]) if name.casefold() not in ("on", "off")]
                if len(groups) == len(times) and all(len(name) == 1 and name.isupper() for name in groups):
                    times = [f"{group} {time}" for group, time in zip(groups, times)]
                said = f"{text[: match.start()].rstrip()}, on {' / '.join(times)}"
                return f"{said}  {text[match.end() :].lstrip(' ,')}".rstrip(), [" ".join(match[0].split())]
    return text, []


def _seconds(time: str) -> int:
    minutes, _, seconds = time.rpartition(":")
    return int(minutes or 0) * 60 + int(seconds)


def clock(said: str) -> str:
    """A time as it is written on a plan: `1.20` is 1:20, `45` seconds."""
    if said.isdigit():
        return f"{int(said) // 60}:{int(said) % 60:02d}"
    return said.replace(".", ":")
