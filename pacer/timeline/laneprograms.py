"""Which lines each lane swims, in which order and how often.

The page, the squad, the chosen counts and the changes on deck decide.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import replace
from fractions import Fraction
from itertools import count
from typing import NamedTuple, Self

from pacer.language import tr, tr_n
from pacer.plan.model import MAX_REPEATS, Break, Flexible, Item, Plan, SetLine, swum_by
from pacer.plan.planlines import all_items
from pacer.squad.bygroup import by_group
from pacer.squad.factors import merged_factors
from pacer.squad.lanenumbers import spans
from pacer.squad.squad import Lane, Squad
from pacer.timeline.deviation import Deviation, Put, Spot
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.laneline import LaneLine
from pacer.timeline.linemaker import Factored, LineMaker
from pacer.timeline.track import Counts
from pacer.timeline.unknownlabels import nobodys


class _Program(NamedTuple):
    """One round of a section for a lane: its rows, how many of them are on the page, and the places of added items."""

    rows: tuple[LaneLine | int, ...]
    written: int
    put: Mapping[int, range]


class Programs:
    """The plan as the squad's lanes will swim it: which lines, in which order, how often.

    `deviation` is how lanes deviate from the page. Lines added on deck are the last items of their section in `plan`,
    so that every line keeps its number, and the last in the program of a lane that swims them, so that every place in
    it stays the same; `order` says when their turn comes.
    """

    def __init__(self, plan: Plan, squad: Squad, counts: Counts):
        self.plan = plan = by_group(plan, squad.lanes)
        self.squad = squad
        self.counts = counts
        self.deviation = Deviation()
        self._written = tuple(
            [len(section.items) for section in plan.sections]
        )  #: items on the page, without added ones
        self._stores: dict[tuple, dict] = {}
        self.makers = [self._maker(lane, index) for index, lane in enumerate(squad.lanes)]
        self._programs: dict[tuple[int, int], _Program] = {}
        self._longer: dict[tuple[LaneLine, int], LaneLine] = {}  #: lines with more or fewer repeats
        self._check_labels([item for section in plan.sections for item in section.items], squad.lanes)

    def but(
        self, *, squad: Squad | None = None, counts: Counts | None = None, deviation: Deviation | None = None
    ) -> Self:
        """A copy of the course with another squad, counts or deviation; it shares everything that is equal."""
        made = copy(self)
        made.squad = squad or self.squad
        made.counts = self.counts if counts is None else counts
        made.deviation = deviation or self.deviation
        was, will = self.deviation, made.deviation
        changed = set()
        if made.squad is not self.squad or will.leaders is not was.leaders:
            changed = {
                lane
                for lane, (new, old) in enumerate(zip(made.squad.lanes, self.squad.lanes))
                if new is not old or made._page(lane) != self._page(lane)
            }
            made.makers = [
                made._maker(made._page_lane(lane), made._page(lane)) if lane in changed else maker
                for lane, maker in enumerate(self.makers)
            ]
            changed |= {lane for lane, leader in will.leaders.items() if leader in changed}
        if made.counts is not self.counts:
            made._programs = {}
        elif changed or will.intervals is not was.intervals or will.put is not was.put:
            made._programs = {
                (section, lane): program
                for (section, lane), program in self._programs.items()
                if lane not in changed and will.of(lane, section) == was.of(lane, section)
            }
        return made

    def put_in(self, section: int, items: Sequence[Item], spots: Mapping[int, Spot]) -> Self:
        """The course with `items` added to a section for the lanes in `spots`, each once at its lane's spot.

        Raises CannotRun if labelled entries have none for one of these lanes.
        """
        items = by_group(tuple(items), self.squad.lanes)
        self._check_labels(items, [self._page_lane(lane) for lane in spots])
        made, written = copy(self), self.plan.sections[section]
        longer = replace(written, items=(*written.items, *items))
        made.plan = replace(
            self.plan, sections=(*self.plan.sections[:section], longer, *self.plan.sections[section + 1 :])
        )
        deviation = self.deviation
        for lane, spot in spots.items():
            for item in reversed(range(len(written.items), len(longer.items))):  # the one added last comes first
                deviation = deviation.with_put(lane, section, Put(item, spot))
        return made.but(deviation=deviation)

    def alone(self, section: int) -> Self:
        """The course with only one section; its flexible counts are those of that section."""
        counts = {(0, number): chosen for (at, number), chosen in self.counts.items() if at == section}
        made = type(self)(replace(self.plan, sections=(self.plan.sections[section],)), self.squad, counts)
        made._written = (self._written[section],)
        return made.but(deviation=self.deviation.in_section(section))

    def _maker(self, lane: Lane, index: int) -> LineMaker:
        personal = {
            place: self._factored(merged_factors(self.squad, lane, swimmer))
            for place, swimmer in enumerate(lane.swimmers)
            if swimmer.factors
        }
        ordinary = self._factored(merged_factors(self.squad, lane))
        return LineMaker(lane, index, self.plan.pool.unit, self.plan.clock_ms, ordinary, personal)

    def _factored(self, factors: Mapping[str, Fraction]) -> Factored:
        return Factored(factors, self._stores.setdefault(tuple(sorted(factors.items())), {}))

    def _page(self, lane: int) -> int:
        """The lane whose entries on the page the lane at index `lane` follows: mostly itself."""
        return self.deviation.leaders.get(lane, lane)

    def _page_lane(self, lane: int) -> Lane:
        """The lane with its own swimmers, and the group and rounds of the lane that it follows."""
        own, page = self.squad.lanes[lane], self.squad.lanes[self._page(lane)]
        return own if page is own else replace(own, group=page.group, rounds=page.rounds)

    # -- which lines a lane swims ------------------------------------------------------------

    def rounds(self, section: int, lane: int) -> int:
        """How often the lane goes through the section (without `for`)."""
        wanted = self.plan.sections[section].rounds
        page, own = self._page(lane), self._page_lane(lane)
        if not isinstance(wanted, Flexible):
            count = wanted.for_lane(page, own.group)
        elif own.rounds is not None:
            count = min(max(own.rounds, wanted.least), wanted.most)
        else:
            count = self._chosen(section, None, page, wanted)
        return max(0, count + self.deviation.rounds.get((lane, section), 0))

    def _chosen(self, section: int, line: int | None, lane: int, wanted: Flexible) -> int:
        chosen = self.counts.get((section, line))
        return wanted.least if chosen is None else chosen[lane]

    def program(self, section: int, lane: int) -> tuple[LaneLine | int, ...]:
        """One round of a section for a lane: lines, and breaks in milliseconds; added items are last."""
        return self._program(section, lane).rows

    def _program(self, section: int, lane: int) -> _Program:
        found = self._programs.get((section, lane))
        if found is None:
            found = self._programs[section, lane] = self._items(section, lane)
        return found

    def order(self, section: int, lane: int, round: int) -> Sequence[int]:
        """The places of the lane's program in the order in which it swims them in that round."""
        program, deviation = self._program(section, lane), self.deviation
        if not program.rows or not deviation.edits(lane, section):
            return range(program.written)
        made = list(range(program.written))
        for put in deviation.put.get((lane, section), ()):
            if put.spot[0] == round:
                made[_behind(made, put.spot) : _behind(made, put.spot)] = program.put[put.item]
        gone: set[int] = set()
        for (of_lane, at, number), spot in deviation.out.items():
            if (of_lane, at) == (lane, section) and round >= spot[0]:
                gone.update(
                    place
                    for place in made[_behind(made, spot) if round == spot[0] else 0 :]
                    if not isinstance(row := program.rows[place], int) and row.number == number
                )
        return [place for place in made if place not in gone]

    def breaks_before(self, section: int, lane: int) -> int:
        """How long the breaks at the beginning of a section are for a lane, in ms."""
        rows = self.program(section, lane)
        total = 0
        for place in self.order(section, lane, 1):
            if not isinstance(row := rows[place], int):
                break
            total += row
        return total

    def lines(self, section: int, lane: int) -> Iterator[LaneLine]:
        """The lines that the lane swims in the first round of a section."""
        rows = self.program(section, lane)
        return (row for place in self.order(section, lane, 1) if not isinstance(row := rows[place], int))

    def pass_line(self, section: int, lane: int, round: int, place: int) -> LaneLine:
        """The line at `place` of the lane's program as the lane swims it in that round, with changes on deck.

        Raises CannotRun if an added repeat would be of a kind that was never written.
        """
        line = self.program(section, lane)[place]
        assert not isinstance(line, int), "a break is nothing to pass through"
        more = self.deviation.more.get((lane, section, round, place), 0)
        if not more:
            return line
        found = self._longer.get((line, more))
        if found is None:
            found = self._longer[line, more] = self._line(section, lane, line.line, line.number, more)
        return found

    def _line(self, section: int, lane: int, line: SetLine, number: int, more: int = 0) -> LaneLine:
        page, leader = self._page(lane), None
        count = self._count(section, number, line, page)
        interval_ms = self.deviation.intervals.get((lane, section, number))
        try:
            if page != lane and self.squad.lanes[page].swimmers:
                # By its own page, even if that lane follows another one's by now.
                maker = self.makers[page] if self._page(page) == page else self._maker(self.squad.lanes[page], page)
                leader = maker.make(
                    line, number, self.plan.sections[section], count, more=more, interval_ms=interval_ms
                )
            return self.makers[lane].make(
                line, number, self.plan.sections[section], count, more=more, interval_ms=interval_ms, leader=leader
            )
        except ValueError:
            raise CannotRun(
                [
                    Finding(
                        Severity.STOPS,
                        line.span.line if line.span else None,
                        (),
                        tr("can't add a repeat to this set"),
                        tr("add a set instead"),
                    )
                ]
            ) from None

    def _items(self, section: int, lane: int) -> _Program:
        own = self._page_lane(lane)
        if not own.swimmers:
            return _Program((), 0, {})
        items, numbers = self.plan.sections[section].items, count(1)
        rows = self._rows(items[: self._written[section]], section, lane, numbers, own.group)
        written, put = len(rows), {}
        if written_behind := range(self._written[section], len(items)):
            mine = {put.item for put in self.deviation.put.get((lane, section), ())}
            for index in written_behind:
                more = self._rows(items[index : index + 1], section, lane, numbers, own.group, index in mine)
                put[index] = range(len(rows), len(rows) + len(more))
                rows += more
        return _Program(tuple(rows), written, put)

    def _rows(
        self,
        items: Iterable[Item],
        section: int,
        lane: int,
        numbers: Iterator[int],
        group: str | None,
        swims: bool = True,
    ) -> list[LaneLine | int]:
        """What the lane swims of `items`; `numbers` counts all their lines, including those that only others swim."""
        rows: list = []
        for item in items:
            mine = swims and swum_by(item.groups, self._page_lane(lane).number, group)
            if isinstance(item, SetLine):
                number = next(numbers)
                if mine:
                    rows.append(self._line(section, lane, item, number))
            elif isinstance(item, Break):
                if mine:
                    rows.append(item.rest_ms.for_lane(self._page(lane), group))
            else:
                inner = self._rows(item.items, section, lane, numbers, group, mine)
                if mine and inner:
                    times = item.rounds.for_lane(self._page(lane), group)
                    if times * len(inner) > MAX_REPEATS:
                        raise CannotRun([too_many(item)])
                    rows += inner * times
        return rows

    def _count(self, section: int, number: int, line: SetLine, lane: int) -> int:
        if line.count is None:
            return 0
        if isinstance(line.count, Flexible):
            return self._chosen(section, number, lane, line.count)
        return line.count.for_lane(lane, self.squad.lanes[lane].group)

    # -- plan and squad together -------------------------------------------------------------------

    def _check_labels(self, items: Iterable[Item], lanes: Sequence[Lane]) -> None:
        """Raise CannotRun if entries by group have none for one of `lanes`; rounds need one for the whole squad."""
        wrong = [
            finding
            for section in self.plan.sections
            for finding in _misfits(section.rounds, section.span, self.squad.lanes)
        ]
        for item in all_items(tuple(items)):
            wrong += nobodys(item, self.squad.lanes)
            for value in _by_lane_values(item):
                wrong += _misfits(value, item.span, lanes)
        if wrong:
            raise CannotRun(wrong)


def _behind(order: Sequence[int], spot: Spot) -> int:
    """The index in a round's order right after a spot of that round."""
    return 0 if spot[1] is None else order.index(spot[1]) + 1


def _misfits(value, span, lanes: Sequence[Lane]) -> list[Finding]:
    labels = getattr(value, "labels", None)
    if labels is None:
        return []
    without = [lane for lane in lanes if lane.group not in labels]
    if not without:
        return []
    numbers = [lane.number for lane in without]
    grouped = any(lane.group for lane in without)
    return [
        Finding(
            Severity.STOPS,
            span.line if span else None,
            tuple(numbers),
            tr_n(
                "lane {numbers} has no value: this set has values for {labels} only",
                "lanes {numbers} have no value: this set has values for {labels} only",
                len(numbers),
                labels=", ".join(labels),
                numbers=spans(numbers),
            ),
            tr_n(
                "give the lane one of these groups in the squad, or add a value to the set",
                "give the lanes one of these groups in the squad, or add a value to the set",
                len(numbers),
            )
            if grouped
            else tr_n("give the lane a Group in the squad", "give the lanes a Group in the squad", len(numbers)),
        )
    ]


def _by_lane_values(item):
    if isinstance(item, SetLine):
        return (item.count, item.distance, item.interval, item.rest_ms, item.hold)
    return (item.rest_ms,) if isinstance(item, Break) else (item.rounds,)


def too_many(item: Item) -> Finding:
    """The finding that a lane has more repeats than a session may have."""
    return Finding(
        Severity.STOPS,
        item.span.line if item.span else None,
        (),
        tr("this gives one lane more than {max_repeats:,} repeats", max_repeats=MAX_REPEATS),
        tr("write fewer rounds or repeats"),
    )
