"""Reading squads: what they mean, and the messages for those that can't be read."""

import random
import time
from fractions import Fraction

import pytest

from pacer.plan.model import GEAR, Activity, Effort, Stroke, Unit
from pacer.plan.problem import Unreadable
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad, squad_from_bytes
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from tests.reference.random_squads import random_squad_toml
from tests.squad.files.bad_squads import BAD_SQUADS, LANE

THURSDAY = """\
name = "Thursday squad"
spacing = "0:06"
gear = ["Stretch band"]

[[lane]]
number = 4
group = "A"
base = "1:18"
swimmers = 5

[[lane]]
number = 0
group = "B"
base = "1:42"
spacing = "0:10"
rounds = 2

  [[lane.swimmer]]
  name = "Kit"
  base = "1:40.5 /100 yd"
  [[lane.swimmer]]

[factors]
kick = 1.5
"Drill  six-kick switch" = 1.6
"fins kick" = 0.70
"stretch band" = 1.2
"""


def test_what_a_squad_means():
    first = Pace(78_000)
    second = Pace(102_000)
    assert read_squad(THURSDAY) == Squad(
        name="Thursday squad",
        lanes=(
            Lane(4, first, (Swimmer(first),) * 5, 6_000, "A"),
            Lane(0, second, (Swimmer(Pace(100_500, Unit.YARD), "Kit"), Swimmer(second)), 10_000, "B", 2),
        ),
        factors={
            "kick": Fraction(3, 2),
            "drill six-kick switch": Fraction(8, 5),
            "fins kick": Fraction(7, 10),
            "stretch band": Fraction(6, 5),
        },
        gear=("stretch band",),
    )


def test_numbers_are_exact():
    squad = read_squad(LANE + "[lane.factors]\nkick = 1.1\n")
    assert squad.lanes[0].factors["kick"] == Fraction(11, 10)  # a float would give another fraction


def test_lanes_are_numbered_in_the_order_written():
    assert [lane.number for lane in read_squad(LANE * 3).lanes] == [1, 2, 3]


@pytest.mark.parametrize(
    ("bases", "slowest"),
    [
        (["1:20", "1:31", "1:30"], Pace(91_000)),
        (["1:20 /100 m", "1:18 /100 yd"], Pace(78_000, Unit.YARD)),  # 1:18 for 91.44 m is 1:25.3 for 100 m
        (["1:20 /100 m", "1:13 /100 yd"], Pace(80_000, Unit.METRE)),
    ],
)
def test_a_lanes_base_is_its_slowest_swimmers(bases, slowest):
    rows = ["[[lane]]"] + [f'[[lane.swimmer]]\nbase = "{base}"' for base in bases]
    assert read_squad("\n".join(rows)).lanes[0].base == slowest


def test_a_lanes_own_base_comes_before_its_slowest_swimmers():
    lane = read_squad(LANE + '[[lane.swimmer]]\nbase = "2:00"\n').lanes[0]
    assert (lane.base, lane.swimmers[0].base) == (Pace(80_000), Pace(120_000))


@pytest.mark.parametrize(
    ("head", "tests", "pace"),
    [
        ("", '{ "200" = "2:40", "400" = "5:40" }', Pace(90_000)),
        ("", '{ 200 = "2:40", 400 = "5:40" }', Pace(90_000)),
        ("", '{ "400 yd" = "5:40", "200 yd" = "2:40" }', Pace(90_000, Unit.YARD)),
        ("", '{ "30 min" = "2400 m" }', Pace(75_000, Unit.METRE)),
        ("", '{ "30 min" = 2450 }', Pace(Fraction(3_600_000, 49))),
        ("", '{ "3000" = "36:00" }', Pace(72_000)),
        # one race, time = a × distance^b: 80 s × 5.625^(1 − 1/b), worked out in floats
        ("", '{ "400" = "5:20" }', Pace(round(80_000 * 5.625 ** (1 - 1 / 1.06)))),
        ("endurance = 1.03\n", '{ "400" = "5:20" }', Pace(round(80_000 * 5.625 ** (1 - 1 / 1.03)))),
    ],
)
def test_a_base_from_test_swims(head, tests, pace):
    assert read_squad(f"{head}[[lane]]\ntests = {tests}\n").lanes[0].base == pace
    swimmer = f"{head}[[lane]]\n[[lane.swimmer]]\ntests = {tests}\n"
    assert read_squad(swimmer).lanes[0].swimmers == (Swimmer(pace),)


@pytest.mark.parametrize("label", [(), ("B", "A")])
def test_the_assumed_squad(label):
    squad = default_squad(label)
    base = Pace(100_000)
    assert squad == Squad((Lane(1, base, (Swimmer(base),), group=label[0] if label else None),), assumed=True)
    assert not read_squad(LANE).assumed


@pytest.mark.parametrize(
    "data",
    [THURSDAY.encode("utf-8-sig"), THURSDAY.replace("\n", "\r\n").encode(), "\ufeff".encode() + THURSDAY.encode()],
)
def test_byte_order_marks_and_line_ends_make_no_difference(data):
    assert squad_from_bytes(data) == read_squad(THURSDAY)
    assert read_squad(data.decode()) == read_squad(THURSDAY)


@pytest.mark.parametrize(
    ("data", "line", "column", "message"),
    [
        (b"", 1, 1, "has no lane"),
        (b"\x89PNG\r\n\x1a\n\0\0", 1, 1, "picture (PNG), not a squad"),
        (THURSDAY.encode("utf-16"), 1, 1, "UTF-16"),
        (b'\xef\xbb\xbf[[lane]]\r\nname = "Zo\xeb"\n', 2, 11, "not UTF-8"),
        (b"#" * 70_000, 1, 1, "too long"),
    ],
)
def test_files_that_are_not_squads(data, line, column, message):
    with pytest.raises(Unreadable) as caught:
        squad_from_bytes(data)
    problem = caught.value.problems[0]
    assert (problem.line, problem.column) == (line, column)
    assert message in problem.message


@pytest.mark.parametrize(("text", "complaints"), [row[1:] for row in BAD_SQUADS], ids=[row[0] for row in BAD_SQUADS])
def test_problems_and_their_places(text, complaints):
    with pytest.raises(Unreadable) as caught:
        read_squad(text)
    problems = caught.value.problems
    assert len(problems) == len(complaints), caught.value.text("squad.toml")
    for problem, complaint in zip(problems, complaints):
        place, _, words = complaint.partition(" ")
        assert f"{problem.line}:{problem.column}" == place, caught.value.text("squad.toml")
        assert words in f"{problem.message} | {problem.hint}"
        assert problem.end_column >= problem.column
        assert problem.source == (text.split("\n")[problem.line - 1] if problem.source else "")


def test_all_problems_are_reported_at_once():
    with pytest.raises(Unreadable) as caught:
        read_squad(
            'spacing = "5"\n[[lane]]\nbase = 1:18\nnumber = 200\n[[lane]]\nbase = "1:80"\n[factors]\nkik = 1\n'
            "fins = 9\n"
        )
    assert [problem.line for problem in caught.value.problems] == [1, 3, 4, 6, 8, 9]


@pytest.mark.parametrize(
    "word", ["rest", "on", "Base", "swim", "BACK", "easy", "im", "fins", "x", "X", "d", "ez", "A-", "a" * 21]
)
def test_a_word_of_the_notation_cannot_name_a_group(word):
    with pytest.raises(Unreadable, match="1 problem"):
        read_squad(LANE + f'group = "{word}"\n')


@pytest.mark.parametrize("word", ["A", "D", "F", "juniors", "B2", "élan", "club-a", "a" * 20])
def test_any_other_word_may_name_a_group(word):
    assert read_squad(LANE + f'group = "{word}"\n').lanes[0].group == word


@pytest.mark.parametrize(
    "word", [*Activity, *(s for s in Stroke if s != "IM order"), *Effort, *GEAR, "fins kick", "scull front", "drill IM"]
)
def test_each_of_the_closed_words_has_a_factor(word):
    assert read_squad(LANE + f'[factors]\n"{word}" = 0.2\n').factors == {word: Fraction(1, 5)}


PIECES = (
    "[[lane]]", "[[lane.swimmer]]", "[lane]", "[factors]", "[lane.factors]", "[lane.tests]", 'base = "1:18"',
    "base = 1:18", "tests = { 200 = \"2:40\" }",
    '"', "'", '"""', "=", "[", "]", "{", "}", ".", "#", "\n", "\r", "\t", "\\", "\\u0041", "\0", "\x7f", "é", "\u2028",
    "𝄞", "\ue000", "\ufeff", "1e999999",
    "1e99999999999999999999", "inf", "nan", "-0", "0x1F", "1979-05-27", "07:32:00", "true", "1:18 /100 yd",
    "999999999999", "rounds", "swimmers = 9", "number = 1", "kick = 1.5", "/", ",", " ",
)  # fmt: skip


def mutated(rng: random.Random, text: str) -> str:
    """The text with a few cuts, repeats, swaps and inserted pieces."""
    for _ in range(rng.choice((1, 1, 1, 2, 6))):
        start = rng.randrange(len(text) + 1)
        end = min(len(text), start + rng.choice((0, 1, 1, 2, 5, 30)))
        lines = text.split("\n")
        match rng.randrange(6):
            case 0:
                text = text[:start] + text[end:]
            case 1:
                text = text[:start] + text[start:end] * 2 + text[end:]
            case 2:
                rng.shuffle(lines)
                text = "\n".join(lines)
            case 3:
                del lines[rng.randrange(len(lines))]
                text = "\n".join(lines)
            case _:
                text = text[:start] + rng.choice(PIECES) + text[end:]
    return text


def test_mutated_squads_are_read_or_refused():
    """5,000 of them: each gives a squad, or problems whose places exist, in less than a second."""
    rng = random.Random(20_261_125)
    good = [THURSDAY, *(random_squad_toml(random.Random(seed)) for seed in range(50))]
    bad = [row[1] for row in BAD_SQUADS if len(row[1]) < 2_000]
    read = 0
    for _ in range(5_000):
        text = mutated(rng, rng.choice(good if rng.random() < 0.8 else bad))
        start = time.perf_counter()
        try:
            squad = read_squad(text)
        except Unreadable as wrong:
            lines = text.removeprefix("\ufeff").replace("\r\n", "\n").split("\n")
            assert wrong.problems
            for problem in wrong.problems:
                assert problem.message
                assert 1 <= problem.line <= len(lines), text
                assert 1 <= problem.column <= problem.end_column, text
                assert problem.column <= len(lines[problem.line - 1]) + 1, text
                assert "\ue000" not in problem.message or "\ue000" in text
            wrong.text("squad.toml")
        else:
            read += 1
            assert squad.lanes
            assert all(lane.swimmers for lane in squad.lanes)
            if read % 10 == 0:
                written = write_squad(squad)
                assert write_squad(read_squad(written)) == written
        assert time.perf_counter() - start < 1, text
    assert 500 < read < 4_500  # both outcomes occur
