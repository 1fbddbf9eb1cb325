"""The next page: it runs for every plan of the tests, with any step left out; and what each rule does."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from datetime import date

import pytest

from pacer.plan.library.drillbook import EMPTY_BOOK, named_in
from pacer.plan.model import ByLane
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_plan
from pacer.review.series.due import Gaps
from pacer.review.series.movabletimes import aim_of
from pacer.review.series.nextpage import NextPage, NoDraft, next_of_plan, next_page
from pacer.review.series.seriesorder import Series, SeriesPage
from pacer.review.series.visited import Diary, visited_of
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun, Ended, LineLeftOut, Missed
from pacer.shippedfiles import DRILLS
from pacer.squad.bygroup import by_group
from pacer.squad.files.drillreader import drills_from_bytes
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.findings import CannotRun, Severity
from pacer.timeline.summary.planned import all_findings, planned
from tests.reference.random_plans import random_plan_text
from tests.reference.random_squads import random_squad
from tests.review.made import ZERO_WALL_MS, S, kept, predicted, timed
from tests.review.series.pagecorpus import pages
from tests.review.swum.test_strokework import taps

BOOK = drills_from_bytes(DRILLS.read_bytes())
TODAY = date(2026, 3, 24)
NOTHING = visited_of(Diary((), {}, {}, {}), Series("Alone", (SeriesPage("Alone"),)), BOOK, Gaps())
CORPUS = list(pages())
WHOLE = 57  #: plans that are tried each time; of the others every third is


def drafted(text, squad, share, book=BOOK, visited=NOTHING, now=None):
    """The next page, for the squad `now`, after a session in which each lane's times were `share(lane)` of the
    predicted ones."""
    timeline = planned(read_plan(text, squad.words), squad)[0]
    rng = random.Random(text)
    swum = timed(timeline, lambda swim: round(swim.predicted_ms * rng.gauss(share(swim.lane), 0.005)) or None)
    return next_page(review_of(swum), visited, book, TODAY, squad=now)


def worst(page: NextPage, without=()):
    """The severities of the findings of the page, after it is written and read again."""
    plan = read_plan(page.text(without), page.squad.words)
    return Counter(each.severity for each in all_findings(planned(plan, page.squad)[0], BOOK))


@pytest.mark.parametrize(("share", "start"), [(0.94, 0), (1.0, 1), (1.06, 2)], ids=["faster", "as-written", "slower"])
def test_it_runs_for_the_whole_corpus_whatever_is_left_out(share, start):
    rng = random.Random(5)
    tried, kinds = 0, Counter()
    for name, text, squad in [*CORPUS[:WHOLE], *CORPUS[WHOLE + start :: 3]]:
        try:
            before = Counter(each.severity for each in all_findings(planned(read_plan(text, squad.words), squad)[0]))
        except CannotRun:
            continue
        page = drafted(text, squad, lambda lane: share)
        tried += 1
        kinds.update(step.name.split(" ")[0] for step in page.steps)
        everything = frozenset(range(1, len(page.steps) + 1))
        found = worst(page)  # read again, fitted and laid out: it runs
        assert not found[Severity.STOPS], name
        assert found[Severity.WRONG] + found[Severity.HAZARD] <= before[Severity.WRONG] + before[Severity.HAZARD], name
        assert page.text(everything) == write_plan(page.base), name
        some = [frozenset({number}) for number in everything]
        some += [frozenset(number for number in everything if rng.random() < 0.5) for _ in range(3)]
        for without in {*some, everything}:
            assert not worst(page, without)[Severity.STOPS], (name, without)
    assert tried > 150
    wanted = {"shorter", "drill", "focus"} | ({"on"} if share != 1.0 else set())
    assert wanted <= set(kinds), kinds


def test_each_step_is_undone_by_itself():
    """Without a step the page is the result of all the others; the marked lines are new since the last page."""
    name, text, squad = CORPUS[2]
    page = drafted(text, squad, lambda lane: 0.94)
    assert name == "long-axis-rotation-3" and len(page.steps) >= 4
    whole = page.text()
    for number, step in enumerate(page.steps, 1):
        less = page.text({number})
        assert less != whole, step.text
        others = frozenset(range(1, len(page.steps) + 1)) - {number}
        assert page.text(others) != write_plan(page.base), "by itself it does something too"
    old = page.before.splitlines()
    assert all(line.text not in old for line in page.lines() if line.new)
    assert [line.text for line in page.lines()] == whole.splitlines()
    assert page.lines()[0].text == "title: Long-axis rotation 4" and "revisits: Long-axis rotation 3" in whole


def test_the_demo_pages_next():
    _, text, squad = CORPUS[2]
    page = drafted(text, squad, lambda lane: 0.94 if lane < 2 else 1.0)
    said = [step.text for step in page.steps]
    assert said[:3] == [
        "Skill set halved because it's a revisit: 3 x 50 instead of 6 x 50.",
        "Focus: rolling from the hips at swimming speed (three-stroke switch).",
        "Next drill, a step up from six-kick switch: 4 x 50 as 25 drill three-stroke switch / 25 back, rest 0:20.",
    ]
    (sent,) = [text for text in said if " on " in text and " instead of " in text]
    assert sent.startswith("200: lanes 1 and 2 on 3:5") and "faster than expected over" in sent
    plan = page.plan()
    assert plan.focus == "rolling from the hips at swimming speed"
    assert "three-stroke switch" in {found.name for found in named_in(plan)}
    assert "with" not in page.steps[2].text, "the book names no gear for it"


def test_it_is_for_the_same_day_of_the_week_at_the_same_time():
    """The session began on Monday 2 March at 17:01; today is Tuesday 24 March."""
    _, text, squad = CORPUS[2]
    page = drafted(text, squad, lambda lane: 1.0)
    assert page.steps[-1].text == "Date: Monday 30 March 2026, 17:00, the same day of the week."
    assert page.plan().date == "2026-03-30 17:00" and page.text().splitlines()[1] == "date: 2026-03-30 17:00"
    dated = drafted(text.replace("pool:", "date: 2026-03-02 18:30\npool:", 1), squad, lambda lane: 1.0)
    assert dated.plan().date == "2026-03-30 18:30", "as the page said, not as it began"
    assert dated.plan({len(dated.steps)}).date == ""


def test_a_set_that_was_skipped_is_no_revisit_and_stays_whole():
    text = (
        "title: Turns 1\npool: 25 m\n\nSkill set\n  6 x 50 kick on 1:30\n  4 x 50 scull on 2:00\n\n"
        "Main set\n  4 x 100 on 2:30\n"
    )
    squad = read_squad('[[lane]]\nbase = "1:30"\n[[lane]]\nbase = "1:40"\n')
    timeline = planned(read_plan(text), squad)[0]
    end = Ended(timeline.end_ms + 60 * S)

    def shorter(*skipped):
        journal = [Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"), *skipped, end]
        page = next_page(review_of(kept(timeline, journal)), NOTHING, BOOK, TODAY)
        return [step.text for step in page.steps if step.name.startswith("shorter")]

    first, second = LineLeftOut(-5 * S, 0, 1), LineLeftOut(-4 * S, 0, 2)
    assert shorter() == ["Skill set halved because it's a revisit: 3 x 50 instead of 6 x 50, 2 x 50 instead of 4 x 50."]
    assert shorter(first) == ["Skill set halved because it's a revisit: 2 x 50 instead of 4 x 50."]
    assert shorter(first, second) == []
    assert len(shorter(LineLeftOut(-5 * S, 0, 1, (0,)))[0].split(" instead of ")) == 3, "one lane swam it"


def test_a_set_by_time_is_not_halved_until_nobody_swims_it():
    """2 minutes are enough for a 50 and its rest, 1 minute is not."""
    text = "title: A 1\npool: 25 m\n\nSkill set, for {} min\n  50 scull, rest 0:15\nMain set\n  2 x 100 on 2:30\n"
    squad = read_squad('[[lane]]\nbase = "1:30"\n')
    kinds = {far: [step.name for step in drafted(text.format(far), squad, lambda lane: 1.0).steps] for far in (2, 4)}
    assert "shorter 0" in kinds[4] and "shorter 0" not in kinds[2]


def drill_lines(body):
    """The lines of the page after `body`, those with a drill that was added as `+`; with the sections' names."""
    text = f"title: Turns 1\npool: 25 m\n\n{body}"
    page = next_of_plan(read_plan(text), read_squad('[[lane]]\nbase = "1:30"\n'), NOTHING, BOOK, TODAY)
    made = [line.text.strip() for line in page.lines() if line.text.strip() and ": " not in line.text]
    return ["+" if "drill" in line and line not in body else line for line in made]


@pytest.mark.parametrize(
    ("body", "wanted"),
    [
        ("400 choice\n8 x 100 free on 2:00\n200 choice\n", ["400 choice", "+", "8 x 100 free, on 2:00", "200 choice"]),
        ("8 x 100 free on 2:00\n200 choice\n", ["8 x 100 free, on 2:00", "+", "200 choice"]),
        ("8 x 100 free on 2:00\n", ["+", "8 x 100 free, on 2:00"]),
        (
            "400 choice\nrest 1:00\n4 x 50 scull, rest 0:20\n8 x 100 free on 2:00\n200 choice\n",
            ["400 choice", "rest 1:00", "4 x 50 scull, rest 0:20", "+", "8 x 100 free, on 2:00", "200 choice"],
        ),
    ],
)
def test_a_page_without_sections_gets_the_drill_between_warm_up_and_swim_down(body, wanted):
    assert drill_lines(body) == wanted


def test_a_long_warm_up_is_not_the_main_set():
    made = drill_lines("Warm-up\n  800 choice\n\nEndurance\n  4 x 100 free on 2:00\n")
    assert made == ["Warm-up", "800 choice", "Skill set", "+", "Endurance", "4 x 100 free, on 2:00"]


def test_a_page_that_was_not_swum_keeps_its_sets():
    _, text, squad = CORPUS[2]
    plan = read_plan(text.replace("pool:", "date: 2026-03-19 18:30\npool:", 1))
    page = next_of_plan(plan, squad, NOTHING, BOOK, TODAY)
    assert [step.name.split(" ")[0] for step in page.steps] == ["focus", "drill", "comment", "date"]
    assert page.plan().date == "2026-03-26 18:30" and page.plan().revisits == "Long-axis rotation 3"
    main = by_group(plan, squad.lanes).sections[2]
    assert next(one for one in page.plan().sections if one.name == "Main set") == main
    undated = next_of_plan(read_plan(text), squad, NOTHING, BOOK, TODAY)
    assert undated.steps[-1].name != "date" and not worst(undated)[Severity.STOPS]
    tight = read_plan("pool: 25 m\n\nMain set\n  A: 100\n")
    with pytest.raises(NoDraft, match="can't run"):
        next_of_plan(tight, read_squad(SQUAD), NOTHING, BOOK, TODAY)


def test_a_focus_comes_only_with_its_drill():
    """The booking has no room for the drill's set: then the coach's own focus stays."""
    _, text, squad = CORPUS[2]
    names = [step.name for step in drafted(text, squad, lambda lane: 1.0).steps]
    assert "focus" in names and any(name.startswith("drill ") for name in names)
    lines = [line if not line.startswith("booking:") else "booking: 40 min" for line in text.splitlines()]
    kept_focus = drafted("\n".join(lines) + "\n", squad, lambda lane: 1.0)
    names = [step.name for step in kept_focus.steps]
    assert "focus" not in names and not any(name.startswith("drill ") for name in names)
    assert kept_focus.plan().focus == read_plan(text).focus


def test_a_comment_about_the_last_page_is_left_out_and_told():
    text = "# For Kit: easy on the shoulder.\n" + ROUNDS.format(rounds="2 rounds", on="2:20").replace(
        "Main", "# in the outer lanes\nMain"
    )
    page = drafted(text, read_squad(SQUAD), lambda lane: 1.0)
    (number,) = [at for at, step in enumerate(page.steps, 1) if step.name == "comment"]
    said = "Left out the comment at the top, about the last plan: For Kit: easy on the shoulder."
    assert page.steps[number - 1].text == said
    assert "shoulder" not in page.text() and "# in the outer lanes" in page.text()
    assert page.text({number}).startswith("# For Kit: easy on the shoulder.\n")
    assert "comment" not in {step.name for step in page_of().steps}


def test_a_plan_named_after_its_day_is_followed_by_one_named_after_the_next():
    """A day is no number in a series: Monday 31 November, drafted from Monday 30 November, is no day."""
    text = "title: Monday 30 November\ndate: 2026-11-30\npool: 25 m\n\nMain set\n  4 x 100 free on 2:00"
    timeline = planned(read_plan(text), read_squad(SQUAD))[0]
    page = next_page(review_of(timed(timeline, lambda swim: None)), NOTHING, BOOK, date(2026, 12, 1))
    assert page.plan().title == "Monday 7 December" and page.plan().date[:10] == "2026-12-07"
    review = review_of(timed(timeline, lambda swim: None))
    taken = ["Monday 7 December", "Monday 7 December 2"]
    page = next_page(review, NOTHING, BOOK, date(2026, 12, 1), titles=taken)
    assert page.plan().title == "Monday 7 December 3"


def test_a_title_that_is_taken_is_passed_over():
    _, text, squad = CORPUS[2]
    timeline = planned(read_plan(text), squad)[0]
    review = review_of(timed(timeline, lambda swim: None))
    page = next_page(review, NOTHING, BOOK, TODAY, titles=["long-axis rotation 4", "Long-axis rotation 5"])
    assert page.plan().title == "Long-axis rotation 6" and page.plan().revisits == "Long-axis rotation 3"


SQUAD = '[[lane]]\nbase = "1:20"\nswimmers = 2\n[[lane]]\nbase = "1:40"\nswimmers = 2\n'
ROUNDS = """\
title: Rounds 1
pool: 25 m
booking: 60 min

Warm-up, easy
  200 choice
Main set, {rounds}
  4 x 100 free on {on}
Swim-down, easy
  100 choice
"""


def page_of(rounds="2 rounds", on="2:20", share=lambda lane: 1.0, book=EMPTY_BOOK, squad=SQUAD, now=None):
    return drafted(ROUNDS.format(rounds=rounds, on=on), read_squad(squad), share, book, now=now)


def said(page):
    """What the steps say, except the date."""
    return [step.text for step in page.steps if step.name != "date"]


def main_of(page):
    return next(section for section in page.plan().sections if section.name.startswith("Main"))


def test_a_round_more_where_everything_was_swum():
    page = page_of()
    assert said(page) == ["Main set, 3 rounds: all lanes swam all of it."]
    assert main_of(page).rounds == ByLane((3,))


def test_no_round_more_for_a_lane_that_was_slower():
    page = page_of(share=lambda lane: 1.05 if lane else 1.0)
    assert main_of(page).rounds == ByLane((3, 2))
    assert page.steps[0].text == "Main set, rounds 3 / 2: lane 1 swam all of it."


def test_no_round_more_where_the_booking_has_no_room():
    page = page_of(rounds="5 rounds")
    assert not [step for step in page.steps if step.name == "rounds"]


def test_as_many_rounds_as_were_swum_where_they_were_not_all():
    squad = read_squad(SQUAD)
    timeline = planned(read_plan(ROUNDS.format(rounds="3 rounds", on="2:20")), squad)[0]
    second = next(at for at, found in enumerate(timeline.tracks[1].passes) if (found.section, found.round) == (1, 3))
    leaves = timeline.tracks[1].sendoffs[timeline.tracks[1].passes[second].first]
    journal = [
        Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"),
        Missed(leaves - 1 * S, (1,)),
        Ended(timeline.end_ms + 60 * S),
    ]
    review = review_of(kept(timeline, journal))
    page = next_page(review, NOTHING, EMPTY_BOOK, TODAY)
    assert main_of(page).rounds == ByLane((4, 2))
    assert page.steps[0].text == "Main set, rounds 4 / 2: lane 1 swam all of it; lane 2 did not finish it."


def ended_at(find, plan=None, **more):
    """The next page after a session that the coach ended as lane 2 left on the first pass that `find` is true for."""
    squad = read_squad(SQUAD)
    timeline = planned(read_plan(plan or ROUNDS.format(rounds="3 rounds", on="2:20")), squad)[0]
    track = timeline.tracks[1]
    leaves = next(track.sendoffs[found.first] for found in track.passes if find(found))
    journal = [Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"), *more.get("entries", ()), Ended(leaves + more.get("by", -1))]
    return next_page(review_of(kept(timeline, journal)), NOTHING, more.get("book", EMPTY_BOOK), TODAY)


REPEATS = "title: Long 1\npool: 25 m\nbooking: 60 min\n\nWarm-up, easy\n  200 choice\nMain set\n  6 x 200 on 4:30\n"
FIT = ROUNDS.format(rounds="2-3 rounds", on="2:20")


@pytest.mark.parametrize("plan", [None, REPEATS, FIT], ids=["rounds", "repeats", "flexible"])
def test_a_main_set_that_nobody_began_is_kept_as_planned(plan):
    """Ended in the warm-up: that says nothing about what lanes can do."""
    page = ended_at(lambda found: found.section == 1, plan, by=-30 * S)
    assert said(page) == []
    assert page.notes == ("Main set: not swum last time, so it stays as planned.",)


@pytest.mark.parametrize("by", [-1, 30 * S], ids=["at the wall", "on the way"])
def test_a_main_set_that_the_end_cut_short_is_not_cut(by):
    """All lanes were swimming as planned until the session ended."""
    page = ended_at(lambda found: (found.section, found.round) == (1, 3), by=by)
    assert said(page) == []
    assert page.notes == ("Main set: the session ended before all lanes had finished it, so it isn't cut for that.",)


def test_a_lane_that_sat_the_main_set_out_keeps_its_rounds():
    squad = read_squad(SQUAD)
    timeline = planned(read_plan(ROUNDS.format(rounds="2 rounds", on="2:20")), squad)[0]
    journal = [Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"), LineLeftOut(-5 * S, 1, 1, (1,))]
    page = next_page(review_of(kept(timeline, [*journal, Ended(timeline.end_ms + 60 * S)])), NOTHING, EMPTY_BOOK, TODAY)
    assert main_of(page).rounds == ByLane((3, 2))
    assert said(page) == ["Main set, rounds 3 / 2: lane 1 swam all of it."]
    assert page.notes == ("Main set: lane 2 didn't swim it last time, so it isn't cut for that.",)


def test_rounds_without_a_set_that_the_coach_skipped_are_whole_but_bring_no_round_more():
    text = ROUNDS.format(rounds="3 rounds", on="2:20").replace("  4 x 100", "  2 x 50 kick on 1:30\n  4 x 100")
    timeline = planned(read_plan(text), read_squad(SQUAD))[0]
    skipped = [LineLeftOut((number - 5) * S, 1, 1, (0, 1)) for number in range(1)]
    end = Ended(timeline.end_ms + 60 * S)
    review = review_of(kept(timeline, [Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"), *skipped, end]))
    assert not [swim for swim in review.swims if (swim.section, swim.line) == (1, 1)]
    page = next_page(review, NOTHING, EMPTY_BOOK, TODAY)
    assert [text for text in said(page) if "Main set" in text] == []


def test_a_skill_set_that_was_not_swum_comes_before_the_next_drill():
    _, text, squad = CORPUS[2]
    timeline = planned(read_plan(text, squad.words), squad)[0]
    leaves = min(track.sendoffs[found.first] for track in timeline.tracks for found in track.passes if found.section)
    journal = [Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"), Ended(leaves - 60 * S)]
    page = next_page(review_of(kept(timeline, journal)), NOTHING, BOOK, TODAY)
    assert [step.name.split()[0] for step in page.steps] == ["comment", "date"]
    assert page.notes == (
        "Skill set: not swum last time, so it stays as planned.",
        "Main set: not swum last time, so it stays as planned.",
    )


@pytest.mark.parametrize(
    ("on", "share", "wanted", "said"),
    [
        # 6 % of 1:20 is 4.8 s, of 1:40 it is 6 s: never further than was swum, on marks of five seconds.
        ("2:20", {0: 0.93, 1: 1.0}, None, None),
        ("2:20 / 2:40", {0: 0.93, 1: 1.0}, (135_000, 160_000), "4 x 100: lane 1 on 2:15 instead of 2:20 (5."),
        ("2:20 / 2:40", {0: 1.0, 1: 1.045}, (140_000, 165_000), "lane 2 on 2:45 instead of 2:40 (4."),
        ("2:20 per 100 / 2:40 per 100", {0: 0.86, 1: 1.0}, (130_000, 160_000), "on 2:10 per 100 instead of 2:20"),
        # 10 % of 1:20 is 8 s, of 1:40 it is 10 s: the line's one entry moves by what the lane that gained least did.
        ("base+0:40", {0: 0.9, 1: 0.9}, (35_000,), "all lanes on base+0:35 instead of base+0:40 (lane 1 was 8 s"),
        ("base+0:40", {0: 0.9, 1: 1.0}, None, None),
        # One entry on top of each lane's own base: only the lane that was slower gets more of it.
        ("base+0:40", {0: 0.96, 1: 1.045}, (40_000, 45_000), "4 x 100: lane 2 on base+0:45 instead of base+0:40 (4."),
        ("base+0:40", {0: 1.06, 1: 1.045}, (45_000,), "all lanes on base+0:45 instead of base+0:40 (lane 1 was 4."),
        # One entry on the clock, where lanes leave together: all who move are named, the slow one is the reason.
        ("2:20", {0: 0.96, 1: 1.045}, (145_000,), "all lanes on 2:25 instead of 2:20 (lane 2 was 4."),
        ("base+0:40 / base+0:50", {0: 1.0, 1: 1.045}, (40_000, 55_000), "lane 2 on base+0:55 instead of base+0:50 (4."),
        ("base+0:10", {0: 0.85, 1: 0.85}, (5_000,), "on base+0:05 instead of base+0:10 (lane 1 was 12.1"),  # 5 s rest
    ],
)
def test_send_offs_move_by_what_was_swum(on, share, wanted, said):
    page = page_of(on=on, share=share.get)
    steps = [step for step in page.steps if step.name.startswith("on ")]
    if wanted is None:
        assert steps == []
        return
    (step,) = steps
    entries = main_of(page).items[0].interval.entries
    assert tuple(aim_of(one).amount_ms for (one,) in entries) == wanted
    assert said in step.text and "over 16 timed repeats" in step.text


def test_lanes_without_times_keep_their_time_on_top_of_the_base():
    """Three lanes share an entry; the third was slower, the second had no times."""
    squad = SQUAD + '[[lane]]\nbase = "1:50"\nswimmers = 2\n'
    timeline = planned(read_plan(ROUNDS.format(rounds="2 rounds", on="base+0:40")), read_squad(squad))[0]
    takes = {0: 1.0, 2: 1.06}
    swum = timed(timeline, lambda swim: round(swim.predicted_ms * takes[swim.lane]) if swim.lane in takes else None)
    page = next_page(review_of(swum), NOTHING, EMPTY_BOOK, TODAY)
    (step,) = [step for step in page.steps if step.name == "on 1"]
    assert step.text.startswith("4 x 100: lane 3 on base+0:50 instead of base+0:40 (6.")
    assert "on base+0:40 / base+0:40 / base+0:50" in page.text()
    before, after = (planned(page.plan(without), page.squad)[0] for without in ({page.steps.index(step) + 1}, ()))
    same = [lane for lane in range(3) if before.tracks[lane].sendoffs == after.tracks[lane].sendoffs]
    assert same == [0, 1]


@pytest.mark.parametrize(
    ("on", "share", "wanted", "said"),
    [
        # Lane 2 is 1:40 per 100 by its base: 2 % slower is 2 s, one mark later; both halves move, five apart as before.
        (
            "2:00 then 1:55",
            {0: 1.0, 1: 1.02},
            "2:05 then 2:00",
            "all lanes on 2:05 then 2:00 instead of 2:00 then 1:55 (lane 2",
        ),
        # 7 % faster than 1:20 is 5.6 s: one whole mark of five was swum.
        ("2:20 then 2:00 / 2:40", {0: 0.93, 1: 1.0}, "2:15 then 1:55 / 2:40", "lane 1 on 2:15 then 1:55 instead of"),
        # The second half leaves lane 1 five seconds already: nothing moves.
        ("2:00 then 1:25 / 2:40", {0: 0.93, 1: 1.0}, None, None),
        # Two forms: each by its own measure.
        ("2:20 then base+0:55", {0: 0.93, 1: 0.93}, "2:15 then base+0:50", "all lanes on 2:15 then base+0:50"),
    ],
)
def test_intervals_in_turn_move_as_a_whole(on, share, wanted, said):
    page = page_of(on=on, share=share.get)
    steps = [step for step in page.steps if step.name.startswith("on ")]
    if wanted is None:
        assert steps == []
        return
    (step,) = steps
    assert said in step.text
    assert f"on {wanted}" in page.text() and f"on {on}" in page.text({page.steps.index(step) + 1})


@pytest.mark.parametrize(
    ("hold", "share", "wanted", "said"),
    [
        # 3 % of 1:22 is 2.5 s: two whole seconds were swum. A lane that kept its target keeps it.
        ("1:22 / 1:42", {0: 0.97, 1: 1.0}, (80_000, 102_000), "lane 1 holds 1:20 instead of 1:22 (2.3 s faster than"),
        ("1:22 / 1:42", {0: 1.03, 1: 1.03}, (85_000, 105_000), "lane 1 holds 1:25 instead of 1:22 (2.6 s slower than"),
        ("1:22", {0: 0.97, 1: 1.0}, None, None),
        ("base+0:06", {0: 0.97, 1: 0.97}, (4_000,), "all lanes hold base+0:04 instead of base+0:06 (lane 1 was 2.7"),
        ("base+0:02", {0: 0.9, 1: 0.9}, (0,), "all lanes hold base+0:00 instead of base+0:02"),  # no less than the base
    ],
)
def test_targets_move_by_what_was_swum(hold, share, wanted, said):
    page = page_of(on=f"3:00, hold {hold}", share=share.get)
    steps = [step for step in page.steps if step.name.startswith(("on ", "hold "))]
    if wanted is None:
        assert steps == []
        return
    (step,) = steps
    line = main_of(page).items[0]
    assert tuple(aim_of(one).amount_ms for one in line.hold.entries) == wanted
    assert said in step.text and "than the target over 16 timed repeats" in step.text
    assert write_plan(page.plan({page.steps.index(step) + 1})).count(f"hold {hold}") == 1
    assert "on 3:00" in page.text(), "the send-off stays"


def test_a_new_base_is_not_counted_twice():
    """The squad's bases went down by the 5 % that were swum: `base+` has moved with them, `on 2:20` has not."""
    faster = read_squad(SQUAD.replace("1:20", "1:16").replace("1:40", "1:35"))
    assert not [
        step for step in page_of(on="base+0:40", share=lambda lane: 0.95, now=faster).steps if step.name == "on 1"
    ]
    assert not [
        step
        for step in page_of(on="3:00, hold base+0:06", share=lambda lane: 0.95, now=faster).steps
        if step.name == "hold 1"
    ]
    assert [
        step for step in page_of(on="2:20 / 2:40", share=lambda lane: 0.92, now=faster).steps if step.name == "on 1"
    ]
    partly = read_squad(SQUAD.replace("1:20", "1:19").replace("1:40", "1:39"))
    (step,) = [
        step for step in page_of(on="base+0:40", share=lambda lane: 0.9, now=partly).steps if step.name == "on 1"
    ]
    assert step.text == (
        "4 x 100: all lanes on base+0:35 instead of base+0:40 (lane 1 was 8 s faster than expected over 16 timed "
        "repeats; the new base already allows for part of it)."
    )


def test_a_send_off_is_not_moved_to_where_it_cannot_be_made():
    """On 1:25 a lane with a base of 1:20 has five seconds of rest by its base: faster times change its base first."""
    page = page_of(on="1:25 / 1:50", share={0: 0.93, 1: 1.0}.get)
    assert not [step for step in page.steps if step.name.startswith("on ")]


@pytest.mark.parametrize(
    ("rate", "taken", "wanted"), [("32-40", 41, "34-42"), ("32-40", 28, "30-38"), ("32-40", 36, "")]
)
def test_rates(rate, taken, wanted):
    text = ROUNDS.format(rounds="2 rounds", on="2:20").replace("free on", f"free rate {rate} on")
    timeline = planned(read_plan(text), read_squad(SQUAD))[0]
    starts = [timeline.tracks[0].sendoffs[found.first] for found in timeline.tracks[0].passes if found.section == 1]
    rates = [taps(starts[0] + at * S, taken) for at in (20, 40, 60)]
    review = review_of(timed(timeline, lambda swim: None, *rates))
    page = next_page(review, NOTHING, EMPTY_BOOK, TODAY)
    steps = [step.text for step in page.steps if step.name.startswith("rate")]
    assert steps == (
        [f"4 x 100: rate {wanted} instead of {rate} for everybody (3 rates of 1 swimmer averaged {taken})."]
        if wanted
        else []
    )


@pytest.mark.parametrize(
    ("late", "said"),
    [
        ((30, 36, 36), ""),  # one of three: the set stays as it is
        ((30, 42, 42), ""),  # nor does it get faster for the one who fell apart
        ((30, 30, 36), "the rates of 2 of 3 swimmers fell in the last 100"),
        ((30, None, None), "the rate of 1 of 1 swimmer fell in the last 100"),
    ],
)
def test_one_swimmer_who_falls_apart_slows_nobody_else(late, said):
    """Swimmers who swim 36 or, at 42, above the range; in the last 100 as given."""
    text = ROUNDS.format(rounds="2 rounds", on="2:20").replace("free on", "free rate 32-40 on")
    timeline = planned(read_plan(text), read_squad(SQUAD.replace("swimmers = 2", "swimmers = 3", 1)))[0]
    rates = []
    for place, last in enumerate(late):
        mine = [swim for swim in predicted(timeline) if (swim.lane, swim.place, swim.section) == (0, place, 1)]
        early = max(36, last or 0)
        for swim, rate in () if last is None else [(mine[0], early), (mine[3], early), (mine[-1], last)]:
            rates.append(replace(taps(swim.left_ms + 30 * S, rate), swimmer=place))
    review = review_of(timed(timeline, lambda swim: None, *sorted(rates, key=lambda one: one.at_ms)))
    assert len(review.falls) == late.count(30)
    steps = [step.text for step in next_page(review, NOTHING, EMPTY_BOOK, TODAY).steps if step.name.startswith("rate")]
    assert steps == ([f"4 x 100: rate 30-38 instead of 32-40 for everybody ({said})."] if said else [])


@pytest.mark.parametrize(("rate", "wanted"), [("32-34", "30-32"), ("30-32", "")])
def test_rates_that_always_fall_are_not_lowered_below_what_is_swum(rate, wanted):
    """36 and, in the last 100, 30: 33 on average, whatever the page asks for."""
    text = ROUNDS.format(rounds="2 rounds", on="2:20").replace("free on", f"free rate {rate} on")
    timeline = planned(read_plan(text), read_squad(SQUAD))[0]
    mine = [swim for swim in predicted(timeline) if (swim.lane, swim.place, swim.section) == (0, 0, 1)]
    taken = [(mine[0], 36), (mine[3], 36), (mine[-1], 30), (mine[-1], 30)]
    rates = [replace(taps(swim.left_ms + (20 + 20 * at) * S, one), swimmer=0) for at, (swim, one) in enumerate(taken)]
    review = review_of(timed(timeline, lambda swim: None, *rates))
    assert review.falls
    steps = [step.text for step in next_page(review, NOTHING, EMPTY_BOOK, TODAY).steps if step.name.startswith("rate")]
    assert [wanted in step for step in steps] == ([True] if wanted else [])


def test_the_fit_gets_a_round_more_to_choose_from_only_where_there_is_time_for_it():
    full = page_of(rounds="1 to 2 rounds")
    assert full.steps[0].text == "Main set, 1 to 3 rounds: all lanes swam all 2."
    tight = page_of(rounds="1 to 6 rounds")
    assert not [step for step in tight.steps if step.name == "rounds"]


def test_one_repeat_more_where_there_are_no_rounds():
    text = ROUNDS.format(rounds="X", on="2:20").replace(", X", "")
    page = drafted(text, read_squad(SQUAD), lambda lane: 1.0, EMPTY_BOOK)
    assert said(page) == ["5 x 100 instead of 4 x 100: all lanes swam all of it."]


def test_a_group_goes_as_its_slowest_lane_went():
    squad = "".join(f'[[lane]]\ngroup = "{group}"\nbase = "1:20"\n' for group in "AABB")
    page = page_of(rounds="rounds A 3 / B 2", on="2:20", share={0: 1.0, 1: 1.05, 2: 1.0, 3: 1.0}.get, squad=squad)
    assert main_of(page).rounds.entries == (3, 3) and "rounds A 3 / B 3" in page.text()
    assert page.steps[0].text == "Main set, rounds A 3 / B 3: lanes 3 and 4 swam all of it."


def test_it_runs_for_random_plans():
    tried = 0
    for seed in range(40):
        rng = random.Random(seed)
        text, squad = random_plan_text(rng, labelled=True), random_squad(rng, labelled=True)
        try:
            planned(read_plan(text, squad.words), squad)
        except CannotRun:
            continue
        page = drafted(text, squad, lambda lane, rng=rng: rng.choice([0.93, 1.0, 1.07]))
        tried += 1
        for without in (frozenset(), *(frozenset({number}) for number in range(1, len(page.steps) + 1))):
            assert not worst(page, without)[Severity.STOPS], (seed, without)
    assert tried > 20


def test_a_drill_may_take_the_time_of_a_section_that_is_swum_only_if_there_is_some():
    text = (
        ROUNDS.format(rounds="2 rounds", on="2:20")
        .replace("booking: 60", "booking: 36")
        .replace("Swim-down", "{}Swim-down")
    )
    squad = read_squad(SQUAD)
    page = drafted(text.format("Rate set, if time\n  1 x 300\n"), squad, lambda lane: 1.0, BOOK)
    at = next(number for number, section in enumerate(page.base.sections) if section.name == "Rate set")
    assert any(one.section == at for track in planned(page.base, squad)[0].tracks for one in track.passes)
    assert "drill" in {step.name.split()[0] for step in page.steps}
