"""Pages spoiled in 20,000 ways: each is read as a plan, or the app says what is wrong with it."""

from __future__ import annotations

import random
import re

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_plan

HEADER = (
    "title: Long-axis rotation 3", "pool: 25 m", "booking: 60 min", "focus: backstroke rotation",
    "revisits: Long-axis rotation 2",
    "spare: 2:30", "changeover: 0:45", "starts: 1:00", "clock: 0:10", "# lanes 4 to 6",
)  # fmt: skip
SECTIONS = (
    "Warm-up, easy, at most 10 min", "Skill set", "Main set, 1 to 3 rounds", "Pull, rounds 3 / 2 / 1, fast",
    "Kick, for 15 min",
    "Extra, if time, run on", 'Swim-down, easy "long"', "", "Main set, rounds A 3 / B 2",
)  # fmt: skip
LINES = (
    "  300 choice", "  4 x 50 as 25 kick / 25 back, rest 0:15",
    '  6 x 50 as 25 scull "hips at the surface" / 25 back easy, rest 0:20, with snorkel',
    '  "The head never moves; the ceiling line does not either."',
    '  4 x 200 as 50 drill six-kick switch "six kicks, then roll" / 50 back "same roll", on 4:00 / 4:20 / 4:45',
    "  rest 1:00", "  2 x 100 back build, rate 32-40, on base+0:25", "  2 x 100 choice, rest 0:10",
    "  4 to 8 x 100 free on 1:40 per 100", "  10 / 9 / 8 x 100 on A 4:00 / B 4:20 / D 4:45",
    "  8 x 100 / 75 / 50 breast ez",
    "  50 - 100 - 150 - 100 - 50 free, rest 0:15", "  6x0:30 kick vertical, rest 30",
    "  8 x 50 odd drill kick on side / even (25 fl / 25 fr)",
    "  16 x 50 in turn 3 easy / 1 fast", "  12 x 50 repeats 1-4 kick / 5-8 drill / 9-12 free",
    "  9 x 100 on 1:40 then 1:35 then 1:30",
    "  4 x (3 x 100 on 1:30 + 100 easy on 2:30)", "  A, B: 4 x 100 IM order, apart 0:10, descend 1-4",
    "  200 drill / swim by 50 hold 1'22\"",
    "  3 rounds\n    4 x 25 sprint “go”\n    2 rounds\n      100  # ask them",
    "\trounds 3 / 2\n\t\t50 with fins and ankle band", "",
)  # fmt: skip
PIECES = (
    "x", "×", "/", "-", "–", ",", "(", ")", "+", '"', "“", "”", "#", ":", ".", "@", "'", "  ", "\t", "\n", "0", "1",
    "75", "99999", "1:00", ":20", "1.30", '15"',
    "on", "rest", "hold", "rate", "by", "with", "apart", "descend", "as", "odd", "even", "in turn", "repeats", "then",
    "per 100", "base+", "to", "and", "rounds",
    "A", "D", "A:", "drill", "kick", "fly", "easy", "IM order", "fins", "if time", "for", "at most", "run on", "é",
    "４", "\u00a0", "\u200b", "\x00", "\ud800", "☺",
)  # fmt: skip
WORDS = re.compile(r"\s+|[\w'-]+|.", re.DOTALL)


def a_page(rng: random.Random) -> str:
    rows = rng.sample(HEADER, rng.randrange(3))
    if rng.random() < 0.95:
        rows.append("pool: 25 m")
    for _ in range(rng.randint(1, 2)):
        rows += [rng.choice(SECTIONS), *(rng.choice(LINES) for _ in range(rng.randint(1, 3)))]
    return "\n".join(rows)


def spoiled(page: str, rng: random.Random) -> str:
    """The page with one to four changes to its characters, words or lines."""
    for _ in range(rng.choice((1, 1, 1, 2, 2, 4))):
        parts: list[str] = rng.choice((list, WORDS.findall, lambda text: text.splitlines(keepends=True)))(page)
        if not parts:
            return page
        one, other = rng.randrange(len(parts)), rng.randrange(len(parts))
        change = rng.randrange(6)
        if change == 0:
            del parts[one]
        elif change == 1:
            parts.insert(one, rng.choice(PIECES))
        elif change == 2:
            parts[one] = rng.choice(PIECES)
        elif change == 3:
            parts.insert(other, parts[one])
        elif change == 4:
            parts[one], parts[other] = parts[other], parts[one]
        else:
            parts[one] = parts[one].swapcase()
        page = "".join(parts)
    return page


@pytest.mark.parametrize("seed", range(20))
def test_a_spoiled_page_is_a_plan_or_is_told_what_is_wrong(seed):
    rng = random.Random(seed)
    readable = 0
    for _ in range(1000):
        page = spoiled(a_page(rng), rng)
        try:
            plan = read_plan(page)
        except Unreadable as unreadable:
            assert unreadable.problems, page
            lines = page.replace("\r\n", "\n").replace("\r", "\n").split("\n")
            for problem in unreadable.problems:
                assert problem.message and problem.hint, page
                assert 1 <= problem.line <= len(lines), page
                assert 1 <= problem.column < problem.end_column, page
                assert problem.column <= len(lines[problem.line - 1]) + 1, page
            continue
        except Exception as error:
            raise AssertionError(f"{error!r} from {page!r}") from error
        readable += 1
        if readable % 4 == 0:
            written = write_plan(plan)
            assert read_plan(written) == plan, page
            assert write_plan(read_plan(written)) == written, page
    assert 100 < readable < 900
