"""A line's tree to the values of the model: defaults filled in, rules checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, ClassVar

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
from pacer.plan.notation.linevalues import (
    Node,
    Values,
    first_token,
    kind_of,
    last_token,
    leaves_in,
    text_of,
    tokens_in,
    trees_in,
    up_and_down,
)
from pacer.plan.notation.mistakes import Mistake
from pacer.plan.notation.patterns import Patterns, greatest_count
from pacer.plan.notation.settling import Token
from pacer.plan.notation.works import joined
from pacer.plan.problem import Edit
from pacer.plan.times import SECOND_MS
from pacer.plan.words.ownwords import NO_WORDS, OwnWords
from pacer.plan.words.vocabulary import GEAR_WORDS, near

MAX_RATE = 200  #: stroke cycles a minute


class LineMeaning(Patterns):
    """What the tree of one line means; `own` are the squad's own words."""

    def __init__(self, number: int, own: OwnWords = NO_WORDS):
        super().__init__(number)
        self.gear = {**GEAR_WORDS, **{word.casefold(): word for word in (*GEAR, *own.gear)}}

    # ---- lines

    def items(self, tree: Tree[Token], nesting: int = 0) -> tuple[Item, ...]:
        """The sets, breaks and groups that a line says; a group of `3 rounds` has no items yet."""
        if tree.data == "rounds":
            return (Group(self.rounds(trees_in(tree)[0]), (), span=self.span(tree)),)
        return tuple(self.item(child, nesting) for child in trees_in(tree))

    def item(self, tree: Tree[Token], nesting: int = 0) -> Item:
        """One of them."""
        if tree.data == "set_line":
            return self.set_line(tree, nesting)
        if tree.data == "pause":
            return Break(self.by_lane(trees_in(tree), self.rest_time), span=self.span(tree))
        self.check_nesting(tree, nesting)
        counts, members = trees_in(tree)[:2]
        if tree.data == "inline_behind":
            counts, members = members, counts
        items = self.items(members, nesting + 1) if nesting < MAX_NESTING else ()
        parts = [
            child
            for child in tree.children
            if child is not counts and child is not members and kind_of(child) != "ROUNDS"
        ]
        if parts:
            items = tuple(self.with_parts(item, parts) for item in items)
        return Group(self.rounds(counts), items, span=self.span(tree))

    def check_nesting(self, node: Node, nesting: int) -> None:
        """Note where rounds are inside too many rounds."""
        if nesting >= MAX_NESTING:
            self.wrong(first_token(node), f"rounds inside rounds go {MAX_NESTING} deep", "write some of them out")

    def rounds(self, counts: Tree[Token]) -> ByLane[int]:
        """How often a group is swum."""
        if counts.data == "flexible":
            self.wrong(
                counts,
                "only the rounds of a whole section can be flexible",
                "as in Main set, 1 to 3 rounds",
                leaves_in(counts)[-1].text,
            )
            return ByLane((1,))
        return self.counts(counts)

    def with_parts(self, item: Item, parts: list[Node]) -> Item:
        """A set of a group with the details that stand behind the group's bracket."""
        if not isinstance(item, SetLine):
            return item
        for part in parts:
            if not (isinstance(part, Tree) and part.data in ("rest", "with", "apart")):
                if first_token(part).text:
                    self.ask_for_each(part)
                return item
        values = self.details(parts, item.time_ms is not None)
        if "rest_ms" in values and (item.rest_ms or item.interval):
            self.ask_for_each(parts[0])
        return replace(item, **values)  # type: ignore[arg-type]

    def ask_for_each(self, part: Node) -> None:
        """What stands behind a group's bracket does not say which of its sets it belongs to."""
        if not any(mistake.start == first_token(part).start for mistake in self.mistakes):
            self.wrong(part, "does this belong to each set of the group?", "write it inside the brackets, behind a set")

    LENGTHS = ("counts", "flexible", "ladder", "TIME")

    def set_line(self, tree: Tree[Token], nesting: int = 0) -> Item:
        """`N x D …`; checks the rules that need the whole line once its parts are right."""
        lead = next(
            (at for at, child in enumerate(tree.children) if kind_of(child) not in self.LENGTHS), len(tree.children)
        )
        lengths, rest = tree.children[:lead], tree.children[lead:]
        whole = next((at for at, child in enumerate(lengths) if kind_of(child) in ("TIME", "ladder")), lead - 1)
        length = lengths.pop(whole)
        counts = [*lengths[whole:], *lengths[:whole]]  # 1:00 x 4
        if rest and kind_of(rest[-1]) == "counts":  # 50 easy x 4
            counts = [rest.pop(), *counts]
        timed = isinstance(length, Token)
        values = self.length(length)
        outer = counts[: len(counts) - 1] if "ladder" not in values else counts
        if counts and "ladder" not in values:
            values["count"] = self.count_of(counts[-1])
            self.check_order(counts[-1], length)
        values |= self.details(rest, timed)
        by = values.pop("by", None)
        trend = values.pop("trend", None)
        if timed and not counts and not rest:
            self.ask_what(length)
        elif isinstance(length, Tree) and length.data == "counts" and not counts:
            self.ask_by_lane(length)
        body = self.body_of([child for child in rest if kind_of(child) in (*self.BODIES, "CUE")], by)
        line = SetLine(Pattern((Part((Segment(None, Work()),)),)), **values)  # type: ignore[arg-type]
        pattern = self.pattern(body, timed, line)
        line = replace(line, pattern=pattern, cue=joined(body.cues), span=self.span(tree))
        if trend is not None:
            line = replace(line, change=self.change(trend, line))
        if not self.mistakes:
            self.check_fill(line, length)
            self.check_then(line, tree)
        item: Item = line
        for count in reversed(outer):
            self.check_nesting(count, nesting)
            item = Group(self.rounds(count), (item,), span=self.span(tree))
        return item

    def ask_what(self, time: Node) -> None:
        """A time alone can be swum or waited."""
        said = text_of(time)
        self.wrong(
            time,
            f"{said} of what?",
            f"write {said} free or rest {said}",
            f"{said} free",
            f"{said} choice",
            f"rest {said}",
        )

    def ask_by_lane(self, length: Tree[Token]) -> None:
        """Distances that go up and down are hardly one for each lane, fast to slow."""
        entries = [leaves_in(entry)[-1] for entry in trees_in(length)]
        values = [token.value for token in entries]
        if not up_and_down(values) or leaves_in(trees_in(length)[0], "LABEL"):
            return
        said = [str(value) for value in values]
        self.wrong(
            length,
            "one distance for each lane, or one after the other?",
            f"write {' - '.join(said)}, or 1 x {' / '.join(said)} for the lanes",
            " - ".join(said),
            f"1 x {' / '.join(said)}",
        )

    def length(self, node: Node) -> dict[str, Any]:
        """The fields of a SetLine that say how long its repeats are."""
        if isinstance(node, Token):
            return {"time_ms": self.positive_time(node)}
        if node.data == "ladder":
            return {"ladder": tuple(self.distance(token) for token in leaves_in(node)), "count": None}
        return {"distance": self.by_lane(trees_in(node), self.distance)}

    def check_order(self, count: Tree[Token], length: Node) -> None:
        """`50 x 4` is probably four times fifty."""
        if isinstance(length, Token) or count.data != "counts" or length.data != "counts":
            return
        one, other = list(tokens_in(count)), list(tokens_in(length))
        if len(one) == len(other) == 1 and one[0].value >= 25 and one[0].value % 25 == 0 and 0 < other[0].value < 15:
            edit = Edit(one[0].start, other[0].end, f"{other[0].value} x {one[0].value}")
            self.mistakes.append(
                Mistake(
                    edit.start,
                    edit.end,
                    f"{one[0].value} repeats of {other[0].value}?",
                    f"how often comes first: write {edit.text}",
                    edit,
                )
            )

    # ---- details

    def details(self, children: Sequence[Node], timed: bool) -> dict[str, Any]:
        """The fields of a SetLine that the details give, and `by`."""
        values: dict[str, Any] = {}
        seen: dict[str, Tree[Token]] = {}
        for tree in children:
            if not isinstance(tree, Tree) or tree.data not in self.DETAILS:
                continue
            if tree.data == "with":
                values["gear"] = self.gear_of(tree, values.get("gear", ()))
                continue
            word = first_token(tree)
            key = {"on": "on or rest", "rest": "on or rest"}.get(tree.data, tree.data)
            if key in seen:
                other = first_token(seen[key])
                if other.type == word.type and other.value == word.value:
                    self.wrong(
                        tree, f"“{word.text}” stands here twice", "one of them is enough", *_without(tree, seen[key])
                    )
                elif key == "on or rest":
                    self.wrong(
                        tree,
                        "a set has an interval or a rest, not both",
                        "keep on … or rest …, whichever the lanes go by",
                        *_without(tree, seen[key]),
                    )
                else:
                    self.wrong(
                        tree, "a set descends or ascends, not both", "keep one of them", *_without(tree, seen[key])
                    )
                continue
            seen[key] = tree
            values.update(getattr(self, "_" + tree.data)(tree, timed))
        return values

    DETAILS = ("on", "rest", "hold", "rate", "by", "with", "apart", "trend")

    def _on(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
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

    def interval(self, node: Node, timed: bool) -> Interval:
        if isinstance(node, Token):
            return FixedInterval(self.positive_time(node))
        if timed:
            self.wrong(
                node, "a timed repeat has no distance that this could go by", "write on and a time, or rest and a time"
            )
        if node.data == "per_100":
            return PerHundredInterval(self.positive_time(node.children[0]))
        return BaseInterval(self.base(node))

    def base(self, tree: Tree[Token]) -> int:
        """The extra milliseconds of `base+0:15`."""
        word, *extra = tree.children
        if word.value and not extra:
            self.wrong(tree, f"after “{word.text}” comes a time", "as in base+0:15")
        elif extra and not word.value:
            self.wrong(tree, "the base pace and a time have a plus between them", "as in base+0:15")
            return 0
        return self.time(extra[0]) if extra else 0

    def _rest(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        return {"rest_ms": self.by_lane(tree.children[1:], self.rest_time)}

    def _hold(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        if timed:
            self.wrong(tree, "a timed repeat has no time to hold", "everybody takes the time that is written")
        return {"hold": self.by_lane(tree.children[1:], self.hold)}

    def hold(self, node: Node) -> Hold:
        if isinstance(node, Token):
            return FixedHold(self.positive_time(node))
        return BaseHold(self.base(node))

    def _rate(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        start, *end = (self.number_of(token, MAX_RATE, "a stroke rate") for token in tree.children[1:])
        return {"rate": RateRange(start, end[0] if end else start)}

    def _by(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        return {"by": tree}

    def _apart(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        ms = self.time(tree.children[1])
        if ms < SECOND_MS:
            self.wrong(tree.children[1], "swimmers leave at least a second apart", "as in apart 0:10")
        return {"apart_ms": ms}

    def _trend(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        return {"trend": tree}

    def change(self, tree: Tree[Token], line: SetLine) -> Change | None:
        """`descend 1-4`, `descend 4`, or over all repeats where there are few."""
        word, *numbers = leaves_in(tree)
        if not numbers:
            repeats = greatest_count(line)
            if isinstance(line.count, Flexible) or not 2 <= repeats <= 6:
                ways = [repeats, *(each for each in (4, 3, 5) if repeats > each and repeats % each == 0)]
                edits = [f"{word.value} 1-{each}" for each in ways if each > 1]
                self.wrong(tree, f"“{word.text}” over how many repeats?", f"as in {word.value} 1-4", *edits[:3])
                return None
            return Change(word.value, repeats)
        last = numbers[-1]
        if len(numbers) == 2 and numbers[0].value != 1:
            hint = f"write {word.value} 1-{last.text}"
            self.wrong(tree, f"“{word.text}” counts its repeats from 1", hint, f"{word.value} 1-{last.text}")
            return None
        if last.value < 2:
            self.wrong(tree, f"“{word.text}” needs two repeats and more", f"as in {word.value} 1-4")
        return Change(word.value, self.number_of(last, MAX_REPEATS, "a number of repeats"))

    def gear_of(self, tree: Tree[Token], found: tuple[str, ...]) -> tuple[str, ...]:
        """The gear that is worn, with what was found before."""
        gear = list(found)
        for node in trees_in(tree):
            if node.data == "bare" or leaves_in(node, "GEAR"):
                word = leaves_in(node, "GEAR")[0].value
            else:
                text = text_of(node)
                word = self.gear.get(text.casefold())
                if word is None:
                    meant = near(text, tuple(self.gear.values()), 0.5)
                    known = ", ".join(dict.fromkeys(self.gear.values()))
                    self.wrong(
                        node,
                        f"“{text}” is no gear that the plan or the squad knows",
                        f"perhaps {meant}" if meant else f"there are {known}",
                        *([meant] if meant else []),
                        Edit(first_token(tree).start, last_token(tree).end, f'"{text_of(tree)}"', f"“{text_of(tree)}”"),
                    )
                    continue
            if word not in gear:
                gear.append(word)
        return tuple(gear)

    def check_then(self, line: SetLine, tree: Tree[Token]) -> None:
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

    def section(self, section: Section, tree: Tree[Token]) -> Section:
        values: dict[str, Any] = {}
        seen: dict[str, Node] = {}
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


def _without(tree: Tree[Token], other: Tree[Token]) -> list[Edit]:
    """Leave out one of two details."""
    return [Edit(first_token(one).start, last_token(one).end, "", f"without {text_of(one)}") for one in (tree, other)]


def pairs_by_lane(left: ByLane, right: ByLane) -> list[tuple]:
    """The pairs of entries that one lane can have of two values by lane."""
    if left.labels is None and right.labels is None:
        lanes = range(max(len(left.entries), len(right.entries)))
        return [(left.for_lane(lane, None), right.for_lane(lane, None)) for lane in lanes]
    if left.labels and right.labels:
        return [(left.for_lane(0, g), right.for_lane(0, g)) for g in left.labels if g in right.labels]
    return [(a, b) for a in left.entries for b in right.entries]
