"""The plain values of a line: numbers, times, values by lane, and their places."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from lark import Tree

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.model import MAX_REPEATS, MAX_SESSION_MS, ByLane, Flexible, Pool, Span, Unit
from pacer.plan.problem import Edit
from pacer.plan.times import SECOND_MS, BadTime, ms_from_text, text_from_ms
from pacer.plan.words.linepatterns import SHORT_POOL

MAX_DISTANCE = 100_000  #: of one repeat, in the pool's unit
MAX_BY_LANE = 60  #: values in one list by lane
_UNITS_SAID = {Unit.METRE: tr("metres"), Unit.YARD: tr("yards")}


Node = Tree[Token] | Token


def tokens_in(node: Node) -> Iterator[Token]:
    """The tokens of a tree."""
    if isinstance(node, Token):
        yield node
    else:
        for child in node.children:
            yield from tokens_in(child)


def first_token(node: Node) -> Token:
    """The first token of a tree."""
    while isinstance(node, Tree):
        node = node.children[0]
    return node


def last_token(node: Node) -> Token:
    """The last token of a tree."""
    while isinstance(node, Tree):
        node = node.children[-1]
    return node


def text_of(node: Node) -> str:
    """The words of a tree in their order, with one space between them."""
    return " ".join(token.text for token in tokens_in(node) if token.text)


def trees_in(node: Tree[Token]) -> list[Tree[Token]]:
    """The children of a tree that are trees."""
    return [child for child in node.children if isinstance(child, Tree)]


def leaves_in(node: Tree[Token], *types: str) -> list[Token]:
    """The children of a tree that are tokens, of these types or (if none are given) of any."""
    return [child for child in node.children if isinstance(child, Token) and (not types or child.type in types)]


def kind_of(node: Node) -> str:
    """The rule of a tree, the type of a token."""
    return node.data if isinstance(node, Tree) else node.type


class Values:
    """Reads the values of one line and notes what is wrong with them.

    `number` is the line's number in its file, `pool` the pool that it is swum in. Do not use a returned value if
    `mistakes` is not empty.
    """

    def __init__(self, number: int, pool: Pool | None = None):
        self.number, self.pool = number, pool
        self.mistakes: list[Mistake] = []

    def wrong(self, node: Node, message: str, hint: str = "", *edits: Edit | str) -> None:
        """Note a mistake that covers a tree; a text among the edits replaces the tree."""
        tokens = list(tokens_in(node))  # a word written after others may come first here
        start, end = min(token.start for token in tokens), max(token.end for token in tokens)
        whole = [Edit(start, end, edit) if isinstance(edit, str) else edit for edit in edits]
        self.mistakes.append(Mistake(start, end, message, hint, *whole))

    def span(self, tree: Node) -> Span:
        """The place of a tree in the file."""
        return Span(self.number, first_token(tree).start + 1, last_token(tree).end + 1)

    # ---- numbers

    def number_of(self, token: Token, most: int, what: str, *ways: str) -> int:
        if token.value < 1:
            self.wrong(
                token,
                tr("{what} must be more than 0", what=what),
                tr("write 1 or more, or leave it out"),
                *ways,
            )
            return 1
        if token.value > most:
            said = token.text if len(token.text) < 13 else token.text[:10] + "…"
            self.wrong(
                token,
                tr("{what} can be at most {most:,}, but this says {said}", what=what, most=most, said=said),
                tr("one digit too many?"),
            )
            return 1
        return token.value

    def distance(self, token: Token) -> int:
        if self.pool and token.unit and token.unit != self.pool.unit:
            here, said = _UNITS_SAID[self.pool.unit], _UNITS_SAID[Unit(token.unit)]
            self.wrong(
                token,
                tr("this pool is measured in {here}, not in {said}", here=here, said=said),
                tr("write {token}, or another pool at the top of the plan", token=token.value),
                str(token.value),
            )
        return self.number_of(token, MAX_DISTANCE, tr("a distance"), "50", "100", "25")

    def count(self, token: Token) -> int:
        return self.number_of(token, MAX_REPEATS, tr("a count"), "1", "4")

    def counts(self, tree: Tree[Token]) -> ByLane[int]:
        return self.by_lane(trees_in(tree), self.count)

    def count_of(self, tree: Tree[Token]) -> ByLane[int] | Flexible:
        """A count, by lane or flexible."""
        return self.flexible(tree) if tree.data == "flexible" else self.counts(tree)

    def flexible(self, tree: Tree[Token]) -> Flexible:
        low, high = leaves_in(tree)
        if high.value < max(low.value, 1):
            self.wrong(
                tree,
                tr("the smaller count comes first, but this says {low} to {high}", low=low.text, high=high.text),
                tr("write {high} to {low}", high=high.text, low=low.text),
                f"{high.text} to {low.text}",
            )
        return Flexible(min(low.value, MAX_REPEATS), self.count(high) if high.value else 1)

    def by_lane(self, entries: Sequence[Tree[Token]], read: Callable[..., Any]) -> ByLane[Any]:
        """`[LABEL] value / …` with each value read by `read`."""
        values, labels = [], []
        for entry in entries:
            children = entry.children
            if isinstance(children[0], Token) and children[0].type == "LABEL":
                label, children = children[0], children[1:]
                if label.text in labels:
                    self.wrong(
                        label, tr("group {label} is given twice", label=label.text), tr("one value for each group")
                    )
                labels.append(label.text)
            values.append(read(*children))
        if len(entries) > MAX_BY_LANE:
            self.wrong(
                entries[MAX_BY_LANE],
                tr("at most {max_by_lane} lanes can have their own value", max_by_lane=MAX_BY_LANE),
                tr("leave the rest out: the last value is for all lanes after it"),
            )
        if labels and len(labels) != len(values):
            bare = next(e for e in entries if first_token(e).type != "LABEL")
            self.wrong(bare, tr("name a group for every value, or for none"), tr("such as “on A 4:00 / B 4:20”"))
            return ByLane(tuple(values))
        return ByLane(tuple(values), tuple(labels) if labels else None)

    # ---- times

    def time(self, token: Token, bare_seconds: bool = False) -> int:
        """The milliseconds of a TIME, or of a bare NUMBER of seconds if `bare_seconds` allows one."""
        if token.type == "NUMBER":
            if bare_seconds and token.value * SECOND_MS <= MAX_SESSION_MS:
                return token.value * SECOND_MS
            try:
                return ms_from_text(token.text)
            except BadTime as bad:
                if len(token.text) < 7:
                    self.wrong(token, bad.message, bad.hint, *_bare_time(token.value))
                else:
                    self.wrong(token, tr("this is too long for a time"), tr("times look like 1:22"))
                return 1
        return token.value

    def positive_time(self, token: Token, bare_seconds: bool = False) -> int:
        ms = self.time(token, bare_seconds)
        if ms <= 0:
            self.wrong(
                token,
                tr("a time must be more than 0"),
                tr("leave it out, or write at least 0:01"),
                *(["0:15", "0:10"] if bare_seconds else ["1:00"]),
                Edit(token.start, token.end, "", tr("without {token}", token=token.text)),
            )
            return 1
        return ms

    def rest_time(self, token: Token) -> int:
        return self.positive_time(token, bare_seconds=True)


def _bare_time(number: int) -> list[str]:
    """The times that a number without a colon can mean, the likeliest first: `100` is 1:00, `55` 0:55, `2` 2:00."""
    seconds, minutes = text_from_ms(number * SECOND_MS), f"{number} min"
    glued = f"{number // 100}:{number % 100:02d}" if 100 <= number < 1000 and number % 100 < 60 else ""
    ways = [glued, seconds] if glued else [f"{number}:00", seconds] if number < 5 else [seconds, minutes]
    return list(dict.fromkeys(ways))


def least_distance(pool: Pool | None) -> int:
    """The least distance of a set without a count: a length of the pool, or 25 if the pool is longer."""
    return min(SHORT_POOL, int(pool.length)) if pool else SHORT_POOL


def up_and_down(distances: Sequence[int]) -> bool:
    """Whether distances are unlikely to be one for each lane, fast to slow.

    Four or more that go up somewhere are not, and three or more whose last is less than half of the first.
    """
    falling = list(distances) == sorted(distances, reverse=True)
    return len(distances) > 3 and not falling or len(distances) > 2 and 2 * distances[-1] < distances[0]
