"""What the words of a page mean: several ways to say the same thing, and values one by one."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pacer.plan.model import (
    Activity,
    BaseHold,
    BaseInterval,
    Break,
    ByLane,
    Change,
    Effort,
    FixedHold,
    FixedInterval,
    Flexible,
    Group,
    Part,
    Pattern,
    PerHundredInterval,
    Pool,
    RateRange,
    Segment,
    SetLine,
    Span,
    Stroke,
    Trend,
    Unit,
    Work,
)
from pacer.plan.notation.planreader import plan_from_bytes, pool_from_text, read_line, read_plan
from pacer.plan.planlabels import labels_of
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_plan
from pacer.plan.words.ownwords import OwnWords

POOL = Pool(Fraction(25), Unit.METRE)
FREE = Work()
DRILL = Work(Activity.DRILL, None)


def line(text: str, gear: tuple[str, ...] = ()) -> SetLine:
    (section,) = read_line(text, POOL, gear).sections
    (item,) = section.items
    return item


def whole(work: Work) -> Pattern:
    return Pattern((Part((Segment(None, work),)),))


def segments(*stretches: tuple) -> Pattern:
    return Pattern((Part(tuple(Segment(*stretch) for stretch in stretches)),))


SAME = [
    ("4 x 100", "4x100", "4X100", "4 × 100", "4×100 free", "4 x 100 fr", "4 x 100 swim", "4 x 100 fc swim",
     "4 x 100 FREE"),
    ("300 choice easy", "300 easy choice", "1 x 300 ch ez", "300 EASY Choice"),
    ("8 x 50 back kick fast", "8 x 50 k bk fast", "8 x 50 fast kick back"),
    ("200 as 50 drill / 50 swim", "200 (50 drill / 50 swim)", "200 drill / swim by 50", "200 d / fr by 50",
     "200 drill / swim, by 50", "200 as 50 d / 50"),
    ("4 x 100 back easy as 50 drill / 50 swim", "4 x 100 as 50 drill back easy / 50 swim back easy"),
    ("4 x 100 drill catch-up as 50 / 50 swim", "4 x 100 as 50 drill catch-up / 50 free"),
    ("4 x 100 easy as 50 / 50 fast", "4 x 100 as 50 free easy / 50 free fast"),
    ("8 x 50 odd drill / even free", "8 x 50 in turn 1 drill / 1 free", "8 x 50 in turn drill / free"),
    ("8 x 50 back odd drill / even swim", "8 x 50 odd drill back / even back"),
    ("12 x 50 repeats 1-4 kick / 5-8 drill / 9-12 free", "12 x 50 repeats 5-8 drill / 9–12 free / 1-4 kick"),
    ("3 x 50 repeats 1 kick / 2-3 free", "3 x 50 repeats 2-3 free / 1-1 kick"),
    ("50 - 100 - 50, rest 0:15", "50-100-50 rest 15", "50–100–50 free rest :15", "50 −100− 50 rest 15 s",
     '50-100-50 rest 15"'),
    ("4 x 100 on 1:40", "4 x 100, on 1'40\"", "4 x 100 on 1'40", "4 x 100 on 100 s", "4 x 100 on 1′40″"),
    ("6 x 0:30 kick vertical, rest 0:30", "6x:30 k vertical rest 30", "6 x 30 s kick vertical, rest 30 s",
     "6 x 30\" kick vertical, rest 30\""),
    ("4 x 100 on 1:40 / 1:50, with snorkel and fins", "4 x 100 on 1:40/1:50 with snorkel and fins",
     "4 x 100 on 1:40 / 1:50, With Snorkel and FINS"),
    ("4 x 100 hold base+0:03", "4 x 100 hold base + 0:03", "4 x 100, hold BASE+:03"),
    ("4 x 100 on base", "4 x 100 on base+0:00"),
    ('4 x 100 "long"', "4 x 100 “long”", "4 x 100 „long“", '4 x 100\n  "long"', '4 x 100\n\n"long"',
     '4 x 100 "  long "', '4 x 100, "long"'),
    ('4 x 100 (50 drill / 50 swim) "long"', '4 x 100 as 50 drill / 50 swim\n"long"'),
    ("4 x (3 x 100 on 1:30 + 100 easy on 2:30)", "4 rounds\n  3 x 100 on 1:30\n  100 easy on 2:30"),
    ("2 x (3 x (50 + rest 0:10) + 100)", "2 rounds\n 3 rounds\n   50\n   rest 10\n 100"),
    ("rounds 3 / 2\n  100", "3 / 2 rounds\n\t100", "3 / 2 x (100)"),
    ("rounds A 3 / B 2\n  100", "A 3 / B 2 rounds\n  100"),
    ("3 rounds\n\t50\n\t100\n200", "3 rounds\n  50\n  100\n200 # after the rounds"),
]  # fmt: skip


@pytest.mark.parametrize("ways", SAME, ids=[ways[0] for ways in SAME])
def test_the_same_thing_can_be_said_in_several_ways(ways):
    first, *others = [read_line(way, POOL) for way in ways]
    for other in others:
        assert other == first


DIFFERENT = [
    ("4 x 100 kick", "4 x 100 kick free"), ("4 x 100", "4 x 100 threshold"), ("400", "4 x 100"),
    ("4 x 100 IM", "4 x 100 IM order"),
    ("4 x 100 on 1:40", "4 x 100 rest 1:40"), ("4 x 100 on 1:40", "4 x 100 hold 1:40"),
    ("100 as 50 kick / 50 free", "100 as 50 free / 50 kick"),
    ('4 x 100 as 50 kick / 50 free "long"', '4 x 100 (50 kick / 50 free) "long"'),
    ("8 x 50 odd kick / even free", "8 x 50 odd free / even kick"),
    ("4 x 100 drill fist", "4 x 100 drill"), ("4 x 100 on 1:40 per 100", "4 x 100 on 1:40"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), DIFFERENT)
def test_different_things_are_different(one, other):
    assert read_line(one, POOL) != read_line(other, POOL)


@pytest.mark.parametrize(("text", "work"), [
    ("100", FREE),
    ("100 kick", Work(Activity.KICK, None)),
    ("100 fly", Work(Activity.SWIM, Stroke.FLY)),
    ("100 p br build", Work(Activity.PULL, Stroke.BREAST, Effort.BUILD)),
    ("100 im order sprint", Work(Activity.SWIM, Stroke.IM_ORDER, Effort.SPRINT)),
    ("100 drill six-kick switch", Work(Activity.DRILL, None, None, "six-kick switch")),
    ("100 drill kick on side back", Work(Activity.DRILL, Stroke.BACK, None, "kick on side")),
    ("100 back drill 6-kick easy", Work(Activity.DRILL, Stroke.BACK, Effort.EASY, "6-kick")),
    ("100 drill 6-1-6", Work(Activity.DRILL, None, None, "6-1-6")),
    ("100 drill hold the line", Work(Activity.DRILL, None, None, "hold the line")),
    ("100 drill swim with fists", Work(Activity.DRILL, None, None, "swim with fists")),
    ("100 drill by feel and then rest", Work(Activity.DRILL, None, None, "by feel and then rest")),
    ("100 drill odd arm as in turn", Work(Activity.DRILL, None, None, "odd arm as in turn")),
    ("100 drill Catch-Up", Work(Activity.DRILL, None, None, "Catch-Up")),
    ("100 scull head first fast", Work(Activity.SCULL, None, Effort.FAST, "head first")),
    ("0:30 kick vertical", Work(Activity.KICK, None, None, "vertical")),
])  # fmt: skip
def test_work(text, work):
    assert line(text).pattern == whole(work)


@pytest.mark.parametrize(("text", "fields"), [
    ("4 to 8 x 100", {"count": Flexible(4, 8)}),
    ("10 / 9 / 8 x 100", {"count": ByLane((10, 9, 8))}),
    ("A 10 / B 8 x 100", {"count": ByLane((10, 8), ("A", "B"))}),
    ("8 x 100 / 75 / 50", {"distance": ByLane((100, 75, 50))}),
    ("8xD 100 / C 75", {"distance": ByLane((100, 75), ("D", "C"))}),
    ("50 - 100", {"ladder": (50, 100), "count": None, "distance": None}),
    ("6 x 1:02.5 kick", {"time_ms": 62_500, "distance": None}),
    ("4 x 100 on 4:00 / 4:20 / 4:45",
     {"interval": ByLane(((FixedInterval(240_000),), (FixedInterval(260_000),), (FixedInterval(285_000),)))}),
    ("4 x 100 on A 4:00 / D 4:20",
     {"interval": ByLane(((FixedInterval(240_000),), (FixedInterval(260_000),)), ("A", "D"))}),
    ("4 x 100 on base+0:15", {"interval": ByLane(((BaseInterval(15_000),),))}),
    ("4 x 200 on 1:40 per 100", {"interval": ByLane(((PerHundredInterval(100_000),),))}),
    ("4 x 200 on 1:30 / 100 s", {"interval": ByLane(((FixedInterval(90_000),), (FixedInterval(100_000),)))}),
    ("4 x 100 on 1:40 then 1:35 / 1:50",
     {"interval": ByLane(((FixedInterval(100_000), FixedInterval(95_000)), (FixedInterval(110_000),)))}),
    ("4 x 100 rest 15 / 0:20", {"rest_ms": ByLane((15_000, 20_000))}),
    ("4 x 100 hold 1:22.5 / base+0:03", {"hold": ByLane((FixedHold(82_500), BaseHold(3_000)))}),
    ("4 x 100 rate 32-40", {"rate": RateRange(32, 40)}),
    ("4 x 100 rate 40–36", {"rate": RateRange(40, 36)}),
    ("4 x 100 rate 36", {"rate": RateRange(36, 36)}),
    ("4 x 100 apart 0:10", {"apart_ms": 10_000}),
    ("4 x 100 with ankle band and buoy", {"gear": ("ankle band", "buoy")}),
    ("4 x 100 descend 1-4", {"change": Change(Trend.DESCEND, 4)}),
    ("4 x 100 ascend 1 - 2", {"change": Change(Trend.ASCEND, 2)}),
    ("  A, B: 4 x 100", {"groups": ("A", "B")}),
])  # fmt: skip
def test_fields_of_a_line(text, fields):
    read = line(text)
    assert {name: getattr(read, name) for name in fields} == fields


def test_segments_carry_their_cues():
    read = line('4 x 200 as 50 drill six-kick switch "six kicks, then roll" / 50 back "same roll", on 4:00 "count"')
    assert read.pattern == segments(
        (50, Work(Activity.DRILL, None, None, "six-kick switch"), "six kicks, then roll"),
        (50, Work(Activity.SWIM, Stroke.BACK), "same roll"),
    )
    assert read.cue == "count"


def test_a_pattern_takes_brackets_of_segments():
    read = line('8 x 50 odd (25 drill "a" / 25 free) / even fast "b"').pattern
    assert read.parts == (
        Part((Segment(25, DRILL, "a"), Segment(25, FREE))),
        Part((Segment(None, Work(effort=Effort.FAST), "b"),)),
    )
    assert [read.part_of(n) for n in (1, 2, 7, 8)] == [*read.parts, *read.parts]


def test_repeats_in_turn_and_by_number():
    turns = line("16 x 50 in turn 3 easy / 1 fast").pattern
    assert [part.count for part in turns.parts] == [3, 1] and turns.cycles
    ranges = line("12 x 50 repeats 1-4 kick / 5-12 free").pattern
    assert [part.count for part in ranges.parts] == [4, 8] and not ranges.cycles
    assert (
        line("4 x 50 repeats 1-4 kick").pattern == line("4 x 50 in turn 3 kick").pattern == line("4 x 50 kick").pattern
    )


def test_every_distance_up_to_400_is_filled_or_refused_and_the_nearest_that_work_are_named():
    lengths = (50, 75, 25)
    fills = {sum(lengths[n % 3] for n in range(count)) for count in range(1, 30)}
    for distance in range(1, 401):
        text = f"1 x {distance} as 50 kick / 75 free / 25 back"
        if distance in fills:
            assert line(text)
            continue
        with pytest.raises(Unreadable) as caught:
            line(text)
        near = [max((f for f in fills if f < distance), default=None), min(f for f in fills if f > distance)]
        assert caught.value.problems[0].hint.endswith(" and ".join(str(n) for n in near if n))


def test_gear_of_the_squad_is_known_with_more_words_too():
    assert line("100 with pull buoy and tempo beeper", ("pull buoy", "tempo beeper")).gear == (
        "pull buoy",
        "tempo beeper",
    )
    assert line("100 drill fist with Bucket", ("bucket",)).gear == ("bucket",)
    with pytest.raises(Unreadable):
        line("100, with bucket")


@pytest.mark.parametrize(("details", "fields"), [
    ("3 rounds", {"rounds": ByLane((3,))}), ("1 to 3 rounds", {"rounds": Flexible(1, 3)}),
    ("0 to 2 rounds", {"rounds": Flexible(0, 2)}),
    ("if time", {"rounds": Flexible(0, 1)}), ("rounds 3 / 2 / 1", {"rounds": ByLane((3, 2, 1))}),
    ("rounds A 3 / B 2", {"rounds": ByLane((3, 2), ("A", "B"))}),
    ("for 15 min", {"for_ms": 900_000}), ("for 15:00", {"for_ms": 900_000}),
    ("at most 1:02:03", {"at_most_ms": 3_723_000}), ("at most 90 s, run on", {"at_most_ms": 90_000, "run_on": True}),
    ("Run On, EZ, 2 Rounds", {"run_on": True, "effort": Effort.EASY, "rounds": ByLane((2,))}),
    ('easy "long"', {"effort": Effort.EASY, "cue": "long"}),
])  # fmt: skip
def test_details_of_a_section(details, fields):
    (section,) = read_plan(f"pool: 25 m\nMain set, {details}\n  100").sections
    assert {name: getattr(section, name) for name in fields} == fields
    assert section.name == "Main set"


def test_a_cue_belongs_to_what_stands_above_it():
    plan = read_plan('pool: 25 m\nMain\n  "section"\n  100\n  "line"\n  2 rounds\n    200\n  "inner"\n')
    (section,) = plan.sections
    assert section.cue == "section"
    assert section.items[0].cue == "line"
    assert section.items[1].items[0].cue == "inner"


def test_the_header():
    plan = read_plan(
        "Title:  Long-axis   rotation #3: roll \nPOOL: 33 1/3 m\nbooking: 1:00:00\nspare: 2:30\nfocus: back\n"
        "revisits: no 2\n"
        "changeover: 0:00\nstarts: 1 min\nclock: 0:10\n\n100"
    )
    assert (plan.title, plan.focus, plan.revisits) == ("Long-axis rotation #3: roll", "back", "no 2")
    assert plan.pool == Pool(Fraction(100, 3), Unit.METRE)
    assert (plan.booking_ms, plan.spare_ms, plan.changeover_ms, plan.starts_ms, plan.clock_ms) == (
        3_600_000,
        150_000,
        0,
        60_000,
        10_000,
    )


@pytest.mark.parametrize(("text", "length", "unit"), [
    ("25 m", Fraction(25), "m"), ("25m", Fraction(25), "m"), ("50 metres", Fraction(50), "m"),
    ("25 yd", Fraction(25), "yd"), ("25 Yards", Fraction(25), "yd"),
    ("33 1/3 m", Fraction(100, 3), "m"), ("16 2/3 yd", Fraction(50, 3), "yd"), ("12.5 m", Fraction(25, 2), "m"),
    ("1/2 m", Fraction(1, 2), "m"), ("36.576 m", Fraction(36576, 1000), "m"),
])  # fmt: skip
def test_pools(text, length, unit):
    pool = pool_from_text(text)
    assert pool == Pool(length, Unit(unit))
    assert pool_from_text(str(pool)) == pool


def test_lines_before_any_section_make_one_without_a_name():
    plan = read_plan("pool: 25 m\n\n100\n  3 rounds\n    50\nrest 1:00\nMain\n200\nA 10 / B 8 x 50")
    assert [section.name for section in plan.sections] == ["", "Main"]
    first, rounds, rest = plan.sections[0].items
    assert isinstance(rounds, Group) and isinstance(rest, Break) and isinstance(first, SetLine)
    assert len(plan.sections[1].items) == 2


def test_rounds_eight_deep_are_read():
    text = "pool: 25 m\n" + "".join("  " * depth + "2 rounds\n" for depth in range(8)) + "  " * 8 + "25"
    (item,) = read_plan(text).sections[0].items
    for _ in range(7):
        (item,) = item.items
    assert isinstance(item.items[0], SetLine)
    assert read_line("2 x (" * 8 + "25" + ")" * 8, POOL).sections == read_plan(text).sections


def test_indentation_by_tabs_or_by_any_spaces():
    pages = [
        "pool: 25 m\nMain\n{0}100\n{0}2 rounds\n{0}{1}50\n{0}{1}2 rounds\n{0}{1}{2}25\n{0}75".format(*steps)
        for steps in (("  ", "  ", "  "), ("\t", "\t", "\t"), (" ", "     ", " "), ("\t", "  ", " "), ("", "\t", "  "))
    ]
    assert len({read_plan(page) for page in pages}) == 1


def test_comments_are_kept_and_mean_nothing():
    plan = read_plan(
        '# top\npool: 25 m\ntitle: No # comment\n\nMain # the long one\n  100 "a # b" # one\n  rest 15"#two\n#three'
    )
    assert plan.comments == ((1, "top"), (5, "the long one"), (6, "one"), (7, "two"), (8, "three"))
    assert plan.title == "No # comment"
    assert plan == read_plan('title: No # comment\npool: 25 m\nMain\n100 "a # b"\nrest 0:15')


def test_spans_say_where_things_stand():
    plan = read_plan(
        'pool: 25 m\nMain, easy\n\t4 x 100 as 50 drill "a" / 50 back, on 2:00 # x\n  A: rest 1:00\n  2 rounds\n'
        "    4 x (50 + 25)"
    )
    (section,) = plan.sections
    assert section.span == Span(2, 1, 5)
    first, rest, rounds = section.items
    assert first.span == Span(3, 2, 44)
    assert [s.span for s in first.pattern.parts[0].segments] == [Span(3, 13, 25), Span(3, 28, 35)]
    assert rest.span == Span(4, 6, 15)
    assert rounds.span == Span(5, 3, 11)
    assert rounds.items[0].span == Span(6, 5, 18)
    assert rounds.items[0].items[1].span == Span(6, 15, 17)


def test_labels_in_order_of_first_appearance():
    text = (
        "Main, rounds C 3 / A 2\n  B: 100\n  4 x (50 on A 1:00 / E 1:10 + 25)\n  D: rest 1:00\n"
        "  100 hold F 1:00 / A 1:05"
    )
    assert labels_of(read_line(text, POOL)) == ("C", "A", "B", "E", "D", "F")


def test_a_line_of_another_pool_needs_no_header():
    plan = read_line("10 x 100 free on 1:40", pool_from_text("25 yd"))
    assert plan.pool.unit is Unit.YARD
    assert plan_from_bytes(b"pool: 25 yd\n10 x 100 fr, on 1:40") == plan
    with pytest.raises(Unreadable) as caught:
        read_line("10 x 100 free on 1;40", POOL)
    assert [p.text("--line").split("\n")[0] for p in caught.value.problems] == ["--line:1:18: 1;40 is not a time"]


def test_a_section_has_an_effort_of_the_squads_own():
    own = OwnWords(efforts=("comfy", "race day"))
    plan = read_plan("pool: 25 m\nMain set, Race Day, 2 rounds\n  100\n  Comfy: 4 x 50\n", own)
    assert plan.sections[0].effort == "race day"
    assert plan.sections[0].items[1].pattern.parts[0].segments[0].work.effort == "comfy"
    assert read_plan(write_plan(plan), own) == plan
    with pytest.raises(Unreadable):
        read_plan("pool: 25 m\nMain set, race day\n  100\n")


@pytest.mark.parametrize(
    ("pool", "written", "canonical"),
    [
        ("20 m", "20 easy", "20 free easy"),
        ("25 m", "15m sprint", "1 x 15 free sprint"),
        ("50 m", "25 easy", "25 free easy"),
        ("25 yd", "50 yd", "50 free"),
        ("25 m", "4 x 10 m", "4 x 10 free"),
    ],
)
def test_a_distance_alone_is_a_length_or_more_or_has_its_unit(pool, written, canonical):
    plan = read_line(f"  {written}", pool_from_text(pool))
    assert write_plan(plan) == f"pool: {pool}\n\n  {canonical}\n"
    assert read_plan(write_plan(plan)) == plan


@pytest.mark.parametrize(
    ("pool", "written"),
    [("25 m", "50 yd"), ("25 m", "1,500 yd"), ("25 yd", "50m"), ("25 m", "5 easy"), ("10 m", "9 easy")],
)
def test_a_distance_in_another_unit_or_shorter_than_a_length_is_asked_about(pool, written):
    with pytest.raises(Unreadable):
        read_line(f"  {written}", pool_from_text(pool))
