"""What each repeat of a line consists of: work, segments, and the patterns over repeats."""

from __future__ import annotations

from dataclasses import replace

from lark import Tree

from pacer.plan.model import Activity, Flexible, Part, Pattern, Segment, SetLine, Stroke, Work
from pacer.plan.notation.linevalues import Values, last_token
from pacer.plan.notation.tokens import Token


class Patterns(Values):
    """Reads the body of a set line: what stands between its distance and its details."""

    BODIES = ("line_cue", "stretches", "filled", "odd_even", "in_turn", "ranges")

    def pattern(self, body: Tree | None, timed: bool, by: Tree | None, line: SetLine) -> tuple[Pattern, list[Token]]:
        """The pattern of a line, and the cues in it that are the line's."""
        if body is None or body.data == "line_cue":
            whole = Segment(None, Work())
            if by:
                whole = Segment(self.distance(by.children[1]), Work(), span=self.span(by))
            return Pattern((Part((whole,)),)), list(body.children) if body else []
        children = list(body.children)
        base = Work(None, None)
        if body.data != "stretches" and isinstance(children[0], Tree) and children[0].data == "work":
            base = self.work(children.pop(0), Work(None, None), timed)
        cues: list[Token] = []
        if body.data == "stretches":
            return self.stretches(children, timed, by), (
                [] if by or len(children) > 1 else self.cue_tokens(children[0])
            )
        if by:
            self.wrong(
                by,
                "the segments have distances already",
                "leave by … out, or write the work alone, as in 200 drill / swim by 50",
            )
        if body.data == "filled":
            if timed:
                self.wrong(
                    children[0], "a timed repeat is one stretch, it has no segments", "as in 6 x 0:30 kick vertical"
                )
            return Pattern((Part(self.segments(children[0], base, timed)),)), children[1:]
        parts: list[Part] = []
        spans: list[tuple[int, int, Tree]] = []
        backwards = False
        for child in children:
            numbers, tree = (
                ([], child) if child.data in ("part", "bracket") else (child.children[:-1], child.children[-1])
            )
            count = 1
            if body.data == "in_turn":
                count = self.count(numbers[0]) if numbers else 1
            elif body.data == "ranges":
                low, high = self.count(numbers[0]), self.count(numbers[-1])
                if high < low:
                    backwards = True
                    self.wrong(child, f"the smaller number comes first, this says {low}-{high}", f"write {high}-{low}")
                spans.append((low, high, child))
                count = max(high - low + 1, 1)
            parts.append(Part(self.part(tree, base, timed), count))
            if tree.data == "bracket" and len(tree.children) == 2:
                if child is children[-1]:
                    cues.append(tree.children[1])
                else:
                    self.wrong(
                        tree.children[1],
                        "a cue here would belong to no segment",
                        "put it inside the brackets, or at the end of the line",
                    )
        if body.data == "ranges" and not backwards:
            parts = self.ranges(parts, spans, line, body)
        if len(parts) == 1:
            parts = [replace(parts[0], count=1)]
        return Pattern(tuple(parts), body.data != "ranges" or len(parts) == 1), cues

    def cue_tokens(self, tree: Tree) -> list[Token]:
        return [child for child in tree.children if isinstance(child, Token) and child.type == "CUE"]

    def stretches(self, children: list[Tree], timed: bool, by: Tree | None) -> Pattern:
        works = [self.work(child.children[0], Work(None, None), timed) for child in children]
        if not by:
            if len(children) > 1:
                names = " / ".join(" ".join(t.text for t in c.children[0].children) for c in children)
                self.wrong(children[0], "how far is each of these segments?", f"as in {names} by 50, or as 50 … / 50 …")
            return Pattern((Part((Segment(None, self.defaults(works[0]), span=self.span(children[0])),)),))
        if timed:
            self.wrong(by, "a timed repeat is one stretch, it has no segments", "as in 6 x 0:30 kick vertical")
        each = self.distance(by.children[1])
        return Pattern(
            (
                Part(
                    tuple(
                        Segment(each, self.defaults(work), self.cue_text(child), self.span(child))
                        for work, child in zip(works, children)
                    )
                ),
            )
        )

    def cue_text(self, tree: Tree) -> str:
        return next((token.value for token in self.cue_tokens(tree)), "")

    def segments(self, tree: Tree, base: Work, timed: bool) -> tuple[Segment, ...]:
        segments = []
        for child in tree.children:
            work = next((self.work(c, base, timed) for c in child.children if isinstance(c, Tree)), base)
            segments.append(
                Segment(self.distance(child.children[0]), self.defaults(work), self.cue_text(child), self.span(child))
            )
        return tuple(segments)

    def part(self, tree: Tree, base: Work, timed: bool) -> tuple[Segment, ...]:
        if tree.data == "part":
            work = self.defaults(self.work(tree.children[0], base, timed))
            return (Segment(None, work, self.cue_text(tree), self.span(tree)),)
        if timed:
            self.wrong(
                tree, "a timed repeat is one stretch, it has no segments", "as in 6 x 0:30 odd kick / even scull"
            )
        return self.segments(tree.children[0], base, timed)

    def ranges(self, parts: list[Part], spans: list[tuple[int, int, Tree]], line: SetLine, body: Tree) -> list[Part]:
        """The parts in the order of their repeats, which they must cover once each."""
        repeats = greatest_count(line)
        order = sorted(range(len(parts)), key=lambda i: spans[i][:2])
        following = 1
        for i in order:
            low, high, tree = spans[i]
            if low < following:
                self.wrong(tree, f"repeat {low} stands here twice", "each repeat belongs to one part")
                break
            if low > following:
                missing = f"repeat {following} is" if low == following + 1 else f"repeats {following}-{low - 1} are"
                self.wrong(tree, f"{missing} missing", f"the ranges cover repeats 1-{repeats}, each once")
                break
            following = high + 1
        else:
            if following <= repeats:
                missing = f"repeat {following} is" if following == repeats else f"repeats {following}-{repeats} are"
                self.wrong(body, f"{missing} missing", f"the ranges cover repeats 1-{repeats}, each once")
            elif following - 1 > repeats:
                self.wrong(
                    spans[order[-1]][2],
                    f"there are {repeats} repeats, this goes to {following - 1}",
                    f"the ranges cover repeats 1-{repeats}, each once",
                )
        return [parts[i] for i in order]

    def work(self, tree: Tree, base: Work, timed: bool) -> Work:
        """The work written in `tree`, the rest from `base`; None where neither says."""
        activity = stroke = effort = None
        name: list[str] = []
        for token in tree.children:
            if token.type == "NAME":
                name.append(token.text)
            elif token.type == "ACTIVITY":
                if activity is not None and (
                    activity in (Activity.DRILL, Activity.SCULL) or timed and activity is Activity.KICK
                ):
                    name.append(token.text)
                elif activity is not None:
                    self.wrong(
                        token,
                        f"one stretch has one activity, this is {activity} and {token.value}",
                        "write two segments: as 25 kick / 25 swim; a drill's name follows the word drill",
                    )
                else:
                    activity = token.value
            elif token.type == "STROKE":
                if stroke is not None:
                    self.wrong(
                        token,
                        f"one stretch has one stroke, this is {stroke} and {token.value}",
                        "write two segments: as 25 fly / 25 free",
                    )
                stroke = token.value
            else:
                if effort is not None:
                    self.wrong(
                        token,
                        f"one stretch has one effort, this is {effort} and {token.value}",
                        "write two segments: as 25 fast / 25 easy",
                    )
                effort = token.value
        return Work(
            activity or base.activity,
            stroke or base.stroke,
            effort or base.effort,
            " ".join(name) if activity else base.name,
        )

    @staticmethod
    def defaults(work: Work) -> Work:
        activity = work.activity or Activity.SWIM
        stroke = work.stroke or (Stroke.FREE if activity is Activity.SWIM else None)
        return Work(activity, stroke, work.effort, work.name, work.activity is Activity.SWIM and work.stroke is None)

    def check_fill(self, line: SetLine, length: Tree | Token) -> None:
        """Every distance is filled by whole segments."""
        distances = line.ladder or (line.distance.entries if line.distance else ())
        for repeat, distance in enumerate(distances, start=1):
            parts = (line.pattern.part_of(repeat),) if line.ladder else line.pattern.parts
            for part in parts:
                if part.segments[0].distance is None:
                    continue
                ends = boundaries(part)
                if distance % ends[-1] in (0, *ends[:-1]):
                    continue
                token = length.children[repeat - 1] if line.ladder else last_token(length.children[repeat - 1])
                below, above = nearest_fills(ends, distance)
                segments = " / ".join(str(segment.distance) for segment in part.segments)
                nearest = (
                    f"the nearest distances that work are {below} and {above}"
                    if below
                    else f"the nearest distance that works is {above}"
                )
                self.wrong(token, f"{distance} cannot be filled with {segments}", nearest)


def greatest_count(line: SetLine) -> int:
    """How many repeats the lane with the most of them has."""
    if line.ladder:
        return len(line.ladder)
    return line.count.most if isinstance(line.count, Flexible) else max(line.count.entries)


def boundaries(part: Part) -> list[int]:
    """The distances at which a part's segments end, the last being a whole cycle."""
    ends, total = [], 0
    for segment in part.segments:
        total += segment.distance
        ends.append(total)
    return ends


def nearest_fills(ends: list[int], distance: int) -> tuple[int, int]:
    """The nearest distances below (0 for none) and above that whole segments fill.

    >>> nearest_fills([50, 75], 110)
    (75, 125)
    """
    start = distance - distance % ends[-1]
    fills = [start + place for place in (0, *ends)]
    return max(f for f in fills if f < distance), min(f for f in fills if f > distance)
