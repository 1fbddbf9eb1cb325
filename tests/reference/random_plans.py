"""Random plans as text: every part of the notation, in sessions small enough to simulate quickly.

`random_plan_text(rng)` always gives a plan that can be read. With `labelled=True` its entries by
lane may have the labels A, B and C: then every lane of the squad must be in a group.
"""

from __future__ import annotations

import random
import re
from math import gcd

GROUPS = ("A", "B", "C")
POOLS = (("25 m", 25), ("50 m", 50), ("25 yd", 25), ("33 1/3 m", 100), ("20 yd", 20), ("12.5 m", 25), ("30 m", 30))
DRILLS = ("six-kick switch", "catch-up", "fist", "single arm", "kick on side", "3-3-3")
SCULLS = ("front", "head first", "feet first")
STROKES = ("free", "back", "breast", "fly", "IM", "choice", "IM order")
SHORT = {"free": ("fr", "fc"), "back": ("bk",), "breast": ("br",), "fly": ("fl",), "choice": ("ch",),
         "kick": ("k",), "pull": ("p",), "drill": ("d",), "easy": ("ez",)}  # fmt: skip
EFFORTS = ("easy", "steady", "threshold", "fast", "sprint", "build")
GEAR = ("fins", "paddles", "snorkel", "buoy", "board", "ankle band", "parachute")
CUES = (
    "hips at the surface",
    "six kicks, then roll",
    "same roll # both sides",
    "long / tall; still head",
    "breathe every 3",
)
NAMES = ("Warm-up", "Skill set", "Main set", "Kick set", "Swim-down", "Turns and finishes")


#: A line's own work, and a part that only repeats it: the notation refuses work that no part swims.
LEFT_OPEN = {
    "back": "drill",
    "easy": "kick",
    "breast fast": "swim",
    "kick": "free",
    "pull choice": "steady",
    "free steady": "swim",
    "fly": "fast",
}


def random_plan_text(rng: random.Random, *, size: int = 3, labelled: bool = False) -> str:
    """A plan of at most `size` + 1 sections with at most `size` lines, breaks or groups each."""
    return _Page(rng, size, labelled).text()


class _Page:
    def __init__(self, rng: random.Random, size: int, labelled: bool):
        self.rng = rng
        self.size = size
        self.labelled = labelled
        self.pool, self.length = rng.choice(POOLS)
        self.step = rng.choice(("  ", "  ", "    ", "\t"))

    # -- randomness ------------------------------------------------------------------------

    def one_in(self, n: int) -> bool:
        return self.rng.randrange(n) == 0

    def number(self, least: int, most: int) -> int:
        return self.rng.randint(least, most)

    # -- the page --------------------------------------------------------------------------

    def text(self) -> str:
        rows = self.header()
        if self.one_in(4):
            rows += ["", *self.items("")]
        for name in self.rng.sample(NAMES, self.number(1, self.size + 1)):
            rows += ["", *self.section(name)]
        rows = [self.marks(row) for row in rows]
        return "\n".join(row + self.comment(row) for row in rows) + "\n"

    def marks(self, row: str) -> str:
        """Seconds written `15"` and `1'30"`, only if no cue on the line could look like their end."""
        if '"' in row or self.one_in(2):
            return row
        return re.sub(r"(\d'\d\d|(?<=(?:rest|part) )\d\d?(?= s\b))( s)?\b", r'\1"', row)

    def comment(self, row: str) -> str:
        if not row and self.one_in(6):
            return "# the clock is at the deep end"
        indented = row[:1] in (" ", "\t")
        remark = "who leads?" if '"' in row else 'ask "who leads?"'
        return f"  # {remark}" if indented and self.one_in(20) else ""

    def header(self) -> list[str]:
        keys = {
            "title": ("Long-axis rotation 3", "Rotation, from the hips"),
            "booking": ("60 min", "1:00:00", "45:00", "1 h"),
            "spare": ("0:00", "2:30", "5 min"),
            "focus": ("backstroke rotation", "balance"),
            "revisits": ("Long-axis rotation 2",),
            "changeover": ("0:00", "0:20", "0:45", "2 min", "1:07.5"),
            "starts": ("1:00", "0:15", "0:45", "0:01"),
            "clock": ("0:01", "0:10", "0:07", "5 s"),
        }
        rows = [f"{key}: {self.rng.choice(values)}" for key, values in keys.items() if self.one_in(3)]
        rows.insert(self.number(0, len(rows)), f"pool: {self.pool}")
        return rows

    def section(self, name: str) -> list[str]:
        details = []
        how_long = self.number(0, 9)
        if how_long == 0:
            details.append(self.rounds())
        elif how_long == 1:
            least = self.number(0, 2)
            details.append(f"{least} to {least + self.number(1, 2)} rounds")
        elif how_long == 2:
            details.append("if time")
        elif how_long == 3:
            details.append("rounds " + self.by_lane(lambda: str(self.number(1, 3)), always=True))
        elif how_long in (4, 5):
            details.append("for " + self.rng.choice(("1 min", "3 min", "300 s", "10:00")))
        elif how_long in (6, 7):
            details.append("at most " + self.rng.choice(("2 min", "4 min", "6 min", "12:00")))
        if how_long not in (4, 5) and self.one_in(4):
            details.append("run on")
        if self.one_in(3):
            details.append(self.rng.choice(EFFORTS))
        self.rng.shuffle(details)
        rows = [", ".join([name, *details])]
        if self.one_in(4):
            rows.append(self.step + self.cue())
        plain = not rows[1:] and self.one_in(4)
        return rows + (["8 x 25 free, rest 0:15"] if plain else self.items(self.step))

    def rounds(self, most: int = 3) -> str:
        count = self.number(1, most)
        return f"{count} round" + ("s" if count > 1 else "")

    def items(self, indent: str, depth: int = 1) -> list[str]:
        """Lines, breaks and groups, one below another, with at least one line."""
        indent = indent or self.step
        rows: list[str] = []
        most = 3 if depth == 1 else 2
        for _ in range(self.number(1, max(1, self.size + 1 - depth))):
            kind = self.number(1, 10)
            only = self.groups_prefix() if self.one_in(7) else ""
            if kind == 1:
                rows.append(f"{indent}{only}rest {self.by_lane(lambda: self.time(self.number(5, 60) * 1000))}")
            elif (kind == 2 or kind == 4 and depth == 2) and depth < 4:
                by_lane = "rounds " + self.by_lane(lambda: str(self.number(1, most)), always=True)
                head = self.rounds(most) if self.one_in(2) else by_lane
                rows.append(f"{indent}{only}{head}")
                rows += self.items(indent + self.step, depth + 1)
            elif kind == 3:
                rows.append(f"{indent}{only}{self.inline_group(2 if self.one_in(3) else 1)}")
            else:
                rows += self.set_line(indent, only)
        rows += self.set_line(indent, "")
        if depth == 1 and self.one_in(8):
            rows.append(f"{indent}rest 1:00")
        return rows

    def inline_group(self, depth: int) -> str:
        members = [self.member() for _ in range(self.number(1, 2))]
        if depth > 1:
            members.append(self.inline_group(depth - 1))
        if self.one_in(3):
            members.append(f"rest {self.time(30_000)}")
        count = self.by_lane(lambda: str(self.number(1, 2)))
        return f"{count} {self.times()} ({' + '.join(members)})"

    def member(self) -> str:
        row = self.set_line("", "", inline=True)
        return row[0]

    # -- one set line ----------------------------------------------------------------------

    def set_line(self, indent: str, only: str, inline: bool = False) -> list[str]:
        kind = self.number(1, 12)
        if kind == 1:
            row, open_end = self.timed(), True
        else:
            row, open_end = self.ladder() if kind == 2 else self.repeats(inline)
        rows = [f"{indent}{only}{row}"]
        if inline:
            return rows
        if self.one_in(6) and not open_end:
            rows[0] += " " + self.cue()
        elif self.one_in(6):
            rows.append(indent + self.rng.choice(("", self.step)) + self.cue())
        return rows

    def timed(self) -> str:
        count = self.number(1, 3)
        time = self.rng.choice(("0:30", ":20", "0:45", "1:00"))
        work = self.rng.choice((
            f"{self.short('kick')} vertical", "scull " + self.rng.choice(SCULLS), "kick",
            "odd kick vertical / even scull", "in turn 1 kick vertical easy / 2 scull fast",
        ))  # fmt: skip
        n = f"{count} {self.times()} " if count > 1 or self.one_in(2) else ""
        return f"{n}{time} {work}{self.details(count, [count], [0], timed=True, loose=False)}"

    def ladder(self) -> tuple[str, bool]:
        entries = [self.distance() for _ in range(self.number(2, 5))]
        rungs = " - ".join(map(str, entries))
        work, open_end, loose = self.work_of_repeats(len(entries), entries)
        details = self.details(len(entries), [len(entries)], entries, loose=loose)
        return f"{rungs}{work}{details}", open_end and not details

    def repeats(self, inline: bool) -> tuple[str, bool]:
        most = self.number(1, 6)
        counts, written = [most], str(most)
        kind = self.number(1, 8)
        if kind == 1 and not inline:
            least = self.number(0 if self.one_in(4) else 1, most)
            most = least + self.number(1, 3)
            counts, written = [], f"{least} to {most}"
        elif kind == 2:
            entries = self.entries(lambda: self.number(1, 6))
            most, counts, written = max(entries), entries, self.joined(list(map(str, entries)))
        distances = [self.distance()]
        if self.one_in(8):
            distances = sorted(self.entries(self.distance), reverse=True)  # fast lanes first
        long = self.joined(list(map(str, distances))) if len(distances) > 1 else str(distances[0])
        alone = written == "1" and self.one_in(2) and distances != [15]  # which would be ambiguous
        alone = alone and not (len(distances) > 2 and 2 * distances[-1] < distances[0])  # a ladder, perhaps
        lead = "" if alone else f"{written}{self.times(spaced=len(distances) > 1)}"
        work, open_end, loose = self.work_of_repeats(most, distances)
        details = self.details(most, counts, distances, loose=loose)
        return f"{lead}{long}{work}{details}", open_end and not details

    def distance(self) -> int:
        length = self.rng.choice((self.length, 2 * self.length, 2 * self.length, 4 * self.length))
        return length if not self.one_in(20) else 15

    def times(self, spaced: bool = True) -> str:
        """The spelling between the numbers of `4 x 100`."""
        if not spaced and self.one_in(4):
            return self.rng.choice(("x", "×", "X"))
        return (
            self.rng.choice(("x", "x", "×", "X"))
            if spaced and self.one_in(2)
            else self.rng.choice((" x ", " × ", " X ", " x "))
        )

    # -- the work --------------------------------------------------------------------------

    def work_of_repeats(self, most: int, distances: list[int]) -> tuple[str, bool, bool]:
        """The text after the distance.

        Also: whether a cue right after it would belong to a part, and whether a detail needs no comma.
        """
        kind = self.number(1, 10)
        if kind <= 4:
            return (f" {self.work()}", False, True) if not self.one_in(8) else ("", False, False)
        lead = ""
        if self.one_in(3):  # the line's own work, the default of its parts
            lead = " " + self.rng.choice(tuple(LEFT_OPEN))
        if kind <= 7:
            return self.segments(lead, distances), True, False
        parts = [self.part(distances) for _ in range(2)]
        if lead:
            parts[self.rng.randrange(2)] = LEFT_OPEN[lead[1:]]
        if kind == 9:
            parts += [self.part(distances)] if self.one_in(2) else []
            return f"{lead} in turn " + " / ".join(f"{self.number(1, 3)} {part}" for part in parts), True, False
        if kind == 8 or most < 2:
            return f"{lead} odd {parts[0]} / even {parts[1]}", True, False
        cut = self.number(1, most - 1)
        first, second = (f"{a}-{b}" if a < b else str(a) for a, b in ((1, cut), (cut + 1, most)))
        return f"{lead} repeats {first} {parts[0]} / {second} {parts[1]}", True, False

    def part(self, distances: list[int]) -> str:
        if self.one_in(3):
            lengths = self.lengths(distances)
            return "(" + " / ".join(f"{long} {self.work()}{self.maybe_cue()}" for long in lengths) + ")"
        return self.work()

    def segments(self, lead: str, distances: list[int]) -> str:
        form = self.number(1, 3)
        if form == 1:
            works = [self.work() + (self.maybe_cue() if place == 0 else "") for place in range(self.number(2, 3))]
            return f" {' / '.join(works)} by {self.equal_length(distances)}"
        works = [(long, self.work()) for long in self.lengths(distances)]
        if lead:
            works[0] = works[0][0], LEFT_OPEN[lead[1:]]
        stretches = " / ".join(f"{long} {work}{self.maybe_cue()}" for long, work in works)
        return f"{lead} ({stretches})" if form == 2 else f"{lead} as {stretches}"

    def lengths(self, distances: list[int]) -> list[int]:
        """Lengths of segments that fill each of `distances` as they cycle."""
        piece = gcd(*distances)
        units = [n for n in (5, 10, 25, 30, 50) if piece % n == 0] or [piece]
        for _ in range(8):
            unit = self.rng.choice(units)
            lengths = [unit * self.number(1, 3) for _ in range(self.number(2, 3))]
            if all(fills(distance, lengths) for distance in distances):
                return lengths
        return [self.equal_length(distances)] * 2

    def equal_length(self, distances: list[int]) -> int:
        piece = gcd(*distances)
        return piece // self.rng.choice([n for n in (1, 2, 3, 4) if piece % n == 0])

    def work(self) -> str:
        words = []
        activity = self.rng.choice(("", "", "", "swim", "kick", "pull", "drill", "drill", "scull"))
        if activity:
            name = ""
            if activity == "drill" and self.one_in(2):
                name = " " + self.rng.choice(DRILLS)
            if activity == "scull" and self.one_in(2):
                name = " " + self.rng.choice(SCULLS)
            words.append(self.short(activity) + name)
        if not activity or self.one_in(2):
            words.append(self.short(self.rng.choice(STROKES)))
        if self.one_in(3):
            words.append(self.short(self.rng.choice(EFFORTS)))
        self.rng.shuffle(words)
        return " ".join(words)

    def short(self, word: str) -> str:
        return self.rng.choice(SHORT[word]) if word in SHORT and self.one_in(6) else word

    def cue(self) -> str:
        return f'"{self.rng.choice(CUES)}"'

    def maybe_cue(self) -> str:
        return f" {self.cue()}" if self.one_in(4) else ""

    # -- details ---------------------------------------------------------------------------

    def details(self, most: int, counts: list[int], distances: list[int], *, timed: bool = False, loose: bool) -> str:
        """`counts` are numbers of repeats that `then` must split evenly; empty if that is impossible."""
        details = []
        kind = self.number(1, 20)
        seconds = max(10, max(distances)) * self.rng.choice((6, 9, 11, 13)) // 10
        if timed:
            seconds += 60
        if kind <= 6:
            details.append("rest " + self.by_lane(lambda: self.rest_time()))
        elif kind <= 10 or timed:
            details.append("on " + self.by_lane(lambda: self.time((seconds + 5 * self.number(0, 9)) * 1000)))
        elif kind <= 12:
            details.append("on " + self.by_lane(lambda: f"base+{self.time(self.number(0, 30) * 1000, plain=True)}"))
        elif kind <= 14:
            details.append(
                "on "
                + self.by_lane(
                    lambda: f"{self.time(self.number(70, 130) * 1000 + self.rng.choice((0, 0, 370)))} per 100"
                )
            )
        elif kind <= 17 and (steps := [n for n in (2, 3) if counts and all(c % n == 0 for c in counts)]):
            n = self.rng.choice(steps)
            details.append(
                "on "
                + self.by_lane(
                    lambda: " then ".join(self.time((seconds + 5 * self.number(0, 9)) * 1000) for _ in range(n))
                )
            )
        if self.one_in(6) and not timed:
            if self.one_in(2):
                details.append(
                    "hold " + self.by_lane(lambda: f"base+{self.time(self.number(0, 12) * 500, plain=True)}")
                )
            else:
                details.append(
                    "hold " + self.by_lane(lambda: self.time(max(10, max(distances)) * self.number(600, 1100)))
                )
        if self.one_in(8) and not timed:
            details.append(self.rng.choice(("rate 32-40", "rate 40-36", "rate 34-34")))
        if self.one_in(10):
            details.append(f"apart {self.time(self.number(1, 20) * 1000)}")
        if self.one_in(6):
            details.append("with " + " and ".join(self.rng.sample(GEAR, self.number(1, 2))))
        if self.one_in(6) and most >= 2 and not timed:
            details.append(f"{self.rng.choice(('descend', 'ascend'))} 1-{self.number(2, max(2, most))}")
        self.rng.shuffle(details)
        text = "".join(f", {detail}" for detail in details)
        return text[1:] if text and loose and self.one_in(3) else text

    def rest_time(self) -> str:
        ms = self.rng.choice((5_000, 10_000, 15_000, 20_000, 45_000, 12_500))
        if ms == 20_000 and self.one_in(2):
            return "20"
        return self.time(ms)

    def time(self, ms: int, plain: bool = False) -> str:
        """`ms` in one of the forms in which coaches write a time."""
        minutes, rest = divmod(ms, 60_000)
        tail = f"{rest // 1000:02d}" + (f".{rest % 1000:03d}".rstrip("0") if rest % 1000 else "")
        way = 0 if plain else self.number(0, 15)
        if way == 1 and not minutes:
            return f":{tail}"
        if way == 2 and not rest % 1000:
            return f"{ms // 1000} s"
        if way == 3 and minutes and not rest % 1000:
            return f"{minutes}'{tail}"
        return f"{minutes}:{tail}"

    # -- by lane ---------------------------------------------------------------------------

    def entries(self, entry) -> list:
        return [entry() for _ in range(len(GROUPS) if self.labelled and self.one_in(2) else self.number(2, 4))]

    def joined(self, entries: list[str]) -> str:
        if self.labelled and len(entries) == len(GROUPS) and self.one_in(2):
            return " / ".join(f"{group} {entry}" for group, entry in zip(self.rng.sample(GROUPS, 3), entries))
        return " / ".join(entries)

    def by_lane(self, entry, always: bool = False) -> str:
        if always or self.one_in(5):
            return self.joined(self.entries(entry))
        return entry()

    def groups_prefix(self) -> str:
        return ", ".join(self.rng.sample(GROUPS, self.number(1, 2))) + ": "


def fills(distance: int, lengths: list[int]) -> bool:
    """Whether segments of `lengths`, cycling in order, fill `distance` exactly."""
    done = place = 0
    while done < distance:
        done += lengths[place % len(lengths)]
        place += 1
    return done == distance
