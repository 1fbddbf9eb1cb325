"""Plans, squads, lists of swimmers and test swims with changes made by chance, through every command that reads them.

A case is a seed: the same seed is the same mutant. Most plans stay plans, longer and with more to choose than anybody
would write. `ended` runs one command line in this process and returns its exit code; an exception that
the command should have told goes up to the caller. Where a session runs, a `Deck` has its clock and its keys.
"""

from __future__ import annotations

import contextlib
import io
import random
import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from unittest.mock import patch

from pacer.cli.commands import main
from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable
from pacer.session import timesource
from pacer.squad.files.squadreader import read_squad

ROOT = Path(__file__).parents[1]
SWIMMERS = """name,base,400,200
Ada,1:22,5:40,2:41
Ben,1:35,,
Cem,,6:20,3:01
Dot,1:48,,
Eli,1:29,6:02,2:50
"""
WORDS = re.compile(r"\s+|[\w'-]+|.", re.DOTALL)
NUMBER = re.compile(r"\d+(?::\d\d)?")
NUMBERS = (
    "0",
    "1",
    "2",
    "5",
    "25",
    "33",
    "50",
    "75",
    "100",
    "400",
    "1000",
    "9999",
    "0:01",
    "0:05",
    "1:00",
    "1:30",
    "4:00",
    "10:00",
    "99:00",
)
COUNTS = ("0 to 3", "1 to 3", "1 to 8", "1 to 10", "0 to 40", "2 to 100", "1 to 999", "3 / 2 / 1")
DETAILS = (
    ", run on", ", if time", ", at most 10 min", ", for 15 min", ", for 60 min", ", 1 to 8 rounds", ", 0 to 40 rounds",
    ", 1 to 5 rounds, run on",
    ", rounds 3 / 2 / 1", ", rest 0:01", ", rest 0:05", ", on 1:30", ", on base+0:10", ", apart 0:01", ", hold 1:10",
    ", descend 1-4", ", with fins",
    ', "long"', "", " free", " kick", " by 25",
)  # fmt: skip
HEADS = (
    "booking: 90 min", "booking: 3:00:00", "booking: 23:00:00", "spare: 5:00", "clock: 0:01", "clock: 0:07",
    "starts: 0:01", "starts: 1:00",
    "changeover: 0:00", "changeover: 0:20", "pool: 50 m", "pool: 25 yd", "pool: 33 1/3 m", "pool: 20 m", "focus: é",
)  # fmt: skip
ROWS = (
    "  1 to 8 x 25 free, rest 0:01", "  2 to 20 x 50 choice, rest 0:10", "  0 to 6 x 100 back on 1:50 / 2:00 / 2:20",
    "  rest 1:00",
    "  100 easy", "  12 x 0:30 kick vertical, rest 0:15", "  50 - 100 - 150 free, rest 0:15",
    "  3 x (2 x 50 + 25 easy)", "  A: 4 x 100", "Extra, if time",
    "More, 1 to 10 rounds, run on", "Pull, 0 to 4 rounds", "Kick, for 20 min", "Skills, at most 20 min",
    "  3 rounds\n    1 to 4 x 50 free, rest 0:05",
)  # fmt: skip
PIECES = (
    "x", "×", "/", "-", ",", "(", ")", "+", '"', "#", ":", ".", "@", "'", "\t", "\n", "[", "]", "=", "[[lane]]", "0",
    "-1", "75", "99999", "1:00", "1.30",
    "on", "rest", "hold", "by", "as", "odd", "even", "then", "to", "rounds", "run on", "for", "é", "４", "\u00a0",
    "\x00", "☺", "9" * 30, "1e9",
)  # fmt: skip
LANES = (
    '[[lane]]\nbase = "1:25"\nswimmers = 6\n', '[[lane]]\nbase = "2:10"\nspacing = "0:10"\n',
    '[[lane]]\nbase = "0:59"\ngroup = "A"\n',
    '[[lane]]\nbase = "1:40"\nrounds = 2\n', '[[lane]]\nbase = "1:40"\nswimmers = 80\n', '[[lane]]\nbase = "9:59"\n',
)  # fmt: skip
COMMANDS: tuple[tuple[str, ...], ...] = (
    ("check",), ("check", "--json"), ("tidy",), ("tidy", "--json"), ("tidy", "--pool", "50 m"),
    ("tidy", "--pool", "25 yd", "--json"), ("timeline",),
    ("timeline", "--json"), ("rounds",), ("rounds", "--json"), ("suggest",), ("suggest", "--json"),
    ("suggest", "--rest", "0:15"), ("suggest", "--ratio", "1:6"),
    ("suggest", "--every", "2", "--json"), ("tidy", "--write"), ("lanes",), ("lanes", "--json"), ("pace",),
    ("pace", "--json"),
    ("run", "--text", "--new"), ("resume",), ("log",), ("log", "--json"),
)  # fmt: skip
KEYS = ("", "", "", " ", "n", "p", "l", "s", "x", "t", "u", "1", "2", "3", "a", "?", "é")


def corpus() -> tuple[list[str], list[str]]:
    """The plans and the squads to begin with: the demos, and those of the golden files."""
    plans = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "assets/plans").glob("*.txt"))]
    squads = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "assets/squads").glob("*.toml"))]
    for path in sorted((ROOT / "tests/cases").glob("*.txt")):
        parts = re.split(r"^---[ -]*(\w.*?)[ -]*\n", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
        named = dict(zip(parts[1::2], parts[2::2]))
        plans.append(named["plan"])
        if "squad" in named:
            squads.append(named["squad"])
    return plans, squads


def mutant_plan(text: str, rng: random.Random) -> str:
    """A plan with one to eight changes; most leave it a plan."""
    if "booking" not in text and rng.random() < 0.7:
        text = f"booking: {rng.choice((30, 60, 90, 180))} min\n" + text
    for _ in range(rng.choice((1, 1, 2, 3, 5, 8))):
        rows = text.split("\n")
        at, kind = rng.randrange(len(rows)), rng.choice((0, 0, 0, 1, 1, 2, 2, 3, 3, 3, 4, 5, 5, 5, 6, 7))
        if kind == 0:
            rows[at] = re.sub(r"\d+(?= ?[x×])", lambda _: rng.choice(COUNTS), rows[at])
        elif kind == 1:
            rows[at] += rng.choice(DETAILS)
        elif kind == 2:
            rows.insert(0, rng.choice(HEADS))
        elif kind == 3:
            rows.insert(at + 1, rng.choice(ROWS))
        elif kind == 4:
            del rows[at]
        elif kind == 5:
            block = rows[at : at + rng.randint(1, 6)]
            rows[at:at] = block * rng.randint(1, 4)
        elif kind == 6:
            rows[at] = NUMBER.sub(lambda found: rng.choice(NUMBERS) if rng.random() < 0.5 else found[0], rows[at])
        else:
            rows[at] = scribbled(rows[at], rng)
        changed = "\n".join(rows)[:60_000]
        if rng.random() < 0.1 or _is_read(read_plan, changed):
            text = changed
    return text


def mutant_squad(text: str, rng: random.Random) -> str:
    """A squad, or a list of swimmers, with none to three changes."""
    for _ in range(rng.choice((0, 0, 1, 1, 2, 3))):
        before = text
        kind = rng.choice((0, 0, 0, 1, 2, 3))
        if kind == 0:
            text += "\n" + rng.choice(LANES) * rng.randint(1, 4)
        elif kind == 1:
            text = NUMBER.sub(lambda found: rng.choice(NUMBERS) if rng.random() < 0.15 else found[0], text)
        elif kind == 2:
            text = scribbled(text, rng)
        else:
            rows = text.split("\n")
            del rows[rng.randrange(len(rows))]
            text = "\n".join(rows)
        if rng.random() < 0.8 and not _is_read(read_squad, text):
            text = before
    return text


def _is_read(read: Callable[[str], object], text: str) -> bool:
    """Whether that is still a plan, or a squad: what is refused at once does not get far."""
    try:
        read(text)
    except Unreadable:
        return False
    return True


def scribbled(text: str, rng: random.Random) -> str:
    """The text with a word or sign skipped, put in, replaced or moved."""
    parts: list[str] = rng.choice((list, WORDS.findall))(text)
    if not parts:
        return rng.choice(PIECES)
    one, other, kind = rng.randrange(len(parts)), rng.randrange(len(parts)), rng.randrange(4)
    if kind == 0:
        del parts[one]
    elif kind == 1:
        parts.insert(one, rng.choice(PIECES))
    elif kind == 2:
        parts[one] = rng.choice(PIECES)
    else:
        parts[one], parts[other] = parts[other], parts[one]
    return "".join(parts)


class Mutant:
    """Files of one case in `folder`, and the command lines that read them."""

    def __init__(self, seed: int, folder: Path, plans: Sequence[str], squads: Sequence[str]):
        rng = random.Random(seed)
        self.plan, self.squad, self.swimmers = (
            folder / "plan.txt",
            folder / "squad.toml",
            folder / rng.choice(("swimmers.csv", "swimmers.toml")),
        )
        self.plan.write_bytes(mutant_plan(rng.choice(plans), rng).encode("utf-8", "surrogatepass"))
        self.squad.write_bytes(mutant_squad(rng.choice(squads), rng).encode("utf-8", "surrogatepass"))
        listed = SWIMMERS if self.swimmers.suffix == ".csv" else rng.choice(squads).replace("[[lane]]", "[[swimmer]]")
        self.swimmers.write_bytes(mutant_squad(listed, rng).encode("utf-8", "surrogatepass"))
        self.swims = [
            scribbled(swim, rng)
            for swim in rng.sample(
                ("200=2:40", "400=5:40", "800=11:50", "30 min=2400 m", "100=1:12"), rng.randint(1, 3)
            )
        ]
        self.with_squad, self.lanes = rng.random() < 0.8, str(rng.randint(-1, 12))

    def lines(self) -> Iterator[list[str]]:
        """Every command with this mutant."""
        squad = ["--squad", str(self.squad)] if self.with_squad else []
        for name, *more in COMMANDS:
            if name == "lanes":
                yield [name, str(self.swimmers), f"--lanes={self.lanes}", *more]
            elif name == "pace":
                yield [name, *more, "--", *self.swims]
            elif name in ("log", "resume"):
                yield [name, *more]
            else:
                yield [name, str(self.plan), *squad, *more]


class Deck:
    """The clock and the keys of a session in text.

    Time moves only while it waits for a key, mostly by less than a second, now and then by up to an hour, as when the
    process was stopped. After some keys `run` loses its terminal, and `resume` is told to end.
    """

    def __init__(self, seed: int):
        self._rng, self.ms, self._keys, self._last = random.Random(f"deck {seed}"), 100_000_000, 0, ""

    def takes(self, command: str) -> None:
        """Another command begins."""
        self._keys, self._last = self._rng.randint(1, 16), "q" if command == "resume" else ""

    def clock_gettime_ns(self, _clock: int) -> int:
        """With the next two what the app's clock asks of the module `time`."""
        return self.ms * 1_000_000

    def monotonic_ns(self) -> int:
        return self.ms * 1_000_000

    def time_ns(self) -> int:
        return (1_772_000_000_000 + self.ms) * 1_000_000

    @contextlib.contextmanager
    def keys(self) -> Iterator[Callable[[float], str]]:
        """In place of the terminal's."""
        yield self._key

    def _key(self, seconds: float) -> str:
        self.ms += self._rng.choice(
            (
                round(seconds * 1000),
                round(seconds * 1000),
                self._rng.randrange(1_000),
                self._rng.randrange(3_600_000) // self._rng.choice((1, 10, 60)),
            )
        )
        self._keys -= 1
        if self._keys:
            return self._rng.choice(KEYS)
        if not self._last:
            raise KeyboardInterrupt
        return self._last


def ended(line: Sequence[str], deck: Deck) -> int:
    """The exit code of one command line; what it prints is thrown away. Raises what the command should have told."""
    deck.takes(line[0])
    with (
        contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()),
        patch("sys.stdin", io.StringIO()),
        patch.object(timesource, "time", deck), patch("pacer.cli.textform._terminal_keys", deck.keys),
    ):  # fmt: skip
        try:
            return main(list(line))
        except SystemExit as left:  # the command line itself was refused
            return int(left.code or 0)
