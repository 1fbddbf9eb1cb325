"""Lists of swimmers as TOML and CSV."""

import random
import time
from decimal import Decimal

import pytest

from pacer.plan.model import Unit
from pacer.plan.problem import Unreadable
from pacer.squad.files.csvcolumns import Column, UnknownColumns, answer_of
from pacer.squad.files.swimmerlist import (
    SWIMMERS,
    SwimmerList,
    swimmers_from_bytes,
    swimmers_from_csv,
    swimmers_from_toml,
)
from pacer.squad.squad import Pace, Swimmer
from pacer.squad.trials.basefromtrials import Method

TOML = """
[[swimmer]]
name = "Kit"
base = "1:18 /100 yd"
[[swimmer]]
name = "Ash, the elder"
tests = { "200" = "2:40", "400" = "5:40" }
[[swimmer]]
base = "1:40"
"""

CSV = """\
name,base,200,400 m,400,30 min
Kit,1:18 /100 yd,,,,
"Ash, the elder",,2:40,,5:40,
,1:40,,,,

Wren,,,5:20,,
Noor,,,,,2400 m
"""


def test_a_list_as_toml():
    read = swimmers_from_toml(TOML)
    assert read.swimmers == (
        Swimmer(Pace(78_000, Unit.YARD), "Kit"),
        Swimmer(Pace(90_000), "Ash, the elder"),
        Swimmer(Pace(100_000)),
    )
    assert [found and found.method for found in read.found] == [None, Method.TWO_TRIALS, None]


def test_a_list_as_csv():
    read = swimmers_from_csv(CSV)
    assert read.swimmers[:3] == swimmers_from_toml(TOML).swimmers
    assert read.swimmers[4] == Swimmer(Pace(75_000, Unit.METRE), "Noor")
    assert [found and found.method for found in read.found] == [
        None,
        Method.TWO_TRIALS,
        None,
        Method.RACE,
        Method.TIMED_SWIM,
    ]


def test_the_exponent_is_a_setting():
    race = '[[swimmer]]\ntests = { "400" = "5:20" }\n'
    slower, quicker = swimmers_from_toml(race), swimmers_from_toml("endurance = 1.03\n" + race)
    assert slower.swimmers[0].base.ms > quicker.swimmers[0].base.ms
    assert swimmers_from_csv("name,400\n,5:20\n") == slower
    assert swimmers_from_csv("name,400\n,5:20\n", Decimal("1.03")) == quicker


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_line_ends_and_byte_order_marks_make_no_difference(ends):
    """Records end with CRLF (RFC 4180, section 2, rule 1); other line ends are read as well."""
    data = CSV.replace("\n", ends).encode("utf-8-sig")
    assert swimmers_from_bytes(data, swimmers_from_csv) == swimmers_from_csv(CSV)
    assert swimmers_from_csv(CSV.rstrip("\n").replace("\n", ends)) == swimmers_from_csv(CSV)  # rule 2: no last line end


def test_quotes():
    """A cell with a comma, a quote or a line end is quoted, and a quote in it is doubled (RFC 4180, 2.6 and 2.7)."""
    assert swimmers_from_csv('name,base\n"Kit ""K"", junior","1:20"\n').swimmers == (
        Swimmer(Pace(80_000), 'Kit "K", junior'),
    )


OTHERS = """\
Given name;SURNAME;Squad year;400 m Freestyle;200m FR;PB long
Kit;Marsh;2011;5:40,2;2.40;
Ash;Weir;2012;340,2;160.0;0:35
"""


def test_a_list_with_other_peoples_columns_is_asked_about_once():
    with pytest.raises(UnknownColumns) as asked:
        swimmers_from_csv(OTHERS)
    assert asked.value.columns == (Column("Squad year", ("2011", "2012")), Column("PB long", ("0:35",)))
    read = swimmers_from_csv(OTHERS, known={"squad year": "skip", "pb long": "skip"})
    assert [swimmer.name for swimmer in read.swimmers] == ["Kit Marsh", "Ash Weir"]
    assert read.swimmers[0].base == read.swimmers[1].base  # 340.2 s are 5:40.2
    answered = swimmers_from_csv(OTHERS, known={"squad year": "skip", "pb long": answer_of(SWIMMERS, "50 m free")})
    assert [str(trial) for trial in answered.swimmers[1].tests] == ["50 m in 0:35", "200 m in 2:40", "400 m in 5:40.2"]


BAD_CSV = [
    ("empty", "", ["1:1 is empty"]),
    ("blank", "\n ,\n", ["1:1 is empty"]),
    ("header alone", "name,200,400\n", ["1:1 below the header"]),
    ("no header", "Kit,2:40,5:40\n", ["1:1 “Kit”", "1:5 “2:40”", "1:10 “5:40”"]),
    ("no name", "base\n1:20\n", ["1:1 no column is the name"]),
    ("names alone", "name\nKit\n", ["1:1 no times"]),
    ("unknown columns", "name,age,base,speed\nKit,,1:20,\n", ["1:6 “age”", "1:15 “speed”"]),
    ("column twice", "name,200,200\nKit,2:40,2:41\n", ["1:10 two columns"]),
    ("a cell too many", "name,200,400\nKit,2:40,5:40,\nAsh,2:41,5:4\n", ["2:1 4 cells", "3:10 two digits"]),
    ("a cell too few", "name,base\nKit\n", ["2:1 leave one empty"]),
    ("wrong times", "name,200,400\nKit,24,5:75\n", ["2:5 alone could be", "2:8 did you mean 6:15?"]),
    ("wrong pace", "name,base\nKit,0:10\n", ["2:5 between 0:20"]),
    ("no time", "name,200,400\nKit,,\n", ["2:1 no base pace"]),
    ("base and tests", "name,base,400\nKit,1:20,5:40\n", ["2:1 not both"]),
    ("contradiction", "name,200,400\nKit,2:40,2:39\n", ["2:1 no longer than"]),
    ("quote left open", 'name,base\nKit,1:20\n"Ash,1:20\nWren,1:30\n', ["3:1 quote"]),
    ("text after a quote", 'name,base\n"Kit"s,1:20\n', ["2:1 quote"]),
    (
        "name over two lines",
        'name,base\n"Kit\nAsh",1:20\nWren,1:3\n',
        ["2:1 the name has an invisible character", "4:6 two digits"],
    ),
    ("name too long", f"name,base\n{'K' * 61},1:20\n", ["2:1 the name is too long"]),
    ("quoted cells", 'name,base\n"Kit, junior","1.75"\n', ["2:15 write 1:75"]),
    ("too many", "name,base\n" + "Kit,1:20\n" * 81, ["82:1 81 swimmers"]),
]

BAD_TOML = [
    ("empty", "", ["1:1 no swimmers"]),
    ("a squad", '[[lane]]\nbase = "1:20"\n', ["1:1 no swimmers", "1:1 only swimmers"]),
    ("one bracket", '[swimmer]\nbase = "1:20"\n', ["1:1 two brackets"]),
    ("no base", '[[swimmer]]\nname = "Kit"\n', ["1:1 no base pace"]),
    ("unknown key", '[[swimmer]]\nbase = "1:20"\nage = 9\n', ["3:1 can't have “age”"]),
    ("wrong base", '[[swimmer]]\nbase = "1:75"\n', ["2:8 did you mean 2:15?"]),
    ("wrong tests", '[[swimmer]]\ntests = { 200 = "2:40", 400 = "2:39" }\n', ["2:9 no longer than"]),
    ("too many", '[[swimmer]]\nbase = "1:20"\n' * 81, ["1:1 81 swimmers"]),
]


def complain(read, text, complaints):
    with pytest.raises(Unreadable) as caught:
        read(text)
    problems = caught.value.problems
    said = caught.value.text("list")
    assert len(problems) == len(complaints), said
    for problem, complaint in zip(problems, complaints):
        place, _, words = complaint.partition(" ")
        assert f"{problem.line}:{problem.column}" == place, said
        assert words in f"{problem.message} | {problem.hint}", said


@pytest.mark.parametrize(("text", "complaints"), [row[1:] for row in BAD_CSV], ids=[row[0] for row in BAD_CSV])
def test_what_is_wrong_in_a_csv(text, complaints):
    complain(swimmers_from_csv, text, complaints)


@pytest.mark.parametrize(("text", "complaints"), [row[1:] for row in BAD_TOML], ids=[row[0] for row in BAD_TOML])
def test_what_is_wrong_in_a_toml(text, complaints):
    complain(swimmers_from_toml, text, complaints)


def test_a_swimmer_without_a_time_is_left_out_and_named():
    read = swimmers_from_csv("name,200,400\nKit,2:40,5:40\nAsh,,\nWren,2:50,6:00\n")
    assert [one.name for one in read.swimmers] == ["Kit", "Wren"] and len(read.found) == 2
    assert read.untimed_said == "Left out, because no time is written: Ash."
    complain(swimmers_from_csv, "name,400\nKit,5:4\nAsh,\n", ["2:5 two digits"])


def test_mutated_lists_are_read_or_refused():
    rng = random.Random(7)
    pieces = [
        ",",
        '"',
        "\n",
        "\r",
        ";",
        "name",
        "200",
        "1:20",
        "\u2028",
        "\t",
        "\x01",
        "é",
        "=",
        "30 min",
        ",,",
        '""',
        "9" * 50,
    ]
    read = 0
    for _ in range(2_000):
        text = CSV
        for _ in range(rng.choice((1, 1, 2, 5))):
            start = rng.randrange(len(text) + 1)
            end = min(len(text), start + rng.choice((0, 0, 1, 4)))
            text = text[:start] + rng.choice(["", *pieces]) + text[end:]
        start = time.perf_counter()
        try:
            assert isinstance(swimmers_from_csv(text), SwimmerList)
            read += 1
        except Unreadable as wrong:
            assert wrong.problems
            assert all(problem.message and 1 <= problem.column < problem.end_column for problem in wrong.problems)
        assert time.perf_counter() - start < 1
    assert 200 < read < 1_800
