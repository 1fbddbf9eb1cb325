"""A line's tree to the values of the model: defaults filled in, rules checked."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from lark import Tree

from pacer.plan.model import (
    GEAR,
    MAX_NESTING,
    MAX_REPEATS,
    BaseHold,
    BaseInterval,
    Break,
    ByLane,
    Change,
    FixedHold,
    FixedInterval,
    Flexible,
    Group,
    Hold,
    Interval,
    Item,
    Part,
    Pattern,
    PerHundredInterval,
    RateRange,
    Section,
    Segment,
    SetLine,
    Work,
)
from pacer.plan.notation.headerline import long_time
from pacer.plan.notation.linevalues import Values, first_token, kind_of
from pacer.plan.notation.mistakes import Mistake
from pacer.plan.notation.patterns import Patterns
from pacer.plan.notation.tokens import Token
from pacer.plan.notation.vocabulary import near
from pacer.plan.times import SECOND_MS

MAX_RATE = 200  #: stroke cycles a minute


class LineMeaning(Patterns):
    """What the tree of one line means; `gear` are the squad's own words for gear."""

    def __init__(self, number: int, gear: tuple[str, ...] = ()):
        super().__init__(number)
        self.gear = {word.casefold(): word for word in (*GEAR, *gear)}

    # ---- lines

    def item(self, tree: Tree, nesting: int = 0) -> Item:
        """A set line, a break or a group; a group of `3 rounds` has no items yet."""
        if tree.data == "set_line":
            return self.set_line(tree)
        if tree.data == "pause":
            return Break(self.by_lane(tree.children[1:], self.rest_time), span=self.span(tree))
        if tree.data == "rounds":
            counts = next(c for c in tree.children if isinstance(c, Tree))
            if counts.data == "flexible":
                self.wrong(
                    counts, "only the rounds of a whole section can be flexible", "as in Main set, 1 to 3 rounds"
                )
                return Group(ByLane((1,)), ())
            return Group(self.counts(counts), (), span=self.span(tree))
        if nesting >= MAX_NESTING:
            self.wrong(tree.children[0], f"rounds inside rounds go {MAX_NESTING} deep", "write some of them out")
            return Group(ByLane((1,)), ())
        items = tuple(self.item(child, nesting + 1) for child in tree.children[1:])
        return Group(self.counts(tree.children[0]), items, span=self.span(tree))

    LENGTHS = ("counts", "flexible", "ladder", "TIME")

    def set_line(self, tree: Tree) -> SetLine:
        """`N x D …`; checks the rules that need the whole line once its parts are right."""
        lengths, rest = [], []
        for child in tree.children:
            (lengths if kind_of(child) in self.LENGTHS else rest).append(child)
        *count, length = lengths
        timed = isinstance(length, Token)
        values = self.length(length)
        if count and "ladder" in values:
            message = "a ladder has no count: each of its distances is swum once"
            self.wrong(count[0], message, "leave the count out, or write 2 rounds above the line")
        elif count:
            values["count"] = self.count_of(count[0])
        values |= self.details(rest, timed)
        by = values.pop("by", None)
        body = next((child for child in rest if kind_of(child) in self.BODIES), None)
        line = SetLine(Pattern((Part((Segment(None, Work()),)),)), **values)
        pattern, cues = self.pattern(body, timed, by, line)
        cues += [child for child in rest if isinstance(child, Token)]
        if len(cues) > 1:
            self.wrong(cues[1], "a line has one cue", "put both thoughts into one, or a cue to each segment")
        line = replace(line, pattern=pattern, cue=cues[0].value if cues else "", span=self.span(tree))
        if not self.mistakes:
            self.check_fill(line, length)
            self.check_then(line, tree)
        return line

    def length(self, node: Tree | Token) -> dict[str, object]:
        """The fields of a SetLine that say how long its repeats are."""
        if isinstance(node, Token):
            return {"time_ms": self.positive_time(node)}
        if node.data == "ladder":
            return {"ladder": tuple(self.distance(token) for token in node.children), "count": None}
        return {"distance": self.by_lane(node.children, self.distance)}

    # ---- details

    def details(self, children: list[Tree | Token], timed: bool) -> dict[str, object]:
        """The fields of a SetLine that the details give, and `by`."""
        values: dict[str, object] = {}
        seen: dict[str, Tree] = {}
        for tree in children:
            if not isinstance(tree, Tree) or tree.data not in self.DETAILS:
                continue
            word = first_token(tree)
            key = {"on": "on or rest", "rest": "on or rest"}.get(tree.data, tree.data)
            if key in seen:
                other = first_token(seen[key])
                if other.text.casefold() == word.text.casefold():
                    self.wrong(tree, f"“{word.text}” stands here twice", "one of them is enough")
                elif key == "on or rest":
                    self.wrong(
                        tree,
                        "a line has an interval or a rest, not both",
                        "keep on … or rest …, whichever the lanes go by",
                    )
                else:
                    self.wrong(tree, "a line descends or ascends, not both", "keep one of them")
                continue
            seen[key] = tree
            values.update(getattr(self, "_" + tree.data)(tree, timed))
        return values

    DETAILS = ("on", "rest", "hold", "rate", "by", "with", "apart", "trend")

    def _on(self, tree: Tree, timed: bool) -> dict[str, object]:
        entries = self.by_lane(tree.children[1:], lambda *intervals: tuple(self.interval(i, timed) for i in intervals))
        flat = [interval for entry in entries.entries for interval in entry]
        per = [isinstance(interval, PerHundredInterval) for interval in flat]
        if per[-1] and not all(per):
            fixed = next(i for i, p in zip(flat, per) if not p)
            if isinstance(fixed, FixedInterval):
                self.wrong(
                    tree,
                    "does “per 100” count for all of these intervals?",
                    "write it after each interval that is per 100",
                )
        return {"interval": entries}

    def interval(self, node: Tree | Token, timed: bool) -> Interval:
        if isinstance(node, Token):
            return FixedInterval(self.positive_time(node))
        if timed:
            self.wrong(
                node, "a timed repeat has no distance that this could go by", "write on and a time, or rest and a time"
            )
        if node.data == "per_100":
            return PerHundredInterval(self.positive_time(node.children[0]))
        return BaseInterval(self.base(node))

    def base(self, tree: Tree) -> int:
        """The extra milliseconds of `base+0:15`."""
        word, *extra = tree.children
        if word.value and not extra:
            self.wrong(tree, f"after “{word.text}” comes a time", "as in base+0:15")
        elif extra and not word.value:
            self.wrong(tree, "the base pace and a time have a plus between them", "as in base+0:15")
            return 0
        return self.time(extra[0]) if extra else 0

    def _rest(self, tree: Tree, timed: bool) -> dict[str, object]:
        return {"rest_ms": self.by_lane(tree.children[1:], self.rest_time)}

    def _hold(self, tree: Tree, timed: bool) -> dict[str, object]:
        if timed:
            self.wrong(tree, "a timed repeat has no time to hold", "everybody takes the time that is written")
        return {"hold": self.by_lane(tree.children[1:], self.hold)}

    def hold(self, node: Tree | Token) -> Hold:
        if isinstance(node, Token):
            return FixedHold(self.positive_time(node))
        return BaseHold(self.base(node))

    def _rate(self, tree: Tree, timed: bool) -> dict[str, object]:
        start, *end = (self.number_of(token, MAX_RATE, "a stroke rate") for token in tree.children[1:])
        return {"rate": RateRange(start, end[0] if end else start)}

    def _by(self, tree: Tree, timed: bool) -> dict[str, object]:
        return {"by": tree}

    def _apart(self, tree: Tree, timed: bool) -> dict[str, object]:
        ms = self.time(tree.children[1])
        if ms < SECOND_MS:
            self.wrong(tree.children[1], "swimmers leave at least a second apart", "as in apart 0:10")
        return {"apart_ms": ms}

    def _trend(self, tree: Tree, timed: bool) -> dict[str, object]:
        word, *numbers = tree.children
        if len(numbers) == 1 or numbers[0].value != 1:
            last = numbers[-1].text
            self.wrong(tree, f"“{word.text}” counts its repeats from 1", f"write {word.text} 1-{last}")
            return {}
        if numbers[1].value < 2:
            self.wrong(tree, f"“{word.text}” needs two repeats and more", f"as in {word.text} 1-4")
        return {"change": Change(word.value, self.number_of(numbers[1], MAX_REPEATS, "a number of repeats"))}

    def _with(self, tree: Tree, timed: bool) -> dict[str, object]:
        gear: list[str] = []
        for node in tree.children[1:]:
            text = " ".join(token.text for token in node.children)
            word = self.gear.get(text.casefold())
            if word is None:
                meant = near(text, tuple(self.gear.values()), 0.5)
                known = ", ".join(self.gear.values())
                self.wrong(
                    node,
                    f"“{text}” is no gear that the plan or the squad knows",
                    f"perhaps {meant}" if meant else f"there are {known}",
                )
            elif word in gear:
                self.wrong(node, f"{word} stands here twice", "one of them is enough")
            else:
                gear.append(word)
        return {"gear": tuple(gear)}

    def check_then(self, line: SetLine, tree: Tree) -> None:
        """`on 1:40 then 1:35` splits the repeats of every lane evenly."""
        if line.interval is None or all(len(entry) == 1 for entry in line.interval.entries):
            return
        on = next(c for c in tree.children if isinstance(c, Tree) and c.data == "on")
        if isinstance(line.count, Flexible):
            self.wrong(
                on, "intervals that follow one another need a count that is fixed", "write one interval, or one count"
            )
            return
        for count, entry in pairs_by_lane(ByLane((len(line.ladder),)) if line.ladder else line.count, line.interval):
            if count % len(entry):
                self.wrong(
                    on,
                    f"{count} repeats do not split evenly over {len(entry)} intervals",
                    f"{count - count % len(entry) or len(entry)} or {count - count % len(entry) + len(entry)} would",
                )
                return


class SectionMeaning(Values):
    """What the details after a section's name mean."""

    def section(self, section: Section, tree: Tree) -> Section:
        values: dict[str, object] = {}
        seen: dict[str, Tree | Token] = {}
        cues = []
        for node in tree.children:
            kind = {"IF_TIME": "rounds", "section_rounds": "rounds"}.get(kind_of(node), kind_of(node))
            if kind == "CUE":
                cues.append(node)
                continue
            if kind in seen:
                self.wrong(node, f"{self.SAID[kind]} said twice", "one of them is enough")
                continue
            for one, other in self.EXCLUDING:
                if kind in (one, other) and (one if kind == other else other) in seen:
                    self.wrong(node, *self.EXCLUDING[one, other])
            seen[kind] = node
            if kind == "EFFORT":
                values["effort"] = node.value
            elif kind == "RUN_ON":
                values["run_on"] = True
            elif kind == "rounds" and isinstance(node, Token):
                values["rounds"] = Flexible(0, 1)
            elif kind == "rounds":
                counts = next(c for c in node.children if isinstance(c, Tree))
                values["rounds"] = self.count_of(counts)
            else:
                token = node.children[1]
                try:
                    values[f"{node.data}_ms"] = long_time(token.text, token.start)
                except Mistake as mistake:
                    self.mistakes.append(mistake)
        if len(cues) > 1:
            self.wrong(cues[1], "a section has one cue", "put both thoughts into one")
        return replace(section, cue=cues[0].value if cues else "", **values)

    SAID: ClassVar = {
        "rounds": "the rounds are",
        "EFFORT": "the effort is",
        "RUN_ON": "“run on” is",
        "for": "“for” is",
        "at_most": "“at most” is",
    }
    EXCLUDING: ClassVar = {
        ("for", "rounds"): ("“for” goes round until its time is over, it has no count of rounds", "keep one of them"),
        ("at_most", "rounds"): ("“at most” goes round once, it has no count of rounds", "keep one of them"),
        ("for", "at_most"): ("“for” and “at most” exclude each other", "keep one of them"),
        ("for", "RUN_ON"): (
            "a section that says “for” ends for all lanes together, it cannot run on",
            "leave run on out, or say at most",
        ),
    }


def pairs_by_lane(left: ByLane, right: ByLane) -> list[tuple]:
    """The pairs of entries that one lane can have of two values by lane."""
    if left.labels is None and right.labels is None:
        lanes = range(max(len(left.entries), len(right.entries)))
        return [(left.for_lane(lane, None), right.for_lane(lane, None)) for lane in lanes]
    if left.labels and right.labels:
        return [(left.for_lane(0, g), right.for_lane(0, g)) for g in left.labels if g in right.labels]
    return [(a, b) for a in left.entries for b in right.entries]
