"""The standard form: it reads back to the same plan, and a second pass changes nothing."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pacer.plan.model import (
    GEAR,
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
    Plan,
    Pool,
    RateRange,
    Section,
    Segment,
    SetLine,
    Stroke,
    Trend,
    Unit,
    Work,
)
from pacer.plan.notation.planreader import pool_from_text, read_line, read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_line, write_plan
from tests.reference.random_plans import random_plan_text

CANONICAL = """\
# Thursdays, lanes 4 to 6
title: Long-axis rotation 3
pool: 25 m
booking: 60 min
spare: 2:30
focus: backstroke rotation
revisits: Long-axis rotation 2
changeover: 0:45
starts: 1:00
clock: 0:10

Warm-up, easy, at most 10 min
  300 choice
  # in pairs
  4 x 50 as 25 kick / 25 back, rest 0:15  # towards the clock

Skill set, 2 rounds, run on
  "Long, and quiet."
  6 x 50 as 25 scull "hips at the surface" / 25 back easy, rest 0:20, with snorkel
  "The head never moves; the ceiling line does not either."
  6 x 0:30 kick vertical, rest 0:30
  50 - 100 - 50 pull, rest 0:15 / 0:20

Main set, 1 to 3 rounds
  4 x 200 as 50 drill six-kick switch "six kicks, then roll" / 50 back "same roll", on 4:00 / 4:20 / 4:45
  rest 1:00
  A, B: 2 x 100 back build, descend 1-2, rate 32-40, hold base+0:03, on base+0:25, apart 0:10
  4 rounds
    A 3 / B 2 x 100 free, on 1:40 per 100
    rounds 2 / 1
      8 x 25 odd free fast / even (15 fly / 10 free), on 0:40 then 0:35

If we can, if time
  4 to 8 x 100 in turn 3 free easy / 1 free fast

Swim-down, easy
  2 x 100 choice, rest 0:10
# bring the fins next week
"""


def test_a_page_in_standard_form_stays_as_it_is():
    assert write_plan(read_plan(CANONICAL)) == CANONICAL


@pytest.mark.parametrize(("written", "canonical"), [
    ("4x200 fr", "4 x 200 free"),
    ("1 x 300 ch ez", "300 choice easy"),
    ("8×50 bk k fast", "8 x 50 kick back fast"),
    ("200 d / fr by 50", "200 as 50 drill / 50 free"),
    ("200 (50 d catch-up / 50 IM)", "200 as 50 drill catch-up / 50 IM"),
    ("4 x 100 bk as 50 p / 50", "4 x 100 as 50 pull back / 50 back"),
    ("8 x 50 in turn 1 d / 1 fr", "8 x 50 odd drill / even free"),
    ("8 x 50 repeats 5-8 fl / 1-4 (25 d / 25 fl)", "8 x 50 repeats 1-4 (25 drill / 25 fly) / 5-8 fly"),
    ("3 x 50 repeats 1 k / 2-3 p", "3 x 50 repeats 1 kick / 2-3 pull"),
    ("50-100-50 rest 15", "50 - 100 - 50 free, rest 0:15"),
    ("6 x 30\" k vertical rest 1'", "6 x 0:30 kick vertical, rest 1:00"),
    ("4 x 100 on base", "4 x 100 free, on base+0:00"),
    ("4 x 100 with Fins, on 90 s, descend 1-4", "4 x 100 free, descend 1-4, on 1:30, with fins"),
    ("4 x 100 rate 36-36", "4 x 100 free, rate 36"),
    ("10 x 100 on 1:02:03", "10 x 100 free, on 1:02:03"),
    ('4 x 100 “say "hup"”', '4 x 100 free “say "hup"”'),
    ("8 x 100 / 75 on A 1:40 / B 1:50 per 100 hold 1:22.5", None),
    ("8 x D 100 / C 75", "8 x D 100 / C 75 free"),
])  # fmt: skip
def test_lines(written, canonical):
    if canonical is None:
        with pytest.raises(Unreadable):
            read_line(written, pool_from_text("25 m"))
        return
    (line,) = read_line(written, pool_from_text("25 m")).sections[0].items
    assert write_line(line) == canonical
    assert read_line(canonical, pool_from_text("25 m")).sections[0].items == (line,)


@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        ("Main, 0 to 1 rounds", "Main, if time"),
        ("Main, 1 round", "Main"),
        ("Main, 3 / 2 rounds, fast", "Main, rounds 3 / 2, fast"),
        ("Main, for 1:30:00", "Main, for 90 min"),
        ("Main, at most 900 s", "Main, at most 15 min"),
        ("Main, at most 90 s", "Main, at most 0:01:30"),
        ("Main, for 12:30", "Main, for 12:30"),
        ("Main, run on, ez, if time", "Main, if time, easy, run on"),
    ],
)
def test_section_heads(written, canonical):
    page = write_plan(read_plan(f"pool: 25 m\n{written}\n100"))
    assert page == f"pool: 25 m\n\n{canonical}\n  100 free\n"
    assert write_plan(read_plan(page)) == page


def test_inline_groups_become_indented_ones():
    plan = read_plan('pool: 25 m\n4 x (3 x 100 on 1:30 "long" + 2 / 1 x (50 + rest 20) + 100 ez)  # the long one')
    assert write_plan(plan) == (
        'pool: 25 m\n\n  4 rounds  # the long one\n    3 x 100 free, on 1:30\n    "long"\n'
        "    rounds 2 / 1\n      50 free\n      rest 0:20\n    100 free easy\n"
    )


def test_comments_stay_in_their_place():
    page = (
        "# top\n#  second\n\n#last of the top\npool: 25 m\n#in the header\n\n#above\nMain # beside\n"
        '  # between\n  100 "a"\n  # below\n\n  200 # two\n#end'
    )
    once = write_plan(read_plan(page))
    assert once == (
        "# top\n# second\npool: 25 m\n\n# last of the top\n# in the header\n# above\nMain  # beside\n"
        "  # between\n  100 free\n"
        '  "a"\n  # below\n  200 free  # two\n# end\n'
    )
    assert write_plan(read_plan(once)) == once


def test_a_plan_that_cannot_be_written_is_refused():
    nameless = Section("", (SetLine(Pattern((Part((Segment(None, Work()),)),)), distance=ByLane((100,))),))
    with pytest.raises(ValueError, match="without a name"):
        write_plan(Plan(Pool(Fraction(25), Unit.METRE), (nameless, nameless)))
    with pytest.raises(ValueError, match="both kinds of quotes"):
        write_line(SetLine(nameless.items[0].pattern, distance=ByLane((100,)), cue='"a" and “b”'))


@pytest.mark.parametrize("seed", range(150))
def test_random_pages_read_back(seed):
    plan = read_plan(random_plan_text(random.Random(seed), labelled=seed % 2 == 1))
    page = write_plan(plan)
    again = read_plan(page)
    assert again == plan
    assert write_plan(again) == page
    assert sorted(text for _, text in again.comments) == sorted(text for _, text in plan.comments)


# ---- plans as values

SHORT = st.integers(1, 999).map(lambda n: n * 1000) | st.integers(1, 10_000_000)
LONG = st.integers(1, 86_400_000)
NAMES = st.sampled_from(
    [
        "",
        "six-kick switch",
        "hold the line",
        "kick on side",
        "with fists",
        "6-1-6",
        "by feel",
        "then and as",
        "Catch-Up",
        "x",
    ]
)
CUES = st.sampled_from(["", "long", "roll # both sides", 'hips, 15\' and "up"', "4 x 100 / 2", "Ä–ß ✓", "(1-2)"])
TEXT = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=0, max_size=12)
LABELS = st.lists(st.sampled_from("ABCDFHX"), min_size=1, max_size=4, unique=True)


@st.composite
def by_lane(draw, values):
    entries = tuple(draw(st.lists(values, min_size=1, max_size=3)))
    labels = draw(
        st.none() | st.lists(st.sampled_from("ABCDFG"), min_size=len(entries), max_size=len(entries), unique=True)
    )
    return ByLane(entries, tuple(labels) if labels else None)


@st.composite
def works(draw, timed=False):
    activity = draw(st.sampled_from(Activity))
    named = activity in (Activity.DRILL, Activity.SCULL) or timed and activity is Activity.KICK
    strokes = st.sampled_from(Stroke)
    return Work(
        activity,
        draw(strokes if activity is Activity.SWIM else st.none() | strokes),
        draw(st.none() | st.sampled_from(Effort)),
        draw(NAMES) if named else "",
    )


@st.composite
def stretches(draw, distances, alone, timed=False):
    """The segments of a part: the whole repeat, or some that fill all `distances`."""
    if timed or draw(st.booleans()):
        return (Segment(None, draw(works(timed)), "" if alone else draw(CUES)),)
    lengths = draw(st.sampled_from([(25,), (25, 25), (5, 20), (10, 10, 5), (15, 5, 5)]))
    return tuple(Segment(length, draw(works()), draw(CUES)) for length in lengths)


@st.composite
def set_lines(draw):
    kind = draw(st.sampled_from(["distance", "distance", "ladder", "time"]))
    timed = kind == "time"
    fifties = st.integers(1, 16).map(lambda n: 50 * n)
    count = draw(
        by_lane(st.integers(1, 12)) | st.builds(lambda a, b: Flexible(a, a + b), st.integers(0, 5), st.integers(1, 9))
    )
    values = {"count": count}
    if kind == "ladder":
        values |= {"count": None, "ladder": tuple(draw(st.lists(fifties, min_size=2, max_size=5)))}
    elif timed:
        values["time_ms"] = draw(SHORT)
    else:
        values["distance"] = draw(by_lane(fifties))
    repeats = len(values.get("ladder", ())) or (count.most if isinstance(count, Flexible) else max(count.entries))
    how = draw(st.sampled_from(["plain", "cycles", "ranges"]))
    size = 1 if how == "plain" or repeats == 1 else draw(st.integers(2, min(3, repeats)))
    counts = [1] if size == 1 else [draw(st.integers(1, 3)) for _ in range(size)]
    if how == "ranges" and size > 1:
        counts = [1] * (size - 1) + [repeats - size + 1]
    parts = tuple(Part(draw(stretches(50, size == 1, timed)), n) for n in counts)
    values["pattern"] = Pattern(parts, how != "ranges" or size == 1)
    steady = st.builds(FixedInterval, SHORT) | st.builds(BaseInterval, st.just(0) | SHORT)
    if timed:
        steady = st.builds(FixedInterval, SHORT)
    which = draw(st.sampled_from(["on", "per", "then", "rest", "neither"]))
    if which == "per" and not timed:
        values["interval"] = draw(by_lane(st.builds(lambda ms: (PerHundredInterval(ms),), SHORT)))
    elif which == "then" and isinstance(values["count"], ByLane) and set(values["count"].entries) == {2}:
        values["interval"] = draw(by_lane(st.tuples(steady, steady)))
    elif which == "on":
        values["interval"] = draw(by_lane(st.tuples(steady)))
    elif which == "rest":
        values["rest_ms"] = draw(by_lane(SHORT))
    if not timed:
        values["hold"] = draw(
            st.none() | by_lane(st.builds(FixedHold, SHORT) | st.builds(BaseHold, st.just(0) | SHORT))
        )
    return SetLine(
        **values,
        rate=draw(st.none() | st.builds(RateRange, st.integers(1, 200), st.integers(1, 200))),
        apart_ms=draw(st.none() | st.integers(1000, 60_000)),
        gear=tuple(draw(st.lists(st.sampled_from((*GEAR, "tempo beeper")), max_size=3, unique=True))),
        change=draw(st.none() | st.builds(Change, st.sampled_from(Trend), st.integers(2, 9))),
        cue=draw(CUES),
        groups=tuple(draw(st.just([]) | LABELS)),
    )


GROUPS = st.just(()) | LABELS.map(tuple)
LINES = set_lines() | st.builds(Break, by_lane(SHORT), GROUPS)
ITEMS = st.recursive(
    LINES,
    lambda inner: st.builds(
        Group, by_lane(st.integers(1, 4)), st.lists(inner, min_size=1, max_size=2).map(tuple), GROUPS
    ),
    max_leaves=4,
)
ROUNDS = by_lane(st.integers(1, 5)) | st.sampled_from([Flexible(0, 1), Flexible(1, 3), Flexible(0, 2)])


@st.composite
def sections(draw, name):
    values = draw(st.sampled_from(["rounds", "for", "at most"]))
    return Section(
        name,
        tuple(draw(st.lists(ITEMS, min_size=1, max_size=3))),
        rounds=draw(ROUNDS) if values == "rounds" and name else ByLane((1,)),
        for_ms=draw(LONG) if values == "for" and name else None,
        at_most_ms=draw(LONG) if values == "at most" and name else None,
        run_on=values != "for" and bool(name) and draw(st.booleans()),
        effort=draw(st.none() | st.sampled_from(Effort)) if name else None,
        cue=draw(CUES) if name else "",
    )


@st.composite
def plans(draw):
    names = draw(
        st.lists(
            st.sampled_from(["Warm-up", "Main set", "Épaules & dos", "K", "Drill 2", "Rest well", "Fast (B)"]),
            min_size=1,
            max_size=2,
        )
    )
    if draw(st.booleans()):
        names[0] = ""
    return Plan(
        draw(st.builds(Pool, st.fractions(Fraction(1, 4), 200, max_denominator=16), st.sampled_from(Unit))),
        tuple(draw(sections(name)) for name in names),
        title=draw(TEXT), focus=draw(TEXT), revisits=draw(TEXT),
        booking_ms=draw(st.none() | LONG), spare_ms=draw(st.just(0) | SHORT), changeover_ms=draw(st.just(0) | SHORT),
        starts_ms=draw(st.integers(1, 300)) * 1000, clock_ms=draw(st.integers(1, 60)) * 1000,
    )  # fmt: skip


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plans())
def test_any_plan_reads_back_from_its_page(plan):
    page = write_plan(plan)
    again = read_plan(page, ("tempo beeper",))
    assert again == plan
    assert write_plan(again) == page
