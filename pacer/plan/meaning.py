"""A line's tree to the values of the model: defaults filled in, numbers and rules checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from lark import Tree

from pacer.plan.header import long_time
from pacer.plan.mistakes import Mistake
from pacer.plan.model import (
    GEAR, MAX_NESTING, MAX_REPEATS, Activity, BaseHold, BaseInterval, Break, ByLane, Change, FixedHold,
    FixedInterval, Flexible, Group, Hold, Interval, Item, Part, Pattern, PerHundredInterval,
    RateRange, Section, Segment, SetLine, Span, Stroke, Work,
)
from pacer.plan.times import SECOND_MS, BadTime, ms_from_text, text_from_ms
from pacer.plan.tokens import Token
from pacer.plan.words import near

MAX_DISTANCE = 100_000
MAX_RATE = 200


def first_token(node: Tree | Token) -> Token:
    """The leftmost token of a tree."""
    while isinstance(node, Tree):
        node = node.children[0]
    return node


def last_token(node: Tree | Token) -> Token:
    """The rightmost token of a tree."""
    while isinstance(node, Tree):
        node = node.children[-1]
    return node


def mistake_at(node: Tree | Token, message: str, hint: str = "") -> Mistake:
    """A mistake that covers a tree."""
    return Mistake(first_token(node).start, last_token(node).end, message, hint)


class LineMeaning:
    """What the tree of one line means.

    `number` is the line's in the file. What is wrong is collected in `mistakes`; a value
    that is returned although there are some is not to be used.
    """

    def __init__(self, number: int, gear: tuple[str, ...] = ()):
        self.number = number
        self.gear = {word.casefold(): word for word in (*GEAR, *gear)}
        self.mistakes: list[Mistake] = []

    def wrong(self, node: Tree | Token, message: str, hint: str = "") -> None:
        self.mistakes.append(mistake_at(node, message, hint))

    def span(self, first: Tree | Token, last: Tree | Token | None = None) -> Span:
        return Span(self.number, first_token(first).start + 1, last_token(last or first).end + 1)

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
                self.wrong(counts, "only the rounds of a whole section can be flexible", "as in Main set, 1 to 3 rounds")
                return Group(ByLane((1,)), ())
            return Group(self.counts(counts), (), span=self.span(tree))
        if nesting >= MAX_NESTING:
            self.wrong(tree.children[0], f"rounds inside rounds go {MAX_NESTING} deep", "write some of them out")
            return Group(ByLane((1,)), ())
        items = tuple(self.item(child, nesting + 1) for child in tree.children[1:])
        return Group(self.counts(tree.children[0]), items, span=self.span(tree))

    def set_line(self, tree: Tree) -> SetLine:
        lengths, rest = [], []
        for child in tree.children:
            is_length = isinstance(child, Token) and child.type == "TIME" or isinstance(child, Tree) and child.data in ("counts", "flexible", "ladder")
            (lengths if is_length else rest).append(child)
        values: dict[str, object] = {}
        length = lengths[-1]
        timed = isinstance(length, Token)
        if timed:
            values["time_ms"] = self.positive_time(length)
        elif length.data == "ladder":
            values["ladder"] = tuple(self.distance(token) for token in length.children)
            values["count"] = None
            if len(lengths) == 2:
                self.wrong(lengths[0], "a ladder has no count: each of its distances is swum once",
                           f"leave “{lengths[0].children[0].children[-1].text if lengths[0].data == 'counts' else ''} x” out, or write 2 rounds above it" if lengths[0].data == "counts" else "leave the count out")
        else:
            values["distance"] = self.by_lane(length.children, self.distance)
        if len(lengths) == 2 and values.get("count", 1) is not None:
            values["count"] = self.counts(lengths[0]) if lengths[0].data == "counts" else self.flexible(lengths[0])
        details = self.details(rest, timed)
        by = details.pop("by", None)
        values.update(details)
        body = next((child for child in rest if isinstance(child, Tree) and child.data in self.BODIES), None)
        cues = [child for child in rest if isinstance(child, Token)]
        line = SetLine(Pattern((Part((Segment(None, Work()),)),)), span=self.span(tree), **values)
        pattern, line_cues = self.pattern(body, timed, by, line)
        cues = line_cues + cues
        if len(cues) > 1:
            self.wrong(cues[1], "a line has one cue", "put both thoughts into one, or a cue to each segment")
        line = replace(line, pattern=pattern, cue=cues[0].value if cues else "")
        if not self.mistakes:
            self.check_fill(line, length)
            self.check_then(line, tree)
        return line

    # ---- numbers

    def number_of(self, token: Token, most: int, what: str) -> int:
        if token.value < 1:
            self.wrong(token, f"{what} is more than nothing, this says {token.text}", "leave the line out, or write 1 or more")
            return 1
        if token.value > most:
            self.wrong(token, f"{what} goes up to {most:,}, this says {token.text if len(token.text) < 13 else token.text[:10] + '…'}")
            return 1
        return token.value

    def distance(self, token: Token) -> int:
        return self.number_of(token, MAX_DISTANCE, "a distance")

    def count(self, token: Token) -> int:
        return self.number_of(token, MAX_REPEATS, "a count")

    def counts(self, tree: Tree) -> ByLane[int]:
        return self.by_lane(tree.children, self.count)

    def flexible(self, tree: Tree) -> Flexible:
        low, high = tree.children
        if high.value < max(low.value, 1):
            self.wrong(tree, f"the greater count comes last, this says {low.text} to {high.text}", f"write {high.text} to {low.text}")
        return Flexible(min(low.value, MAX_REPEATS), self.count(high) if high.value else 1)

    def by_lane(self, entries: list[Tree], read: Callable) -> ByLane:
        """`[LABEL] value / …` with each value read by `read`."""
        values, labels = [], []
        for entry in entries:
            children = entry.children
            if isinstance(children[0], Token) and children[0].type == "LABEL":
                label, children = children[0], children[1:]
                if label.text in labels:
                    self.wrong(label, f"group {label.text} stands here twice", "one value for each group")
                labels.append(label.text)
            values.append(read(children[0]) if len(children) == 1 else read(*children))
        if labels and len(labels) != len(values):
            bare = next(e for e in entries if first_token(e).type != "LABEL")
            self.wrong(bare, "either every value names its group or none does", "as in on A 4:00 / B 4:20")
            return ByLane(tuple(values))
        return ByLane(tuple(values), tuple(labels) if labels else None)

    # ---- times

    def time(self, token: Token, bare_seconds: bool = False) -> int:
        """Milliseconds of a TIME, or of a bare NUMBER where seconds can be meant alone."""
        if token.type == "NUMBER":
            if bare_seconds and token.value * SECOND_MS <= 24 * 3_600_000:
                return token.value * SECOND_MS
            try:
                return ms_from_text(token.text)
            except BadTime as bad:
                self.wrong(token, bad.message if len(token.text) < 9 else "this is too long for a time", bad.hint if len(token.text) < 9 else "times look like 1:22")
                return 1
        return token.value if token.value is not None else 1

    def positive_time(self, token: Token, bare_seconds: bool = False) -> int:
        ms = self.time(token, bare_seconds)
        if ms <= 0:
            self.wrong(token, f"a time is more than nothing, this says {token.text}", "leave it out, or write at least 0:01")
            return 1
        return ms

    def rest_time(self, token: Token) -> int:
        return self.positive_time(token, bare_seconds=True)

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
                    self.wrong(tree, "a line has an interval or a rest, not both", "keep on … or rest …, whichever the lanes go by")
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
                self.wrong(tree, "does “per 100” count for all of these intervals?", "write it after each interval that is per 100")
        return {"interval": entries}

    def interval(self, node: Tree | Token, timed: bool) -> Interval:
        if isinstance(node, Token):
            return FixedInterval(self.positive_time(node))
        if timed:
            self.wrong(node, "a timed repeat has no distance that this could go by", "write on and a time, or rest and a time")
        if node.data == "per_100":
            return PerHundredInterval(self.positive_time(node.children[0]))
        return BaseInterval(self.base(node))

    def base(self, tree: Tree) -> int:
        """The extra milliseconds of `base+0:15`."""
        word, *extra = tree.children
        if bool(extra) != bool(word.value):
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
                meant = near(text, self.gear, 0.5)
                known = ", ".join(self.gear.values())
                self.wrong(node, f"“{text}” is no gear that the plan or the squad knows", f"perhaps {meant}" if meant else f"there are {known}")
            elif word in gear:
                self.wrong(node, f"{word} stands here twice", "one of them is enough")
            else:
                gear.append(word)
        return {"gear": tuple(gear)}

    # ---- work and segments

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
            return self.stretches(children, timed, by), ([] if by or len(children) > 1 else self.cue_tokens(children[0]))
        if by:
            self.wrong(by, "the segments have distances already", "leave by … out, or write the work alone, as in 200 drill / swim by 50")
        if body.data == "filled":
            if timed:
                self.wrong(children[0], "a timed repeat is one stretch, it has no segments", "as in 6 x 0:30 kick vertical")
            return Pattern((Part(self.segments(children[0], base, timed)),)), children[1:]
        parts: list[Part] = []
        spans: list[tuple[int, int, Tree]] = []
        for child in children:
            numbers, tree = ([], child) if child.data in ("part", "bracket") else (child.children[:-1], child.children[-1])
            count = 1
            if body.data == "in_turn":
                count = self.count(numbers[0]) if numbers else 1
            elif body.data == "ranges":
                low, high = self.count(numbers[0]), self.count(numbers[-1])
                if high < low:
                    self.wrong(child, f"the smaller number comes first, this says {low}-{high}", f"write {high}-{low}")
                spans.append((low, high, child))
                count = max(high - low + 1, 1)
            parts.append(Part(self.part(tree, base, timed), count))
            if tree.data == "bracket" and len(tree.children) == 2:
                if child is children[-1]:
                    cues.append(tree.children[1])
                else:
                    self.wrong(tree.children[1], "a cue here would belong to no segment", "put it inside the brackets, or at the end of the line")
        if body.data == "ranges":
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
        return Pattern((Part(tuple(
            Segment(each, self.defaults(work), self.cue_text(child), self.span(child)) for work, child in zip(works, children)
        )),))

    def cue_text(self, tree: Tree) -> str:
        return next((token.value for token in self.cue_tokens(tree)), "")

    def segments(self, tree: Tree, base: Work, timed: bool) -> tuple[Segment, ...]:
        segments = []
        for child in tree.children:
            work = next((self.work(c, base, timed) for c in child.children if isinstance(c, Tree)), base)
            segments.append(Segment(self.distance(child.children[0]), self.defaults(work), self.cue_text(child), self.span(child)))
        return tuple(segments)

    def part(self, tree: Tree, base: Work, timed: bool) -> tuple[Segment, ...]:
        if tree.data == "part":
            work = self.defaults(self.work(tree.children[0], base, timed))
            return (Segment(None, work, self.cue_text(tree), self.span(tree)),)
        if timed:
            self.wrong(tree, "a timed repeat is one stretch, it has no segments", "as in 6 x 0:30 odd kick / even scull")
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
                self.wrong(spans[order[-1]][2], f"there are {repeats} repeats, this goes to {following - 1}", f"the ranges cover repeats 1-{repeats}, each once")
        return [parts[i] for i in order]

    def work(self, tree: Tree, base: Work, timed: bool) -> Work:
        """The work written in `tree`, the rest from `base`; None where neither says."""
        activity = stroke = effort = None
        name: list[str] = []
        for token in tree.children:
            if token.type == "NAME":
                name.append(token.text)
            elif token.type == "ACTIVITY":
                if activity is not None and (activity in (Activity.DRILL, Activity.SCULL) or timed and activity is Activity.KICK):
                    name.append(token.text)
                elif activity is not None:
                    self.wrong(token, f"one stretch has one activity, this is {activity} and {token.value}",
                               "write two segments, as in as 25 kick / 25 swim; a drill's name follows the word drill")
                else:
                    activity = token.value
            elif token.type == "STROKE":
                if stroke is not None:
                    self.wrong(token, f"one stretch has one stroke, this is {stroke} and {token.value}", "write two segments, as in as 25 fly / 25 free")
                stroke = token.value
            else:
                if effort is not None:
                    self.wrong(token, f"one stretch has one effort, this is {effort} and {token.value}", "write two segments, as in as 25 fast / 25 easy")
                effort = token.value
        return Work(
            activity or base.activity, stroke or base.stroke, effort or base.effort,
            " ".join(name) if activity else base.name,
        )

    @staticmethod
    def defaults(work: Work) -> Work:
        activity = work.activity or Activity.SWIM
        stroke = work.stroke or (Stroke.FREE if activity is Activity.SWIM else None)
        return Work(activity, stroke, work.effort, work.name)

    # ---- rules that need the whole line

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
                works = f"{below} and {above} work" if below else f"{above} works"
                segments = " + ".join(str(s.distance) for s in part.segments)
                self.wrong(token, f"{distance} cannot be filled with {segments}", f"the nearest distances that work: {works}".replace(" works", "").replace(" work", ""))

    def check_then(self, line: SetLine, tree: Tree) -> None:
        """`on 1:40 then 1:35` splits the repeats of every lane evenly."""
        if line.interval is None or all(len(entry) == 1 for entry in line.interval.entries):
            return
        on = next(c for c in tree.children if isinstance(c, Tree) and c.data == "on")
        if isinstance(line.count, Flexible):
            self.wrong(on, "intervals that follow one another need a count that is fixed", "write one interval, or one count")
            return
        for count, entry in pairs_by_lane(ByLane((len(line.ladder),)) if line.ladder else line.count, line.interval):
            if count % len(entry):
                self.wrong(on, f"{count} repeats do not split evenly over {len(entry)} intervals",
                           f"{count - count % len(entry) or len(entry)} or {count - count % len(entry) + len(entry)} would")
                return


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


def pairs_by_lane(left: ByLane, right: ByLane) -> list[tuple]:
    """The pairs of entries that one lane can have of two values by lane."""
    if left.labels is None and right.labels is None:
        lanes = range(max(len(left.entries), len(right.entries)))
        return [(left.for_lane(lane, None), right.for_lane(lane, None)) for lane in lanes]
    if left.labels and right.labels:
        return [(left.for_lane(0, g), right.for_lane(0, g)) for g in left.labels if g in right.labels]
    return [(a, b) for a in left.entries for b in right.entries]


class SectionMeaning(LineMeaning):
    """What the details after a section's name mean."""

    def section(self, section: Section, tree: Tree) -> Section:
        values: dict[str, object] = {}
        seen: dict[str, Tree | Token] = {}
        cues = []
        for node in tree.children:
            kind = node.type if isinstance(node, Token) else node.data
            if kind == "CUE":
                cues.append(node)
                continue
            kind = {"IF_TIME": "rounds", "section_rounds": "rounds", "EFFORT": "effort"}.get(kind, kind)
            if kind in seen:
                self.wrong(node, "a section has one effort" if kind == "effort" else "this stands here twice", "one of them is enough")
                continue
            for one, other in self.EXCLUDING:
                if kind in (one, other) and (one if kind == other else other) in seen:
                    self.wrong(node, *self.EXCLUDING[one, other])
            seen[kind] = node
            if isinstance(node, Token):
                values.update({"rounds": Flexible(0, 1)} if node.type == "IF_TIME" else {"run_on": True} if node.type == "RUN_ON" else {"effort": node.value})
            elif kind == "rounds":
                counts = next(c for c in node.children if isinstance(c, Tree))
                values["rounds"] = self.flexible(counts) if counts.data == "flexible" else self.counts(counts)
            else:
                token = node.children[1]
                try:
                    values[f"{node.data}_ms"] = long_time(token.text, token.start)
                except Mistake as mistake:
                    self.mistakes.append(mistake)
        if len(cues) > 1:
            self.wrong(cues[1], "a section has one cue", "put both thoughts into one")
        return replace(section, cue=cues[0].value if cues else "", **values)

    EXCLUDING = {
        ("for", "rounds"): ("“for” goes round until its time is over, it has no count of rounds", "keep one of them"),
        ("at_most", "rounds"): ("“at most” goes round once, it has no count of rounds", "keep one of them"),
        ("for", "at_most"): ("“for” and “at most” exclude each other", "keep one of them"),
        ("for", "RUN_ON"): ("a section that says “for” ends for all lanes together, it cannot run on", "leave run on out, or say at most"),
    }
