"""Finds the swims of a session that the times of a file belong to: swimmer, set and repeat.

Without a round, repeats are counted through all rounds. Without a repeat, a swimmer's times are in the file's order.
A time three times as long as predicted, or a third of it, is refused: it is on the wrong line, or mistyped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.planlines import numbered_lines
from pacer.plan.problem import Problem
from pacer.plan.times import BadTime, text_from_ms
from pacer.review.enter.timesfile import TimeRow, TimesFile
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.swims import Swum
from pacer.review.swum.whoswam import Person
from pacer.squad.files.celltimes import cell_ms
from pacer.squad.refusal import Refused, shown
from pacer.timeline.hazards import flagged

FAR_FROM_PREDICTED = 3  #: a time that many times longer or shorter than predicted cannot be of this swim

#: A set: its section's index, and its number there from 1.
SetKey = tuple[int, int]
_NUMBER = re.compile(r"[\s,]*(?:set\s+)?(\d{1,3})", re.ASCII)


class PlacedTime(NamedTuple):
    """A time on a swim."""

    swim: Swum
    time_cs: int


class Placed(NamedTuple):
    """The times that could be placed, and why the others could not.

    `no_set`: how many times of the file, placed or not, name no set although the session has several.
    """

    times: tuple[PlacedTime, ...]
    problems: tuple[Problem, ...]
    no_set: int = 0


def timed_swims(review: Review) -> tuple[Swum, ...]:
    """The swims that may have a time; lines that are flagged as a hazard are never timed."""
    sections = review.replay.begun.plan.sections
    return tuple(
        swim
        for swim in review.swims
        if swim.shape.distance
        and not (swim.section < len(sections) and flagged(sections[swim.section], swim.laneline.line))
    )


def set_named(review: Review, text: str) -> SetKey:
    """The set that words name: `Main set 2`, `Main set` if it has one set, `2` if there is one section.

    Raises Refused.
    """
    sets = sorted({(swim.section, swim.line) for swim in review.swims})
    named = (name or tr("section {number}", number=number) for number, name in enumerate(review.sections, 1))
    names = [" ".join(name.casefold().split()) for name in named]
    wanted = " ".join(text.casefold().split())
    one_section = len({section for section, _ in sets}) == 1
    found = []
    for section, number in sets:
        rest = "" if wanted == names[section] else None
        if match := _NUMBER.fullmatch(wanted.removeprefix(names[section])):
            rest = match[1] if one_section or wanted.startswith(names[section]) and names[section] else None
        if rest is not None and rest in ("", str(number)):
            found.append((section, number))
    if len(found) == 1:
        return found[0]
    if not found:
        raise Refused(
            tr("this session has no set “{text}”", text=shown(text)), tr("such as {review}", review=_said(review, sets))
        )
    raise Refused(
        tr("“{text}” has {count} sets", text=shown(text), count=len(found)),
        tr("say which: {review}", review=_said(review, found)),
    )


def set_name(review: Review, key: SetKey) -> str:
    """A set's name: `Main set 2`."""
    return f"{review.sections[key[0]] or tr('section {key}', key=key[0] + 1)} {key[1]}"


def _said(review: Review, sets: Iterable[SetKey]) -> str:
    return ", ".join(set_name(review, key) for key in sets)


def place_times(review: Review, file: TimesFile, set_text: str = "") -> Placed:
    """Place a file's times; `set_text` names the set of those that do not say one."""
    return _Placing(review, file, set_text).placed()


class _Placing:
    def __init__(self, review: Review, file: TimesFile, set_text: str):
        self.review, self.file, self.set_text = review, file, set_text
        self.swims: dict[tuple[int, SetKey], list[Swum]] = {}
        for swim in timed_swims(review):
            self.swims.setdefault((swim.who, (swim.section, swim.line)), []).append(swim)
        for swims in self.swims.values():
            swims.sort(key=lambda swim: swim.left_ms)
        self.sets = {(swim.section, swim.line) for swim in review.swims}
        self.lines = {
            line.span.line: (section, number)
            for section, number, _, line in numbered_lines(review.replay.begun.plan)
            if line.span
        }
        self.next: dict[tuple[int, SetKey, str], int] = {}
        self.taken: dict[tuple[int, int], TimeRow] = {}

    def placed(self) -> Placed:
        made, problems = [], []
        for row in self.file.rows:
            try:
                made.append(self._place(row))
            except _Wrong as wrong:
                problems.append(self.file.problem(row, wrong.meaning, wrong.message, wrong.hint))
        no_set = sum(not {"line", "section", "set"} & row.said.keys() for row in self.file.rows)
        return Placed(tuple(made), tuple(problems), no_set if len(self.sets) > 1 else 0)

    def _place(self, row: TimeRow) -> PlacedTime:
        who, key = self._who(row), self._set(row)
        swims = self.swims.get((who.number, key), [])
        if not swims:
            if any(key == (swim.section, swim.line) for swim in timed_swims(self.review)):
                raise _Wrong("swimmer", tr("{called} did not swim that set", called=_called(self.review, who)))
            raise _Wrong("set", tr("that set is never timed") if key in self.sets else tr("nobody swam that set"))
        swim = self._swim(row, swims, (who.number, key))
        if (there := self.taken.get((swim.who, swim.left_ms))) is not None:
            raise _Wrong("repeat", tr("the same swim has a time on line {first} already", first=there.record.first))
        time_cs = self._time(row, swim)
        self.taken[swim.who, swim.left_ms] = row
        return PlacedTime(swim, time_cs)

    def _swim(self, row: TimeRow, swims: Sequence[Swum], key: tuple[int, SetKey]) -> Swum:
        within = swims
        if "round" in row.said:
            number = self._whole(row, "round")
            within = [swim for swim in swims if swim.round == number]
            if not within:
                raise _Wrong(
                    "round",
                    tr("there is no round {number} of that set", number=number),
                    tr_n("it was swum in {n} round", "it was swum in {n} rounds", swims[-1].round),
                )
        if row.said["repeat"]:
            at = self._whole(row, "repeat") - 1
        else:
            counted = (*key, row.said.get("round", ""))
            at = self.next.get(counted, 0)
            self.next[counted] = at + 1
        if not 0 <= at < len(within):
            raise _Wrong(
                "repeat",
                tr("there is no repeat {at}", at=at + 1),
                tr_n(
                    "that swimmer has only {n} repeat in this set",
                    "that swimmer has only {n} repeats in this set",
                    len(within),
                ),
            )
        swim = within[at]
        if "distance" in row.said:
            wanted = self._whole(row, "distance")
            if wanted != swim.shape.distance:
                raise _Wrong(
                    "distance",
                    tr("that repeat is {distance}, not {wanted}", distance=swim.shape.distance, wanted=wanted),
                )
        return swim

    def _time(self, row: TimeRow, swim: Swum) -> int:
        try:
            time_ms = cell_ms(row.time, swim.shape.distance)
        except BadTime as wrong:
            raise _Wrong("time", wrong.message, wrong.hint) from None
        if (
            not swim.predicted_ms
            <= FAR_FROM_PREDICTED * time_ms
            <= FAR_FROM_PREDICTED * FAR_FROM_PREDICTED * swim.predicted_ms
        ):
            raise _Wrong(
                "time",
                tr(
                    "{time} for {distance} can't be right: {predicted} was expected",
                    time=text_from_ms(time_ms),
                    distance=swim.shape.distance,
                    predicted=text_from_ms(swim.predicted_ms // 1000 * 1000),
                ),
            )
        return time_ms // 10

    def _whole(self, row: TimeRow, meaning: str) -> int:
        text = row.said[meaning].removesuffix(".0")
        digits = text.split()[0] if meaning == "distance" and text.split()[1:] in ([], ["m"], ["yd"]) else text
        if not (digits.isascii() and digits.isdigit() and int(digits)):
            raise _Wrong(
                meaning,
                tr("“{text}” is not a {meaning}", text=shown(text), meaning=meaning),
                tr("a whole number from 1"),
            )
        return int(digits)

    def _set(self, row: TimeRow) -> SetKey:
        said = row.said
        try:
            if "line" in said:
                number = self._whole(row, "line")
                if number not in self.lines:
                    raise _Wrong("line", tr("there is no set on line {number} of the plan", number=number))
                return self.lines[number]
            if "section" in said:
                return set_named(self.review, f"{said['section']} {said.get('set', '')}".strip())
            if "set" in said or self.set_text:
                return set_named(self.review, said.get("set") or self.set_text)
            if len(self.sets) == 1:
                return next(iter(self.sets))
        except Refused as wrong:
            raise _Wrong("section" if "section" in said else "set", wrong.message, wrong.hint) from None
        raise _Wrong(
            "set",
            tr("which set is this time for?"),
            tr("such as {review}", review=_said(self.review, sorted(self.sets))),
        )

    def _who(self, row: TimeRow) -> Person:
        said, people = row.said, self.review.people
        if "person" in said:
            text = said["person"].removesuffix(".0")
            if not (text.isascii() and text.isdigit() and int(text) < len(people)):
                raise _Wrong(
                    "person",
                    tr("there is no swimmer {text} in this session", text=shown(text)),
                    tr("in an export the first swimmer is 0"),
                )
            return people[int(text)]
        lanes = self._lanes(row)
        there = [person for person in people if person.lane in lanes]
        text = said.get("swimmer", "")
        if not text:
            return self._one(there, tr("which swimmer is it?"))
        if text.isascii() and text.isdigit():
            return self._one(
                [person for person in there if person.place == int(text) - 1],
                tr("which swimmer {text} is it?", text=text),
            )
        for same in (_whole_name, _first_name):
            found = [person for person in there if person.name and same(person.name) == same(text)]
            if found and (same is _whole_name or same(text) == _whole_name(text)):
                return self._one(found, tr("which {text} is it?", text=shown(text)))
        raise _Wrong(
            "swimmer",
            tr("no swimmer called “{text}” in this session", text=shown(text)),
            tr("use the name as in the squad, or the swimmer's place in the lane"),
        )

    def _lanes(self, row: TimeRow) -> Sequence[int]:
        if "lane" not in row.said:
            return range(len(self.review.lanes))
        number = self._whole(row, "lane")
        found = [index for index, there in enumerate(self.review.lanes) if there == number]
        if not found:
            raise _Wrong("lane", tr("there is no lane {number} in this session", number=number))
        return found

    def _one(self, people: Sequence[Person], asked: str) -> Person:
        if len(people) == 1:
            return people[0]
        if not people:
            raise _Wrong("swimmer", tr("there is no such swimmer in that lane"))
        raise _Wrong(
            "swimmer", asked, tr("one of {count}: name the lane, and the swimmer by place or name", count=len(people))
        )


def _called(review: Review, person: Person) -> str:
    return person.name or tr(
        "lane {lane_number}, swimmer {place}", lane_number=review.lane_number(person.lane), place=person.place + 1
    )


def _whole_name(name: str) -> str:
    return " ".join(name.casefold().replace(",", " ").split())


def _first_name(name: str) -> str:
    return _whole_name(name).split(" ")[0]


class _Wrong(Exception):
    """Says why a row cannot be placed, and which column is wrong."""

    def __init__(self, meaning: str, message: str, hint: str = ""):
        self.meaning, self.message, self.hint = meaning, message, hint
        super().__init__(message)
