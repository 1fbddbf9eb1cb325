"""Turns a line's tree into the sets, breaks and rounds that it says."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

from lark import Tree

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.model import (
    MAX_NESTING,
    Activity,
    Break,
    ByLane,
    Group,
    Item,
    Part,
    Pattern,
    Segment,
    SetLine,
    Unit,
    Work,
)
from pacer.plan.notation.linevalues import (
    Node,
    first_token,
    kind_of,
    last_token,
    least_distance,
    leaves_in,
    text_of,
    tokens_in,
    trees_in,
    up_and_down,
)
from pacer.plan.notation.repeatpatterns import boundaries, greatest_count
from pacer.plan.notation.setdetails import Details
from pacer.plan.notation.workmeaning import NOTHING, joined
from pacer.plan.problem import Edit
from pacer.plan.words.linepatterns import MOST_TOGETHER, QUICKEST

#: The distance from which a number alone more likely means metres than lengths. Common practice, no source.
LEAST_METRES = 10


#: A time alone is more likely a rest if it is not longer. Common practice, no source.
LIKELY_REST_MS = 180_000
MOST_SECONDS = 150  #: a number alone that can be seconds


def _pulls(token: Token) -> bool:
    """Whether a token is gear that says to pull: a pull buoy."""
    return token.type == "GEAR" and (token.text.casefold() == "pb" or token.text.casefold().startswith("pull"))


class LineMeaning(Details):
    """Reads what the tree of one line means."""

    def items(self, tree: Tree[Token], nesting: int = 0) -> tuple[Item, ...]:
        """The sets, breaks and groups that a line says; a group of `3 rounds` has no items yet."""
        if tree.data == "rounds":
            return (Group(self.rounds(trees_in(tree)[0]), (), span=self.span(tree)),)
        sets = trees_in(tree)
        for one, other in pairwise(sets):
            self.ask_time(one, other)
        return tuple(self.item(child, nesting) for child in sets)

    def ask_time(self, one: Tree[Token], other: Tree[Token]) -> None:
        """Ask about `8 x 50 free, 60`: a number alone after a counted set that is no length of the pool."""
        tokens, numbers = list(tokens_in(one)), list(tokens_in(other))
        if len(numbers) != 1 or numbers[0].type != "NUMBER" or numbers[0].unit or not self.pool:
            return
        said, counted = numbers[0].value, any(kind_of(child) == "counts" for child in one.children[1:2])
        timed = {kind_of(child) for child in one.children} & {"on", "rest"}
        if not counted or timed or not 10 <= said <= MOST_SECONDS or said % self.pool.length == 0:
            return
        end, time = tokens[-1].end, f"{said // 60}:{said % 60:02d}"
        ways = [Edit(end, numbers[0].end, f", {word} {time}", f"{word} {time}") for word in ("on", "rest")]
        distances = [token.value for token in tokens if token.type == "NUMBER"]
        if said < QUICKEST * max(distances):
            ways.reverse()
        message = tr("is {said} the interval, the rest, or a set of its own?", said=said)
        self.wrong(numbers[0], message, tr("write “on {time}” or “rest {time}”", time=time), *ways)

    def item(self, tree: Tree[Token], nesting: int = 0) -> Item:
        """The set, break or group that a tree says."""
        if tree.data == "set_line":
            return self.set_line(tree, nesting)
        if tree.data == "pause":
            cue = joined([token.value for token in leaves_in(tree, "CUE")])
            return Break(self.by_lane(trees_in(tree), self.rest_time), cue=cue, span=self.span(tree))
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
        each = [part for part in parts if kind_of(part) == "EACH"]
        parts = [part for part in parts if kind_of(part) != "EACH"]
        on = next((part for part in parts if isinstance(part, Tree) and part.data == "on"), None)
        rest = next((part for part in parts if isinstance(part, Tree) and part.data == "rest"), None)
        if on is not None and not each:
            self.ask_whose(on, items)
        elif parts and not (rest is not None and not each and self.ask_whose_rest(rest, items)):
            items = tuple(self.with_parts(item, parts) for item in items)
        return Group(self.rounds(counts), items, span=self.span(tree))

    def check_nesting(self, node: Node, nesting: int) -> None:
        """Note rounds that are nested too deep."""
        if nesting >= MAX_NESTING:
            self.wrong(
                first_token(node),
                tr("rounds can be nested at most {max_nesting} deep", max_nesting=MAX_NESTING),
                tr("write some of them in full"),
            )

    def rounds(self, counts: Tree[Token]) -> ByLane[int]:
        """How often a group is swum."""
        if counts.data == "flexible":
            self.wrong(
                counts,
                tr("only a whole section can have a range of rounds"),
                tr("such as “Main set, 1 to 3 rounds”"),
                leaves_in(counts)[-1].text,
            )
            return ByLane((1,))
        return self.counts(counts)

    def with_parts(self, item: Item, parts: list[Node]) -> Item:
        """A set of a group with the details written after the group's bracket."""
        if not isinstance(item, SetLine):
            return item
        for part in parts:
            if not (isinstance(part, Tree) and part.data in ("on", "rest", "with", "apart")):
                if any(token.text for token in tokens_in(part)):
                    self.ask_for_each(part)
                return item
        values = self.details(parts, item.time_ms is not None)
        if {"rest_ms", "interval"} & {*values} and (item.rest_ms or item.interval):
            self.ask_for_each(parts[0])
        return replace(item, **values)

    def ask_whose(self, on: Tree[Token], items: tuple[Item, ...]) -> None:
        """Ask about `3 x (200 free, 100 kick) on 5:00`: is the interval for the round, or for each of its sets?"""
        sets = [item for item in items if isinstance(item, SetLine)]
        single = all(s.distance and not (s.interval or s.rest_ms or s.ladder) and greatest_count(s) == 1 for s in sets)
        time, place = text_of(on).partition(" ")[2], first_token(on).value
        edits = [Edit(last_token(on).end, last_token(on).end, " each", tr("{time} for each set", time=time))]
        if single and len(sets) == len(items) and isinstance(place, int):
            total = sum(s.distance.entries[0] for s in sets if s.distance)
            edits.insert(0, Edit(place, place, f"{total} ", tr("{time} for the round, without a stop", time=time)))
        hint = tr(
            "write “{time}” inside the brackets after each set, or “{time} each” after the brackets", time=text_of(on)
        )
        self.wrong(on, tr("is {time} for the whole round, or for each set in it?", time=time), hint, *edits)

    def ask_whose_rest(self, rest: Tree[Token], items: tuple[Item, ...]) -> bool:
        """Ask about `4 x (50 drill + 50 swim) rest 0:10`: a rest after both, or after each? False for longer sets."""
        sets = [item for item in items if isinstance(item, SetLine)]
        plain = all(s.distance and not (s.interval or s.rest_ms or s.ladder) and greatest_count(s) == 1 for s in sets)
        distances = {s.distance.entries for s in sets if s.distance}
        if not plain or len(sets) != len(items) or len(sets) != 2 or len(distances) != 1:
            return False
        total = sum(s.distance.entries[0] for s in sets if s.distance)
        if total > MOST_TOGETHER:
            return False
        time, place = text_of(rest).partition(" ")[2], first_token(rest).value
        if not isinstance(place, int):
            return False
        whole = Edit(place, place, f"{total} ", tr("{time} after {total}", time=time, total=total))
        each = Edit(last_token(rest).end, last_token(rest).end, " each", tr("{time} after each", time=time))
        message = tr("a rest of {time} after each of them, or after {total}?", time=time, total=total)
        self.wrong(rest, message, tr("write it after each set, or write “each” after it"), whole, each)
        return True

    def ask_for_each(self, part: Node) -> None:
        """Ask whether a detail after a group's bracket belongs to each of its sets."""
        if not any(mistake.start == first_token(part).start for mistake in self.mistakes):
            self.wrong(
                part, tr("does this belong to each set of the group?"), tr("write it inside the brackets, after a set")
            )

    LENGTHS = ("counts", "flexible", "ladder", "TIME")

    def set_line(self, tree: Tree[Token], nesting: int = 0) -> Item:
        """`N x D …`; checks the rules about the whole line once its parts are right."""
        lead = next(
            (at for at, child in enumerate(tree.children) if kind_of(child) not in self.LENGTHS), len(tree.children)
        )
        lengths, rest = tree.children[:lead], tree.children[lead:]
        whole = next((at for at, child in enumerate(lengths) if kind_of(child) in ("TIME", "ladder")), lead - 1)
        length = lengths.pop(whole)
        counts = [node for node in (*lengths[whole:], *lengths[:whole]) if isinstance(node, Tree)]  # 1:00 x 4
        behind = None
        for last in rest[-2:]:
            if isinstance(last, Tree) and last.data == "counts":  # 50 easy x 4
                behind = last
                rest.remove(last)
                counts = [last, *counts]
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
        if body.tree is None and not counts and isinstance(length, Tree):
            self.ask_lengths(length)
        tokens = list(tokens_in(tree))
        if any(map(_pulls, tokens)) and not any(token.type == "ACTIVITY" for token in tokens):
            body.base = replace(NOTHING, activity=Activity.PULL)
        line = SetLine(Pattern((Part((Segment(None, Work()),)),)), **values)
        pattern = self.pattern(body, timed, line)
        line = replace(line, pattern=pattern, cue=joined(body.cues), span=self.span(tree))
        if trend is not None:
            line = replace(line, change=self.change(trend, line))
        if behind is not None and not self.mistakes:
            self.ask_whole(line, tree, behind)
        if not self.mistakes:
            self.check_fill(line, length)
            self.check_then(line, tree)
        item: Item = line
        for count in reversed(outer):
            self.check_nesting(count, nesting)
            item = Group(self.rounds(count), (item,), span=self.span(tree))
        return item

    def ask_whole(self, line: SetLine, tree: Tree[Token], behind: Node) -> None:
        """Ask about `1000 (75 steady 25 fast) x 10`, whose parts already come to the distance in that many rounds."""
        cycle = boundaries(line.pattern.parts[0])[-1] if len(line.pattern.parts) == 1 else 0
        count, distance = line.count, line.distance
        if not (cycle and isinstance(count, ByLane) and distance and len(count.entries) == len(distance.entries) == 1):
            return
        if count.entries[0] < 2 or cycle * count.entries[0] != distance.entries[0]:
            return
        said, length = distance.entries[0], first_token(tree)
        self.wrong(
            behind,
            tr("{said} in all, or {entry} times {said}?", said=said, entry=count.entries[0]),
            tr("leave x {entry} out, or write {entry} x {said}", entry=count.entries[0], said=said),
            Edit(first_token(behind).start, last_token(behind).end, "1", tr("{said} in all", said=said)),
            Edit(length.start, length.start, f"{count.entries[0]} x 1 x ", f"{count.entries[0]} x {said}"),
        )

    def ask_what(self, time: Node) -> None:
        """Ask whether a time alone is swum or is a rest."""
        said = text_of(time)
        ways = [f"{said} free", f"{said} choice", f"rest {said}"]
        self.wrong(
            time,
            tr("{said} of what?", said=said),
            tr("write “{said} free” or “rest {said}”", said=said),
            *(ways[-1:] + ways[:-1] if first_token(time).value <= LIKELY_REST_MS else ways),
        )

    def ask_by_lane(self, length: Tree[Token]) -> None:
        """Ask about distances that go up and down: they are unlikely to be one for each lane, fast to slow."""
        entries = [leaves_in(entry)[-1] for entry in trees_in(length)]
        values = [token.value for token in entries]
        if not up_and_down(values) or leaves_in(trees_in(length)[0], "LABEL"):
            return
        said = [str(value) for value in values]
        self.wrong(
            length,
            tr("one distance for each lane, or one after the other?"),
            tr("write {said}, or 1 x {each} for the lanes", said=" - ".join(said), each=" / ".join(said)),
            " - ".join(said),
            f"1 x {' / '.join(said)}",
        )

    def ask_lengths(self, length: Tree[Token]) -> None:
        """Ask about `5 easy`: a number alone that is less than a length of the pool is unlikely to be metres."""
        numbers = list(tokens_in(length))
        number = numbers[0]
        if len(numbers) > 1 or number.unit or not 0 < number.value < least_distance(self.pool):
            return
        said, once = number.value, f"1 x {number.value}"
        unit = self.pool.unit if self.pool else Unit.METRE
        whole = self.pool and said * self.pool.length
        lengths = [str(whole)] if whole and whole.denominator == 1 else []
        edits = [
            Edit(number.start, number.end, text, tr("{said} lengths: {text}", said=said, text=text)) for text in lengths
        ]
        edits.append(Edit(number.start, number.end, once, f"{once}: {said} {unit}"))
        if said >= LEAST_METRES:
            edits.reverse()
        self.wrong(
            number,
            tr("{said} lengths, or {said} {unit}?", said=said, unit=unit),
            tr("write “{once}” for {said} {unit}", once=once, said=said, unit=unit),
            *edits,
        )

    def length(self, node: Node) -> dict[str, Any]:
        """The fields of a SetLine for the length of its repeats."""
        if isinstance(node, Token):
            return {"time_ms": self.positive_time(node)}
        if node.data == "ladder":
            self.ask_range(node)
            return {"ladder": tuple(self.distance(token) for token in leaves_in(node)), "count": None}
        return {"distance": self.by_lane(trees_in(node), self.distance)}

    def ask_range(self, ladder: Tree[Token]) -> None:
        """Ask about `100-150`, without spaces: as far as there is time for, or one after the other?"""
        one, *others = leaves_in(ladder)
        other = others[-1]
        if len(others) > 1 or not 0 < one.value < other.value or other.start != one.end + 1:
            return
        ways = (str(one.value), str(other.value), f"{one.value} - {other.value}")
        message = tr("{one} or {other}, or one after the other?", one=one.value, other=other.value)
        self.wrong(
            ladder, message, tr("write {one}, or {one} - {other} for both", one=one.value, other=other.value), *ways
        )

    def check_order(self, count: Node, length: Node) -> None:
        """Ask about `50 x 4`, which is probably four times fifty."""
        if kind_of(count) != "counts" or kind_of(length) != "counts":
            return
        one, other = list(tokens_in(count)), list(tokens_in(length))
        if len(one) == len(other) == 1 and one[0].value >= 25 and one[0].value % 25 == 0 and 0 < other[0].value < 15:
            edit = Edit(one[0].start, other[0].end, f"{other[0].value} x {one[0].value}")
            self.mistakes.append(
                Mistake(
                    edit.start,
                    edit.end,
                    tr("{one} repeats of {other}?", one=one[0].value, other=other[0].value),
                    tr("the count comes first: write {text}", text=edit.text),
                    edit,
                )
            )
