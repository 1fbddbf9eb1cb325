"""Add a set, to be swum next; skip a set. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from itertools import pairwise

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.plan.problem import Unreadable
from pacer.session.running import presses
from pacer.session.running.addandskip import lines_ahead, waits_for_section
from pacer.show.drive.pressproposal import Proposal
from pacer.show.editing.quickset import COUNTS, STEP_MS, WORKS, LineChoice, distances, leaves, stepped
from pacer.show.wording.settext import lanes_words
from pacer.timeline.laneline import LaneLine

_FEWER, _MORE = "–", "+"


class LineInLeaf(Leaf):
    """A set put together from keys, swum after the current one."""

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self.choice = LineChoice(4, 50, "choice", "rest 0:15").in_pool(self.driver.run.timeline.plan.pool)

    @property
    def title(self) -> str:
        """For which lanes."""
        return tr("Add a set, {lane_name}", lane_name=self.deck.lane_name())

    def note(self) -> tuple[str, ...]:
        """When it is swum."""
        run = self.driver.run
        if all(waits_for_section(run.timeline.tracks[lane], self.at_ms) for lane in run.lanes(self.deck.lanes)):
            return tr("before the next section, or first in it: hold the key down to see"), tr("next")
        return tr("after the set they are swimming"), tr("after this set")

    def stamp(self) -> Hashable:
        """What is chosen."""
        return self.choice

    def long_presses(self) -> frozenset[str]:
        """Only the key that adds it."""
        return frozenset({"do"})

    def build(self, column: Column, upright: bool) -> None:
        """How often, how far, how they leave, what; and the key to add it."""
        choice = self.choice
        count = [Cell("fewer", (_FEWER,)), Cell("", (f"{choice.count} x",), look="plain"), Cell("more", (_MORE,))]
        distance = [
            Cell("nearer", (_FEWER,)),
            Cell("", (str(choice.distance),), look="plain"),
            Cell("farther", (_MORE,)),
        ]
        if upright:
            column.row(*count, *distance)
        else:
            column.row(*count)
            column.row(*distance)
        column.row(Cell("sooner", ("–5 s",)), Cell("leave", (self._leave(),), share=1.6), Cell("tardier", ("+5 s",)))
        column.row(Cell("work", (choice.work,)), Cell("do", (tr("Add it"),), look="main"))

    def _leave(self) -> str:
        """How they leave, by its name."""
        return next((called for written, called in self._ways() if written == self.choice.leave), self.choice.leave)

    def _ways(self) -> tuple[tuple[str, str], ...]:
        timeline = self.driver.run.timeline
        return leaves(self.choice, timeline.plan.pool, timeline.squad)

    def press(self, name: str) -> None:
        """Change a choice."""
        choice = self.choice
        match name:
            case "fewer" | "more":
                self.choice = replace(choice, count=_next(COUNTS, choice.count, 1 if name == "more" else -1))
            case "nearer" | "farther":
                usual = distances(self.driver.run.timeline.plan.pool)
                self.choice = replace(choice, distance=_next(usual, choice.distance, 1 if name == "farther" else -1))
            case "sooner" | "tardier":
                self.choice = replace(choice, leave=stepped(choice.leave, STEP_MS if name == "tardier" else -STEP_MS))
            case "work":
                self.choice = replace(choice, work=WORKS[(WORKS.index(choice.work) + 1) % len(WORKS)])
            case "leave":
                ways = [written for written, _ in self._ways()]
                place = ways.index(choice.leave) + 1 if choice.leave in ways else 0
                self.choice = replace(choice, leave=ways[place % len(ways)])

    def ask(self, name: str) -> Proposal:
        """What it would do."""
        try:
            return self.driver.offer(
                lambda run, at_ms: presses.put_line_in(run, at_ms, self.choice.text, self.deck.lanes),
                tr("no set is running: start one first"),
            )
        except Unreadable as wrong:
            return Proposal(None, (wrong.problems[0].message,))

    def done(self, name: str) -> None:
        """It is in: leave, so that nobody adds it twice by mistake."""
        self.deck.back()


class LineOutLeaf(Leaf):
    """The current and coming sets, to skip one."""

    @property
    def title(self) -> str:
        """For which lanes."""
        return tr("Skip a set, {lane_name}", lane_name=self.deck.lane_name())

    def note(self) -> tuple[str, ...]:
        """How long it applies."""
        return tr("in later rounds too"), ""

    def stamp(self) -> Hashable:
        """The lines, and what was added or skipped."""
        return self.deck.hand, tuple(self._lines()), id(self.driver.run.timeline)

    def _lines(self) -> dict[tuple[int, int], tuple[str, ...]]:
        """The lines that the chosen lanes have still to swim, by section and number."""
        run = self.driver.run
        ahead = lines_ahead(run, self.at_ms, self.deck.lanes)
        found: dict[tuple[int, int], list[tuple[LaneLine, int]]] = {}
        for lane in run.lanes(self.deck.lanes):
            track = run.timeline.tracks[lane]
            newest = {  # of a set that was changed in its middle, how it goes on
                (part.section, part.round, part.place): part for part in track.passes
            }
            for part in newest.values():
                known = found.setdefault((part.section, part.laneline.number), [])
                known.append((part.laneline, track.repeats_of(part)))
        return {place: lanes_words(*zip(*found[place])) for place in ahead if place in found}

    def long_presses(self) -> frozenset[str]:
        """All of them."""
        return frozenset(str(TileAction("line", section, number)) for section, number in self._lines())

    def build(self, column: Column, upright: bool) -> None:
        """A key for each, under its section."""
        lines = self._lines()
        for (before, _), ((section, number), ways) in pairwise([((-1, 0), ()), *lines.items()]):
            if before[0] != section:
                column.say(self.driver.run.timeline.plan.sections[section].name, colour="dim", most=1)
            column.row(Cell(str(TileAction("line", section, number)), ways, across="left"))

    def ask(self, name: str) -> Proposal:
        """What it would do."""
        _, section, number = action_of(name)
        return self.driver.offer(
            lambda run, at_ms: presses.leave_line_out(run, at_ms, section, number, self.deck.lanes),
            tr("that set is over"),
        )


def _next(values: tuple[int, ...], value: int, step: int) -> int:
    """The next of `values` after `value` in one direction; the last if there is none."""
    place = min(range(len(values)), key=lambda n: abs(values[n] - value)) + step
    return values[max(0, min(len(values) - 1, place))]
