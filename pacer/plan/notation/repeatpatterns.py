"""What each repeat of a line consists of: work, segments, and the patterns over repeats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate

from lark import Tree

from pacer.language import tr
from pacer.plan.cutting.token import Token
from pacer.plan.model import IM_SEQUENCE, Activity, ByLane, Flexible, Part, Pattern, Segment, SetLine, Stroke, Work
from pacer.plan.notation.linevalues import (
    Node,
    first_token,
    last_token,
    leaves_in,
    text_of,
    trees_in,
)
from pacer.plan.notation.sharedwork import shared_activity, shared_effort, shared_stroke, with_activity
from pacer.plan.notation.workmeaning import NOTHING, WorkMeaning
from pacer.plan.problem import Edit

SHORTHAND = 25  #: a distance that parts without one of their own have where they fill the repeat exactly

_AS_SEGMENTS = tr("a timed repeat can't be split into parts")


@dataclass(slots=True)
class Body:
    """What a set says between its distance and its details, collected from wherever it is written."""

    tree: Tree[Token] | None = None  #: the pattern; None for plain work
    works: list[Tree[Token]] = field(default_factory=list)  #: plain work next to the pattern
    by: Tree[Token] | None = None
    base: Work = NOTHING  #: what its gear says of it
    cues: list[str] = field(default_factory=list)  #: the cues of the whole set


class Patterns(WorkMeaning):
    """Reads the body of a set line: the part between its distance and its details."""

    BODIES = ("stretches", "alternating", "filled", "bracketed", "odd_even", "in_turn", "ranges")

    def body_of(self, children: Sequence[Node], by: Tree[Token] | None) -> Body:
        """The bodies of a set as one: a pattern, and plain work before or after it."""
        body = Body(by=by)
        for child in children:
            if isinstance(child, Token):
                body.cues.append(child.value)
            elif child.data not in self.BODIES:
                continue
            elif child.data == "stretches" and len(child.children) == 1:
                body.works.append(trees_in(trees_in(child)[0])[0])
                body.cues += self.cues_of(trees_in(child)[0])
            elif body.tree is None:
                body.tree = child
            else:
                self.wrong(
                    child, tr("only one pattern per set: this is a second one"), tr("write two sets, or one pattern")
                )
        if body.tree is not None and body.tree.data == "bracketed" and (inner := _only(body.tree, "by")):
            body.by = body.by or inner
        return body

    def pattern(self, body: Body, timed: bool, line: SetLine) -> Pattern:
        """The pattern of a line; cues in it that belong to the whole line are added to the body's."""
        pattern = self._pattern(body, timed, line)
        if body.tree is not None and not self.mistakes:
            works = [*body.works, *(tree for tree in trees_in(body.tree) if tree.data == "work")]
            self.all_used([token for work in works for token in leaves_in(work)], pattern)
        return pattern

    def all_used(self, tokens: Sequence[Token], pattern: Pattern) -> None:
        """Check that at least one part uses the work said for all parts; else it would be dropped silently."""
        works = [segment.work for part in pattern.parts for segment in part.segments]
        said = {each for work in works for each in (work.activity, work.stroke, work.effort)}
        said |= {Stroke.IM} if said & {*IM_SEQUENCE} else set()
        named = " ".join(work.name for work in works)
        for token in tokens:
            lost = token.type in ("ACTIVITY", "STROKE", "EFFORT") and token.value not in {*said, Activity.SWIM}
            if token.text and (token.text not in named if token.type == "NAME" else lost):
                self.wrong(
                    token,
                    tr("which part is “{token}” for?", token=token.text),
                    tr("leave “{token}” out, or write it with the part that it is for", token=token.text),
                    Edit(token.start, token.end, "", tr("without {token}", token=token.text)),
                )

    def _pattern(self, body: Body, timed: bool, line: SetLine) -> Pattern:
        plain = self.work_of([token for work in body.works for token in leaves_in(work)], timed, body.base)
        body.cues = [*(note for work in body.works for note in self.notes_of(work)), *body.cues]
        if body.tree is None:
            whole = Segment(None, self.defaults(plain), span=self.span(body.works[0]) if body.works else None)
            if body.by and timed:
                self.wrong(body.by, _AS_SEGMENTS, tr("such as “6 x 0:30 kick vertical”"))
            elif body.by:
                whole = replace(whole, distance=self.distance(leaves_in(body.by)[1]), span=self.span(body.by))
            return Pattern((Part((whole,)),))
        tree = body.tree
        base = plain
        works = _only(tree, "work")
        if works is not None:
            base = self.work(works, plain, timed)
            body.cues += self.notes_of(works)
        if tree.data in ("stretches", "alternating", "bracketed"):
            if tree.data == "bracketed":
                body.cues += [token.value for token in leaves_in(tree, "CUE")]
            return self.stretches(tree, base, timed, body, line)
        if body.by:
            self.wrong(
                body.by,
                tr("the parts have distances already"),
                tr("leave “by” out, or write only the work, such as “200 drill / swim by 50”"),
                Edit(
                    first_token(body.by).start - 1,
                    last_token(body.by).end,
                    "",
                    tr("without {text}", text=text_of(body.by)),
                ),
            )
        if tree.data == "filled":
            if timed:
                self.wrong(trees_in(tree)[-1], _AS_SEGMENTS, tr("such as “6 x 0:30 kick vertical”"))
            body.cues += [token.value for token in leaves_in(tree, "CUE")]
            segments = self.segments(_only(tree, "segments"), base, timed)
            self.ask_hundreds(_only(tree, "segments"), line)
            return self.counted(segments, line) or Pattern((Part(segments),))
        return self.over_repeats(tree, base, timed, body, line)

    # ---- parts over repeats

    def over_repeats(self, tree: Tree[Token], base: Work, timed: bool, body: Body, line: SetLine) -> Pattern:
        """`odd … / even …`, `in turn …`, `repeats …`."""
        parts: list[Part] = []
        spans: list[tuple[int, int, Tree[Token]]] = []
        backwards = False
        children = [child for child in trees_in(tree) if child.data != "work"]
        for child in children:
            numbers = leaves_in(child, "NUMBER", "RANGE") if child.data in ("turn", "range") else []
            inner = trees_in(child)[-1] if child.data in ("turn", "range") else child
            count = 1
            if tree.data == "in_turn":
                count = self.count(numbers[0]) if numbers else 1
            elif tree.data == "ranges":
                low, high = numbers[0].value
                if high < low:
                    backwards = True
                    self.wrong(
                        numbers[0],
                        tr("the smaller number comes first, but this says {low}-{high}", low=low, high=high),
                        tr("write {high}-{low}", high=high, low=low),
                        f"{high}-{low}",
                    )
                spans.append((low, high, child))
                count = max(high - low + 1, 1)
            parts.append(Part(self.part(inner, base, timed), count))
            if inner.data == "bracket" and (cues := leaves_in(inner, "CUE")):
                if child is children[-1]:
                    body.cues.append(cues[0].value)
                else:
                    self.wrong(
                        cues[0],
                        tr("which part is this cue for?"),
                        tr("put it inside the brackets, or at the end of the line"),
                    )
        if tree.data == "ranges" and not backwards:
            parts = self.ranges(parts, spans, line, tree)
        if len(parts) == 1:
            parts = [replace(parts[0], count=1)]
        return Pattern(tuple(parts), tree.data != "ranges" or len(parts) == 1)

    def part(self, tree: Tree[Token], base: Work, timed: bool) -> tuple[Segment, ...]:
        """The segments of a part: one piece of work, or a bracket of several."""
        if tree.data == "part":
            work = self.defaults(self.work(trees_in(tree)[0], base, timed))
            return (Segment(None, work, self.cue_text(tree), self.span(tree)),)
        if timed:
            self.wrong(tree, _AS_SEGMENTS, tr("such as “6 x 0:30 odd kick / even scull”"))
        return self.segments(trees_in(tree)[0], base, timed)

    def ranges(
        self, parts: list[Part], spans: list[tuple[int, int, Tree[Token]]], line: SetLine, body: Tree[Token]
    ) -> list[Part]:
        """The parts in the order of their repeats; each repeat must be in exactly one part."""
        repeats = greatest_count(line)
        order = sorted(range(len(parts)), key=lambda i: spans[i][:2])
        following = 1
        for i in order:
            low, high, tree = spans[i]
            if low < following:
                self.wrong(tree, tr("repeat {low} is given twice", low=low), tr("each repeat belongs to one part"))
                break
            if low > following:
                missing = (
                    tr("repeat {following} is", following=following)
                    if low == following + 1
                    else tr("repeats {following}-{low} are", following=following, low=low - 1)
                )
                self.wrong(
                    tree,
                    tr("{missing} missing", missing=missing),
                    tr("the ranges must cover repeats 1-{repeats}, each once", repeats=repeats),
                )
                break
            following = high + 1
        else:
            if following <= repeats:
                missing = (
                    tr("repeat {following} is", following=following)
                    if following == repeats
                    else tr("repeats {following}-{repeats} are", following=following, repeats=repeats)
                )
                end = last_token(spans[order[-1]][2]).end
                rest = f" / {following}-{repeats} free" if following < repeats else f" / {following} free"
                self.wrong(
                    body,
                    tr("{missing} missing", missing=missing),
                    tr("the ranges must cover repeats 1-{repeats}, each once", repeats=repeats),
                    Edit(end, end, rest, rest.strip(" /")),
                )
            elif following - 1 > repeats:
                self.wrong(
                    spans[order[-1]][2],
                    tr(
                        "there are {repeats} repeats, but this goes to {following}",
                        repeats=repeats,
                        following=following - 1,
                    ),
                    tr("the ranges must cover repeats 1-{repeats}, each once", repeats=repeats),
                )
        return [parts[i] for i in order]

    def counted(self, segments: tuple[Segment, ...], line: SetLine) -> Pattern | None:
        """The pattern of `(4 kick, 4 swim)` and `3 easy 1 fast`, whose numbers are repeats and not distances."""
        counts = [segment.distance or 0 for segment in segments]
        if not isinstance(line.count, ByLane) or line.distance is None or max(counts) >= SHORTHAND or len(counts) < 2:
            return None
        repeats = line.count.entries
        if any(distance % sum(counts) == 0 for distance in line.distance.entries if distance < SHORTHAND):
            return None
        parts = tuple(
            Part((replace(segment, distance=None),), count) for segment, count in zip(segments, counts) if count
        )
        if all(count == sum(counts) for count in repeats) and max(counts) > 1:
            return Pattern(parts, False)
        if counts == list(range(1, len(counts) + 1)) and all(count == len(counts) for count in repeats):
            return Pattern(tuple(replace(part, count=1) for part in parts), False)  # 1 easy, 2 steady, 3 fast
        return Pattern(parts) if all(count % sum(counts) == 0 for count in repeats) else None

    # ---- segments

    def stretches(self, tree: Tree[Token], base: Work, timed: bool, body: Body, line: SetLine) -> Pattern:
        """`drill / swim`, each segment as long as `by` says."""
        children = [child for child in trees_in(tree) if child.data == "stretch"]
        works = [self.work(trees_in(child)[0], base, timed) for child in children]
        if len(children) > 1:
            tokens = [leaves_in(trees_in(child)[0]) for child in children]
            works = shared_activity(shared_effort(shared_stroke(works, tokens), tokens), tokens)
        each = self.distance(leaves_in(body.by)[1]) if body.by else 0
        if timed:
            self.wrong(body.by or tree, _AS_SEGMENTS, tr("such as “6 x 0:30 kick vertical”"))
        elif not each:
            lengths = line.distance.entries if line.distance else line.ladder or ()
            if tree.data == "alternating" and leaves_in(tree) == [] and greatest_count(line) > 1 and len(works) == 2:
                return self.alternating(works, children)
            if all(length == SHORTHAND * len(works) for length in lengths) and len(works) > 1:
                each = SHORTHAND
            elif 2 < len(works) == greatest_count(line) and not isinstance(line.count, Flexible) and not line.ladder:
                return replace(self.alternating(works, children), cycles=False)  # 4 x 50 fly/back/breast/free
            elif len(works) > 1:
                self.ask_how_far(tree, children, works, line)
        if len(works) == 1 and not each:
            body.cues += self.cues_of(children[0])
            return Pattern((Part((Segment(None, self.defaults(works[0]), "", self.span(children[0])),)),))
        if len(works) == 4 and works[0].stroke is Stroke.IM and {work.stroke for work in works} == {Stroke.IM}:
            works = [replace(work, stroke=stroke) for work, stroke in zip(works, IM_SEQUENCE)]
        segments = tuple(
            Segment(each or 1, self.defaults(work), self.cue_text(child), self.span(child))
            for work, child in zip(works, children)
        )
        return Pattern((Part(segments),))

    def alternating(self, works: list[Work], children: list[Tree[Token]]) -> Pattern:
        """`alternate fast and easy`: one repeat each in turn."""
        return Pattern(
            tuple(
                Part((Segment(None, self.defaults(work), self.cue_text(child), self.span(child)),))
                for work, child in zip(works, children)
            )
        )

    def ask_how_far(self, tree: Tree[Token], children: list[Tree[Token]], works: list[Work], line: SetLine) -> None:
        """Ask how far each segment of `200 drill / swim` is; the line does not say."""
        names = [text_of(trees_in(child)[0]) for child in children]
        said = " / ".join(names)
        names = with_activity(names, works, [leaves_in(trees_in(child)[0]) for child in children])
        count = len(children)
        length = line.distance.entries[0] if line.distance else line.ladder[0] if line.ladder else 0
        end = last_token(tree).end
        ways = [length // count if length % count == 0 else 0, *(50, 25)]
        edits = [
            Edit(end, end, f" by {each}", f"by {each}")
            for each in dict.fromkeys(ways)
            if each and length % (each * count) == 0
        ]
        if count == 2 and greatest_count(line) > 1:
            odd = Edit(first_token(tree).start, end, f"odd {names[0]} / even {names[1]}")
            edits = [odd, *edits] if length // count > 100 else [*edits, odd]
        elif greatest_count(line) > 1 and greatest_count(line) % count == 0:
            turn = " / ".join(f"1 {name}" for name in names)
            edits.insert(0, Edit(first_token(tree).start, end, f"in turn {turn}"))
        self.wrong(
            children[0],
            tr("how far is each of these parts?"),
            tr("such as “{said} by 50”, or “as 50 … / 50 …”", said=said),
            *edits[:4],
        )

    def segments(self, tree: Tree[Token] | None, base: Work, timed: bool) -> tuple[Segment, ...]:
        """`50 drill / 50 swim`."""
        segments = []
        for child in trees_in(tree) if tree is not None else ():
            work = next((self.work(c, base, timed) for c in trees_in(child)), base)
            segments.append(
                Segment(self.distance(leaves_in(child)[0]), self.defaults(work), self.cue_text(child), self.span(child))
            )
        return tuple(segments)

    def ask_hundreds(self, tree: Tree[Token] | None, line: SetLine) -> None:
        """Ask about `800: 3 swim / 2 kick / 3 pull`, whose parts come to the distance in hundreds."""
        parts = trees_in(tree) if tree is not None else []
        numbers = [leaves_in(part)[0] for part in parts]
        distances = line.distance.entries if line.distance else ()
        if tree is None or greatest_count(line) > 1 or len(parts) < 2:
            return
        if [100 * sum(number.value for number in numbers)] != [*distances]:
            return
        said = " / ".join(text_of(part).replace(n.text, f"{n.text}00", 1) for part, n in zip(parts, numbers))
        self.wrong(tree, tr("are these hundreds?"), tr("write {said}", said=said), said)

    def check_fill(self, line: SetLine, length: Node) -> None:
        """Check that whole segments fill every distance."""
        distances = line.ladder or (line.distance.entries if line.distance else ())
        for repeat, distance in enumerate(distances, start=1):
            parts = (line.pattern.part_of(repeat),) if line.ladder else line.pattern.parts
            for part in parts:
                if part.segments[0].distance is None:
                    continue
                ends = boundaries(part)
                if distance % ends[-1] in (0, *ends[:-1]) or not isinstance(length, Tree):
                    continue
                child = length.children[repeat - 1]
                token = last_token(child)
                below, above = nearest_fills(ends, distance)
                segments = " / ".join(str(segment.distance) for segment in part.segments)
                nearest = (
                    tr("the nearest distances that work are {below} and {above}", below=below, above=above)
                    if below
                    else tr("the nearest distance that works is {above}", above=above)
                )
                edits = [str(each) for each in (below, above) if each]
                self.wrong(
                    token,
                    tr("{segments} doesn't fit a {distance}", distance=distance, segments=segments),
                    nearest,
                    *edits,
                )


def _only(tree: Tree[Token], kind: str) -> Tree[Token] | None:
    """The child of a tree that has this kind."""
    return next((child for child in trees_in(tree) if child.data == kind), None)


def greatest_count(line: SetLine) -> int:
    """The repeats of the lane that has the most."""
    if line.ladder:
        return len(line.ladder)
    if line.count is None:
        return 1
    return line.count.most if isinstance(line.count, Flexible) else max(line.count.entries)


def boundaries(part: Part) -> list[int]:
    """The distances at which a part's segments end; the last one is a whole cycle."""
    return list(accumulate(segment.distance or 0 for segment in part.segments))


def nearest_fills(ends: list[int], distance: int) -> tuple[int, int]:
    """The nearest distances, below (0 if there is none) and above, that whole segments fill.

    >>> nearest_fills([50, 75], 110)
    (75, 125)
    """
    start = distance - distance % ends[-1]
    fills = [start + place for place in (0, *ends)]
    return max(f for f in fills if f < distance), min(f for f in fills if f > distance)
