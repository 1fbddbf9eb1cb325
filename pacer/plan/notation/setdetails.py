"""The details of a set: interval, rest, target time, stroke rate, gear, and how the effort changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lark import Tree

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Misspelt
from pacer.plan.cutting.token import Token
from pacer.plan.model import (
    GEAR,
    MAX_REPEATS,
    BaseHold,
    BaseInterval,
    ByLane,
    Change,
    FixedHold,
    FixedInterval,
    Flexible,
    Hold,
    Interval,
    PerHundredInterval,
    Pool,
    RateRange,
    SetLine,
)
from pacer.plan.notation.linevalues import Node, first_token, last_token, leaves_in, text_of, tokens_in, trees_in
from pacer.plan.notation.repeatpatterns import Patterns, greatest_count
from pacer.plan.problem import Edit
from pacer.plan.times import MINUTE_MS, SECOND_MS, text_from_ms
from pacer.plan.words.ownwords import NO_WORDS, OwnWords
from pacer.plan.words.vocabulary import GEAR_WORDS, near

MAX_RATE = 200  #: stroke cycles a minute


class Details(Patterns):
    """Reads the details of a set; `own` holds the squad's own words."""

    def __init__(self, number: int, own: OwnWords = NO_WORDS, pool: Pool | None = None):
        super().__init__(number, pool)
        self.gear = {**GEAR_WORDS, **{word.casefold(): word for word in (*GEAR, *own.gear)}}

    def details(self, children: Sequence[Node], timed: bool) -> dict[str, Any]:
        """The fields of a SetLine that are in the details, and `by`."""
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
                        tree,
                        tr("“{word}” is given twice", word=word.text),
                        tr("one of them is enough"),
                        *_without(tree, seen[key]),
                    )
                elif key == "on or rest":
                    self.wrong(
                        tree,
                        tr("a set has an interval or a rest, not both"),
                        tr("keep either “on …” or “rest …”"),
                        *_break_behind(tree, seen[key]),
                        *_without(tree, seen[key]),
                    )
                else:
                    self.wrong(
                        tree,
                        tr("a set descends or ascends, not both"),
                        tr("keep one of them"),
                        *_without(tree, seen[key]),
                    )
                continue
            seen[key] = tree
            values.update(getattr(self, "_" + tree.data)(tree, timed))
        return values

    DETAILS = ("on", "rest", "hold", "rate", "by", "with", "apart", "trend")

    def _on(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        entries = self.by_lane(trees_in(tree), lambda *intervals: tuple(self.interval(i, timed) for i in intervals))
        flat = [interval for entry in entries.entries for interval in entry]
        per = [isinstance(interval, PerHundredInterval) for interval in flat]
        if per[-1] and not all(per):
            fixed = next(i for i, p in zip(flat, per) if not p)
            if isinstance(fixed, FixedInterval):
                self.wrong(
                    tree,
                    tr("does “per 100” apply to all of these intervals?"),
                    tr("write it after each interval that is per 100"),
                )
        return {"interval": entries}

    def interval(self, node: Node, timed: bool) -> Interval:
        if isinstance(node, Token):
            return FixedInterval(self.positive_time(node))
        if timed:
            self.wrong(
                node, tr("a timed repeat has no distance for this"), tr("write “on” and a time, or “rest” and a time")
            )
        if node.data == "per_100":
            return PerHundredInterval(self.positive_time(first_token(node)))
        return BaseInterval(self.base(node))

    def base(self, tree: Tree[Token]) -> int:
        """The extra milliseconds of `base+0:15`."""
        word, *extra = leaves_in(tree)
        if word.value and not extra:
            self.wrong(tree, tr("“{word}” needs a time", word=word.text), tr("such as “base+0:15”"))
        elif extra and not word.value:
            self.wrong(tree, tr("the base pace and a time have a plus between them"), tr("such as “base+0:15”"))
            return 0
        return self.time(extra[0]) if extra else 0

    def _rest(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        return {"rest_ms": self.by_lane(trees_in(tree), self.rest_time)}

    def _hold(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        if timed:
            self.wrong(
                tree,
                tr("a timed repeat has no time to hold"),
                tr("leave “hold” out: everybody swims until the time is up"),
            )
        return {"hold": self.by_lane(trees_in(tree), self.hold)}

    def hold(self, node: Node) -> Hold:
        if isinstance(node, Token):
            return FixedHold(self.positive_time(node))
        return BaseHold(self.base(node))

    def _rate(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        start, *end = (self.number_of(token, MAX_RATE, tr("a stroke rate")) for token in leaves_in(tree)[1:])
        return {"rate": RateRange(start, end[0] if end else start)}

    def _by(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        return {"by": tree}

    def _apart(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        time = leaves_in(tree)[1]
        ms = self.time(time)
        if ms < SECOND_MS:
            self.wrong(time, tr("swimmers leave at least a second apart"), tr("such as “apart 0:10”"))
        return {"apart_ms": ms}

    def _trend(self, tree: Tree[Token], timed: bool) -> dict[str, Any]:
        return {"trend": tree}

    def change(self, tree: Tree[Token], line: SetLine) -> Change | None:
        """`descend 1-4`, `descend 4`, or over all repeats if there are few."""
        word, *numbers = leaves_in(tree)
        if not numbers:
            repeats = greatest_count(line)
            if isinstance(line.count, Flexible) or not 2 <= repeats <= 6:
                ways = [repeats, *(each for each in (4, 3, 5) if repeats > each and repeats % each == 0)]
                edits = [f"{word.value} 1-{each}" for each in ways if each > 1]
                self.wrong(
                    tree,
                    tr("“{word}” over how many repeats?", word=word.text),
                    tr("such as “{word} 1-4”", word=word.value),
                    *edits[:3],
                )
                return None
            return Change(word.value, repeats)
        last = numbers[-1]
        if len(numbers) == 2 and numbers[0].value != 1:
            hint = tr("write {word} 1-{last}", word=word.value, last=last.text)
            self.wrong(
                tree, tr("“{word}” counts its repeats from 1", word=word.text), hint, f"{word.value} 1-{last.text}"
            )
            return None
        if last.value < 2:
            self.wrong(
                tree,
                tr("“{word}” needs two or more repeats", word=word.text),
                tr("such as “{word} 1-4”", word=word.value),
            )
        return Change(word.value, self.number_of(last, MAX_REPEATS, tr("a number of repeats")))

    def gear_of(self, tree: Tree[Token], found: tuple[str, ...]) -> tuple[str, ...]:
        """The gear to wear, added to what was found before."""
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
                    message = tr("the plan and the squad don't know the gear “{text}”", text=text)
                    cue = Edit(
                        first_token(tree).start, last_token(tree).end, f'"{text_of(tree)}"', f"“{text_of(tree)}”"
                    )
                    if meant:
                        start, end = first_token(node).start, last_token(node).end
                        self.mistakes.append(Misspelt(start, end, message, meant, Edit(start, end, meant), cue))
                    else:
                        self.wrong(node, message, tr("choose from: {known}", known=known), cue)
                    continue
            if word not in gear:
                gear.append(word)
        return tuple(gear)

    def check_then(self, line: SetLine, tree: Tree[Token]) -> None:
        """Check that `on 1:40 then 1:35` splits the repeats of every lane evenly."""
        if line.interval is None or all(len(entry) == 1 for entry in line.interval.entries):
            return
        on = next(c for c in tree.children if isinstance(c, Tree) and c.data == "on")
        if isinstance(line.count, Flexible):
            self.wrong(on, tr("intervals joined by “then” need a fixed count"), tr("write one interval, or one count"))
            return
        counts = line.count or ByLane((len(line.ladder or ()),))
        for count, entry in pairs_by_lane(counts, line.interval):
            if count % len(entry):
                self.wrong(
                    on,
                    tr(
                        "{count} repeats do not split evenly over {entry_count} intervals",
                        count=count,
                        entry_count=len(entry),
                    ),
                    tr(
                        "{fewer} or {more} would",
                        fewer=count - count % len(entry) or len(entry),
                        more=count - count % len(entry) + len(entry),
                    ),
                )
                return


def _break_behind(rest: Tree[Token], interval: Tree[Token]) -> list[Edit]:
    """The edit that makes a rest of a minute or more, right after a set's interval, a break after the set."""
    tokens = list(tokens_in(rest))
    start, end = min(token.start for token in tokens), max(token.end for token in tokens)
    times = [token for token in tokens if token.type == "TIME"]
    before = last_token(interval).end
    if rest.data != "rest" or len(times) != 1 or (times[0].value or 0) < MINUTE_MS or not 0 < start - before <= 2:
        return []
    said = f"rest {text_from_ms(times[0].value)}"
    return [Edit(before, end, f" + {said}", tr("{rest} after the set", rest=said))]


def _without(tree: Tree[Token], other: Tree[Token]) -> list[Edit]:
    """The edits that leave out one of two details."""
    return [
        # A range can be written before its word: `1-3 desc`.
        Edit(
            min(first_token(one).start, last_token(one).start),
            max(first_token(one).end, last_token(one).end),
            "",
            tr("without {text}", text=text_of(one)),
        )
        for one in (tree, other)
    ]


def pairs_by_lane(left: ByLane[Any], right: ByLane[Any]) -> list[tuple[Any, Any]]:
    """The pairs of entries that one lane can have, from two values by lane."""
    if left.labels is None and right.labels is None:
        lanes = range(max(len(left.entries), len(right.entries)))
        return [(left.for_lane(lane, None), right.for_lane(lane, None)) for lane in lanes]
    if left.labels and right.labels:
        return [(left.for_lane(0, g), right.for_lane(0, g)) for g in left.labels if g in right.labels]
    return [(a, b) for a in left.entries for b in right.entries]
