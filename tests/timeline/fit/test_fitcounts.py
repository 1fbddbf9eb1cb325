"""The fit: exact, by every tie rule, before a session and while it runs."""

import random
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Pace
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.deviation import Deviation
from pacer.timeline.fit.fitcounts import fit, fit_rest
from pacer.timeline.shape import up_to
from pacer.timeline.summary.roundsreport import rounds_json, rounds_report
from pacer.timeline.timeline import Timeline, build_timeline
from pacer.timeline.track import Track
from tests.reference.random_squads import meeting
from tests.timeline.fit.every_choice import best_of_all, crowded_page, least_counts, places, random_lanes, random_page

ASSETS = Path(__file__).parents[3] / "assets"
MINUTE = 60_000


def squad_of(*bases, swimmers=1, **more):
    """Lanes with these paces; `swimmers` is one number for all lanes or one for each."""
    many = swimmers if isinstance(swimmers, tuple) else (swimmers,) * len(bases)
    rows = [
        f'[[lane]]\nbase = "{base}"\nswimmers = {n}\n'
        + "".join(f"{k} = {v[i]}\n" for k, v in more.items() if v[i] is not None)
        for i, (base, n) in enumerate(zip(bases, many))
    ]
    return read_squad("\n".join(rows))


def page(*rows, head=""):
    return read_plan("pool: 25 m\n" + head + "\n" + "\n".join(rows) + "\n")


def size(plan, squad):
    made = 1
    for _, _, count in places(plan, squad):
        made *= count.most - count.least + 1
    return made


def check(found, best):
    """Compare the fit's result with the best of all choices."""
    counts, end, distances = best
    assert dict(found.counts) == counts
    assert (found.end_ms, list(found.distances)) == (end, distances)
    assert not found.over_ms


# -- against every choice ---------------------------------------------------------------------------


@pytest.mark.parametrize("block", range(8))
def test_against_every_choice(block):
    checked = 0
    for seed in range(block * 20, block * 20 + 20):
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(random_page(rng)), random_lanes(rng, 3 if seed % 4 == 0 else 2))
        if size(plan, squad) > 800:
            continue
        lanes = range(len(squad.lanes))
        least = build_timeline(plan, squad, least_counts(plan, squad)).end_ms
        most = build_timeline(
            plan, squad, {key: (count.most,) * len(lanes) for key, _, count in places(plan, squad)}
        ).end_ms
        limit = rng.randint(least - 20_000, max(least, most) + 20_000)
        best = best_of_all(Course(plan, squad, {}), limit)
        found = fit(plan, squad, end_ms=limit)
        if best is None:
            assert found.over_ms == least - limit > 0
            assert dict(found.counts) == least_counts(plan, squad)
            continue
        check(found, best)
        built = build_timeline(plan, squad, found.counts)
        assert built.end_ms == found.end_ms and [built.distance(lane) for lane in lanes] == list(found.distances)
        checked += 1
    assert checked >= 10


def crowded(seeds):
    """Check sessions with a crowded section against every choice, before they start and while they run."""
    fresh = rest = 0
    for seed in seeds:
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(crowded_page(rng)), random_lanes(rng, 1))
        if size(plan, squad) > 300:
            continue
        least = build_timeline(plan, squad, least_counts(plan, squad)).end_ms
        limit = least + rng.randint(-20_000, 8 * MINUTE)
        best, found = best_of_all(Course(plan, squad, {}), limit), fit(plan, squad, end_ms=limit)
        assert (best is None) == (found.over_ms > 0)
        if best is not None:
            check(found, best)
            fresh += 1
        if (way := on_the_way(rng, plan, squad)) is not None:
            course, entries, tracks, now, end = way
            limit = rng.randint((now + end) // 2, end + 120_000)
            best, found = best_of_all(course, limit, entries, tracks), fit_rest(course, entries, tracks, end_ms=limit)
            if best is not None:
                check(found, best)
                rest += 1
    return fresh, rest


def test_many_lines_with_a_choice_in_one_section_against_every_choice():
    fresh, rest = crowded(range(9000, 9120))
    assert fresh > 60 and rest > 40


def test_frozen_lines_against_every_choice():
    checked = 0
    for seed in range(1000, 1040):
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(random_page(rng)), random_lanes(rng))
        keys = [key for key, _, _ in places(plan, squad)]
        if not keys or size(plan, squad) > 400:
            continue
        frozen = frozenset({(keys[0][0], 1)})
        best = best_of_all(Course(plan, squad, {}), 20 * MINUTE, frozen=frozen)
        if best is not None:
            check(fit(plan, squad, end_ms=20 * MINUTE, frozen=frozen), best)
            checked += 1
    assert checked > 10


# -- each rule by itself --------------------------------------------------------------------------------


def rounds(found, section=0):
    return found.counts[section, None]


def test_the_greatest_distance_of_all_swimmers_comes_first():
    # One section can have eight more minutes: in the first, lane 1 with its one swimmer would swim 400 more, in the
    # second, the five of lane 2.
    plan = page(
        "First, 1 to 2 rounds",
        "  A: 4 x 100 free, on 2:00",
        "  B: 25 free, on 2:00",
        "",
        "Second, 1 to 2 rounds",
        "  A: 25 free, on 2:00",
        "  B: 4 x 100 free, on 2:00",
        head="changeover: 0:00\n",
    )
    squad = squad_of("1:00", "1:00", swimmers=(1, 5), group=('"A"', '"B"'), spacing=('"0:01"', '"0:01"'))
    # 7:00 to the common start, then 2 x 8:00 less the last 0:56 after the fifth swimmer left.
    found = fit(plan, squad, end_ms=7 * MINUTE + 15 * MINUTE + 4_000)
    assert (rounds(found), rounds(found, 1)) == ((1, 2), (2, 2))
    assert found.distances == (450, 850) and found.distance == 450 + 5 * 850
    crowded_first = squad_of("1:00", "1:00", swimmers=(5, 1), group=('"A"', '"B"'), spacing=('"0:01"', '"0:01"'))
    assert fit(plan, crowded_first, end_ms=22 * MINUTE + 30_000).distances == (850, 450)


def test_not_greedy():
    # A second round of the first section leaves no time for one of the second section, which is worth more.
    plan = page(
        "First, 1 to 2 rounds",
        "  2 x 100 free, on 5:00",
        "",
        "Second, 1 to 2 rounds",
        "  5 x 100 free, on 2:00",
        head="changeover: 0:00\n",
    )
    found = fit(plan, squad_of("1:40"), end_ms=30 * MINUTE)
    assert (rounds(found), rounds(found, 1)) == ((1,), (2,))
    assert found.distance == 1200


def test_the_last_section_is_not_rounded():
    # Ends at 1:40; the next mark for a start would be 2:00.
    plan = page("Main, 1 to 2 rounds", "  50 free, on 0:50", head="starts: 1:00\n")
    squad = squad_of("1:40")
    assert rounds(fit(plan, squad, end_ms=100_000)) == (2,)
    assert rounds(fit(plan, squad, end_ms=99_999)) == (1,)


def test_the_earliest_end_comes_second():
    # Equal distance either way; the second section's rounds take longer.
    plan = page(
        "First, 0 to 1 rounds",
        "  100 free, on 2:00",
        "",
        "Second, 0 to 1 rounds",
        "  100 back, on 2:30",
        head="changeover: 1:00\n",
    )
    found = fit(plan, squad_of("1:40"), end_ms=2 * MINUTE)
    assert (rounds(found), rounds(found, 1), found.end_ms) == ((1,), (0,), 100_000)


def test_then_the_first_lanes_distance():
    # Two more minutes give lane 1 100 in the first section, or lane 2 100 in the second; the end is the same.
    plan = page(
        "First, 1 to 2 rounds",
        "  100 free, on 2:00 / 10:00",
        "",
        "Second, 1 to 2 rounds",
        "  100 free, on 10:00 / 2:00",
        head="changeover: 0:00\n",
    )
    found = fit(plan, squad_of("1:40", "1:40"), end_ms=340_000)
    assert (rounds(found), rounds(found, 1), found.end_ms) == ((2, 1), (1, 1), 340_000)
    assert found.distances == (300, 200)


def test_then_the_shorter_time_of_each_lane():
    # Lane 1 can swim its 100 in two ways; the last touch of the session is lane 2's.
    plan = page("  A: 0 to 1 x 100 free, on 1:50", "  A: 0 to 1 x 100 back, on 1:50", "  B: 400 free")
    squad = squad_of("1:40", "2:00", group=('"A"', '"B"'))
    found = fit(plan, squad, end_ms=480_000)
    assert found.counts == {(0, 1): (1, 0), (0, 2): (1, 0)}
    plan = page(
        "Only one, at most 2 min", "  A: 0 to 1 x 100 back, on 2:00", "  A: 0 to 1 x 100 free, on 2:00", "  B: 25 free"
    )
    found = fit(plan, squad, end_ms=480_000)
    assert found.counts == {(0, 1): (0, 0), (0, 2): (1, 0)}, (
        "free is done sooner than back, though back is the earlier line"
    )


def test_then_more_rounds_and_then_more_of_the_earlier_line():
    # Two ways to 400: one round of four, two of two; the next section starts at the same time after both.
    plan = page(
        "Main, 1 to 2 rounds",
        "  2 to 4 x 100 free, on 2:00",
        "",
        "Last",
        "  25 free",
        head="starts: 10:00\nchangeover: 0:00\n",
    )
    found = fit(plan, squad_of("1:40"), end_ms=10 * MINUTE + 25_000)
    assert found.counts == {(0, None): (2,), (0, 1): (2,)}
    plan = page(
        "  0 to 2 x 50 free, on 1:00",
        "  0 to 2 x 50 free, on 1:00",
        "",
        "Last",
        "  25 free",
        head="starts: 3:00\nchangeover: 0:00\n",
    )
    found = fit(plan, squad_of("1:40"), end_ms=3 * MINUTE + 25_000)
    assert found.counts == {(0, 1): (2,), (0, 2): (1,)}


def test_counts_without_effect_stay_at_their_least():
    plan = page(
        "Main, 2 to 3 rounds",
        "  B: 2 to 4 x 50 free, on 1:00",
        "",
        "Short, at most 2 min",
        "  1 to 8 x 50 free, on 1:00",
    )
    squad = read_squad('[[lane]]\nbase = "1:40"\ngroup = "A"\n[[lane]]\nbase = "1:40"\ngroup = "B"\n')
    found = fit(plan, squad, end_ms=60 * MINUTE)
    assert {place: counts[0] for place, counts in found.counts.items()} == {(0, None): 2, (0, 1): 2, (1, 1): 2}
    assert found.counts[0, None][1] == 3 and found.counts[0, 1][1] == 4


def test_a_section_that_nobody_swims_takes_neither_time_nor_changeover():
    plan = page("Warm-up, if time", "  200 free", "", "Main", "  100 free", head="changeover: 5:00\n")
    found = fit(plan, squad_of("1:40", "1:50"), end_ms=110_000)
    assert rounds(found) == (0, 0) and found.end_ms == 110_000


def test_fixed_rounds_stay_within_what_the_plan_allows():
    plan = page("Main, 1 to 3 rounds", "  100 free, on 2:00")
    found = fit(plan, squad_of("1:20", "1:30", "1:40", rounds=(2, 9, None)), end_ms=7 * MINUTE)
    assert rounds(found) == (2, 3, 3)
    found = fit(plan, squad_of("1:20", "1:30", "1:40", rounds=(2, 9, None)), end_ms=4 * MINUTE)
    assert rounds(found) == (2, 3, 1) and found.over_ms == 330_000 - 240_000


def test_without_a_booking_every_count_is_the_least():
    found = fit(page("Main, 1 to 3 rounds", "  2 to 4 x 100 free"), squad_of("1:40"))
    assert found.counts == {(0, None): (1,), (0, 1): (2,)} and found.limit_ms is None and not found.over_ms


def test_booking_less_spare():
    plan = page("Main, 1 to 9 rounds", "  100 free, on 2:00", head="booking: 10 min\nspare: 1:00\n")
    assert rounds(fit(plan, squad_of("1:40"))) == (4,)
    assert rounds(fit(plan, squad_of("1:40"), booking_ms=20 * MINUTE)) == (9,)
    assert rounds(fit(plan, squad_of("1:40"), booking_ms=11 * MINUTE)) == (5,)


def test_nothing_is_added_to_a_hazard():
    plan = page(
        "Main, 1 to 3 rounds",
        '  2 to 6 x 25 free "no breath", on 1:00',
        "  1 to 2 x 50 free",
        "",
        "Rest, 1 to 3 rounds",
        "  50 free",
    )
    found = fit(plan, squad_of("1:40"), end_ms=60 * MINUTE)
    assert found.counts == {(0, None): (1,), (0, 1): (2,), (0, 2): (2,), (1, None): (3,)}
    assert found.frozen == {(0, 1)}
    free = fit(plan, squad_of("1:40"), end_ms=60 * MINUTE, frozen=frozenset())
    assert free.counts == {(0, None): (3,), (0, 1): (6,), (0, 2): (2,), (1, None): (3,)}


def test_lanes_run_on_independently():
    # Lane 2 runs on into the main set while lane 1 still has two rounds of warm-up: 5 min, 1:00, then 3 rounds more.
    plan = page(
        "Warm-up, 1 to 3 rounds, run on", "  100 free, on 2:00", "", "Main, 1 to 9 rounds", "  50 free, on 1:00"
    )
    squad = squad_of("1:00", "2:00")
    for limit in range(4 * MINUTE, 12 * MINUTE, 47_000):
        best = best_of_all(Course(plan, squad, {}), limit)
        if best is not None:
            check(fit(plan, squad, end_ms=limit), best)


# -- the Thursday plan -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def thursday():
    plan = read_plan((ASSETS / "plans" / "long-axis-rotation-3.txt").read_text(encoding="utf-8"))
    return plan, read_squad((ASSETS / "squads" / "thursday.toml").read_text(encoding="utf-8"))


def test_thursday(thursday):
    plan, squad = thursday
    found = fit(plan, squad)
    built = build_timeline(plan, squad, found.counts)
    assert built.end_ms == found.end_ms <= 60 * MINUTE
    assert found.counts[2, None] == (4, 4, 4, 4, 3, 3)
    # No lane could swim another round, whatever the others do.
    for lane in range(4, 6):
        alone = replace(
            squad, lanes=tuple(replace(each, rounds=4 if i == lane else 1) for i, each in enumerate(squad.lanes))
        )
        assert fit(plan, alone).over_ms > 0


def test_the_report(thursday):
    plan, squad = thursday
    report = rounds_report(fit(plan, squad))
    built = build_timeline(plan, squad, report.fit.counts)
    assert [(lane.lane, lane.distance, lane.end_ms) for lane in report.lanes] == [
        (lane.number, built.distance(i), built.tracks[i].end_ms) for i, lane in enumerate(squad.lanes)
    ]
    assert [lane.chosen[0].count for lane in report.lanes] == [4, 4, 4, 4, 3, 3]
    assert (
        sum(lane.distance * len(each.swimmers) for lane, each in zip(report.lanes, squad.lanes)) == report.fit.distance
    )
    for stands in report.stands:
        lane = [each.number for each in squad.lanes].index(stands.lane)
        track, gate = built.tracks[lane], built.gates[stands.section]
        touches = [e.at_ms for e in built.events(lane) if e.kind == "touch" and e.at_ms < gate]
        assert stands.wait_ms == gate - max(touches) - plan.changeover_ms
        assert track.starts[stands.section] == gate
    assert report.minute is None
    gain = report.next_gain
    assert fit(plan, squad, end_ms=60 * MINUTE + gain.extra_ms).distance - report.fit.distance == gain.distance > 0
    assert fit(plan, squad, end_ms=60 * MINUTE + gain.extra_ms - 1000).distance == report.fit.distance
    assert [lane.lane for lane in gain.lanes] == [5]
    text = report.text()
    assert text.startswith(
        "lasts 59:46, 0:14 less than 1:00:00: 53,400 m, all 26 swimmers added up\n"
        "lane 1: 2,200 m, Main set 4 rounds, in 58:07\n"
    )
    assert "one more minute adds nothing; with 2:46 more: lane 5 300 m more: 2,100 m, Main set 4 rounds" in text
    assert rounds_json(report)["lanes"][5]["chosen"] == (
        {"section": 2, "line": None, "count": 3, "least": 1, "most": 4},
    )


def test_the_report_of_a_session_that_is_too_long(thursday):
    plan, squad = thursday
    report = rounds_report(fit(plan, squad, booking_ms=30 * MINUTE))
    built = build_timeline(plan, squad)
    assert report.fit.over_ms == built.end_ms - 30 * MINUTE and report.next_gain is None
    assert sum(cost.takes_ms for cost in report.costs) == built.end_ms
    longest = report.costs[0]
    assert (longest.section, longest.lane, longest.line) == (1, 6, 1)
    assert longest.takes_ms == built.gates[2] - built.gates[1]
    assert "too long: even with the smallest counts it lasts 38:46, 8:46 more than 30:00" in report.text()
    assert "Skill set lasts 13:00; longest part: 6 x 50, 11:37 in lane 6" in report.text()


def test_the_report_on_one_more_minute():
    # A hundred every 1:30 and 1:00 to swim the last: the seventh ends at 10:00.
    plan, squad = page("Main, 1 to 9 rounds", "  100 free, on 1:30"), squad_of("1:00")
    report = rounds_report(fit(plan, squad, end_ms=9 * MINUTE + 59_000))
    assert report.text() == (
        "lasts 8:30, 1:29 less than 9:59: 600 m by 1 swimmer\n"
        "lane 1: 600 m, Main 6 rounds, in 8:30\n"
        "with one more minute: lane 1 100 m more: 700 m, Main 7 rounds"
    )
    assert (report.minute.distance, report.minute.lanes[0].chosen[0].count) == (100, 7)
    assert "all lanes already swim the most" in rounds_report(fit(plan, squad, end_ms=60 * MINUTE)).text()
    assert (
        rounds_report(fit(plan, squad))
        .text()
        .startswith("no booking, so every lane gets the smallest counts: lasts 1:00, 100 m")
    )


# -- properties --------------------------------------------------------------------------------------------


def test_more_booking_never_means_less_swimming():
    for seed in range(2000, 2030):
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(random_page(rng)), random_lanes(rng, 4))
        last = -1
        for limit in range(MINUTE, 25 * MINUTE, 53_000):
            found = fit(plan, squad, end_ms=limit)
            if not found.over_ms:
                assert found.distance >= last
                last = found.distance


def test_a_faster_base_never_ends_later_or_swims_less():
    for seed in range(3000, 3040):
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(random_page(rng)), random_lanes(rng, 3))
        if any(section.for_ms or section.at_most_ms for section in plan.sections):
            continue  # there a faster lane has time for more
        lane = rng.randrange(len(squad.lanes))
        quicker = Pace(squad.lanes[lane].base.ms - rng.choice((1, 500, 7_000)))
        lanes = list(squad.lanes)
        lanes[lane] = replace(
            lanes[lane], base=quicker, swimmers=tuple(replace(s, base=quicker) for s in lanes[lane].swimmers)
        )
        faster = replace(squad, lanes=tuple(lanes))
        counts = fit(plan, squad, end_ms=12 * MINUTE).counts
        before, after = build_timeline(plan, squad, counts), build_timeline(plan, faster, counts)
        for old, new in zip(before.tracks, after.tracks):
            assert new.end_ms <= old.end_ms and all(n <= o for n, o in zip(new.sendoffs, old.sendoffs, strict=True))
        if not fit(plan, squad, end_ms=12 * MINUTE).over_ms:
            assert fit(plan, faster, end_ms=12 * MINUTE).distance >= fit(plan, squad, end_ms=12 * MINUTE).distance


def test_a_lanes_own_factors_change_no_other_lane():
    plan = page(
        "Main, 1 to 6 rounds", "  4 x 50 as 25 drill / 25 back, rest 0:15", "  100 kick", head="booking: 30 min\n"
    )
    squad = squad_of("1:20", "1:30", "1:40", swimmers=4)
    own = replace(squad.lanes[1], factors={"drill": Fraction(2), "kick": Fraction(3)})
    other = replace(squad, lanes=(squad.lanes[0], own, squad.lanes[2]))
    before, after = fit(plan, squad), fit(plan, other)
    assert after.counts[0, None][1] < before.counts[0, None][1]
    for lane in (0, 2):
        assert after.distances[lane] == before.distances[lane]
        assert build_timeline(plan, other, after.counts).events(lane) == build_timeline(
            plan, squad, before.counts
        ).events(lane)


# -- running sessions-----------------------------------------------------------------------------------------


def cut(track, now_ms):
    """What a lane has swum by an instant, as if it had been stopped there."""
    made = track.copy()
    kept = made.index_at(now_ms) + 1
    del made.sendoffs[kept:], made.pass_of[kept:]
    while made.passes and made.passes[-1].first >= kept:
        made.passes.pop()
    made.end_ms = 0
    if made.passes:
        last = made.passes[-1]
        made.passes[-1] = last._replace(count=kept - last.first)
        made.end_ms = min(now_ms, made.sendoffs[-1] + last.laneline.times(last.skipped + kept - 1 - last.first, 0)[-1])
    return made


def on_the_way(rng, plan, squad):
    """A running session.

    Its course, where lanes enter it, what they have swum, and now; None if there is nothing to fit.
    """
    present = {}
    for key, lane, count in places(plan, squad):
        present.setdefault(key, list(least_counts(plan, squad)[key]))[lane] = rng.randint(count.least, count.most)
    present = least_counts(plan, squad) | {key: tuple(values) for key, values in present.items()}
    timeline = build_timeline(plan, squad, present)
    now = rng.randint(0, timeline.end_ms)
    leave = up_to(now + 5_000, plan.clock_ms)
    entries, tracks = {}, []
    for lane, track in enumerate(timeline.tracks):
        tracks.append(cut(track, now))
        following = track.index_at(now) + 1
        at_ms = leave if rng.random() < 0.7 else up_to(leave + rng.randint(0, MINUTE), plan.clock_ms)
        if following < len(track.sendoffs):
            found = track.pass_at(following)
            ordinal = found.ordinal + following - found.first
            began = track.starts.get(found.section) if ordinal else None
            entries[lane] = TakeUp(found.section, ordinal, at_ms, began, exact=rng.random() < 0.5)
        elif rng.random() < 0.5 and track.passes:  # has done everything, but may get more
            found = track.passes[-1]
            entries[lane] = TakeUp(found.section, found.ordinal + found.count, at_ms, track.starts.get(found.section))
    return (Course(plan, squad, present), entries, tuple(tracks), now, timeline.end_ms) if entries else None


@pytest.mark.parametrize("block", range(6))
def test_the_rest_of_a_session_against_every_choice(block):
    checked = 0
    for seed in range(5000 + block * 25, 5025 + block * 25):
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(random_page(rng)), random_lanes(rng))
        if size(plan, squad) > 400 or (way := on_the_way(rng, plan, squad)) is None:
            continue
        course, entries, tracks, now, end = way
        limit = rng.randint((now + end) // 2, end + 120_000)
        best = best_of_all(course, limit, entries, tracks)
        found = fit_rest(course, entries, tracks, end_ms=limit)
        if best is None:
            assert found.over_ms > 0
            continue
        check(found, best)
        checked += 1
    assert checked >= 8


def test_the_rest_with_changes_made_on_deck():
    """Lanes with added repeats or rounds, another interval, or another lane's page.

    The session ends when the fit says.
    """
    checked = 0
    for seed in range(7000, 7060):
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(random_page(rng)), random_lanes(rng))
        if (way := on_the_way(rng, plan, squad)) is None:
            continue
        course, entries, tracks, _, end = way
        section = rng.choice(list(entries.values())).section
        changed = rng.choice(
            [
                Deviation().with_rounds(0, section, rng.choice((-1, 1))),
                Deviation().with_interval(0, section, 1, 70_000),
                Deviation().with_leader(len(squad.lanes) - 1, 0),
            ]
        )
        course = course.but(deviation=changed)
        found = fit_rest(course, entries, tracks, end_ms=end + 60_000)
        small = changed.intervals and size(plan, squad) <= 400
        if small and (best := best_of_all(course, end + 60_000, entries, tracks)) is not None:
            check(found, best)
        laid = tuple(Track() for _ in squad.lanes)
        for track, before in zip(laid, tracks):
            track.end_ms = before.end_ms
        course.but(counts=found.counts).lay(laid, entries, {})
        timeline = Timeline(plan, squad, found.counts, laid, {})
        assert max(laid[lane].end_ms for lane in entries) == found.end_ms
        assert [timeline.distance(lane) for lane in range(len(laid))] == list(found.distances)
        checked += not found.over_ms
    assert checked > 20


def test_a_late_start_and_a_fixed_end():
    plan = page(
        "Warm-up",
        "  4 x 50 free, on 1:00",
        "",
        "Main, 1 to 5 rounds",
        "  4 x 100 free, on 2:00",
        "",
        "Swim-down",
        "  100 easy",
    )
    squad = squad_of("1:20", "1:40")
    whole = fit(plan, squad, end_ms=40 * MINUTE)
    start = dict.fromkeys((0, 1), TakeUp(0, 0, 7 * MINUTE))
    late = fit_rest(Course(plan, squad, whole.counts), start, (Track(), Track()), end_ms=40 * MINUTE)
    assert late.end_ms <= 40 * MINUTE and late.distance < whole.distance
    assert late.counts == fit(plan, squad, end_ms=33 * MINUTE).counts
    # In the third round of the main set: rounds that have begun stay.
    timeline = build_timeline(plan, squad, whole.counts)
    gate = timeline.gates[1]
    start = dict.fromkeys((0, 1), TakeUp(1, 9, gate + 18 * MINUTE, gate))
    soon = fit_rest(Course(plan, squad, whole.counts), start, timeline.tracks, end_ms=gate + 20 * MINUTE)
    assert soon.counts[1, None] == (3, 3) and soon.over_ms > 0


def test_nothing_left_to_choose():
    plan = page("Main", "  4 x 50 free, on 1:00")
    course = Course(plan, squad_of("1:40"), {})
    assert fit_rest(course, {}, (Track(),), end_ms=MINUTE).distances == (0,)
    assert fit_rest(course, {0: TakeUp(1, 0, 0)}, (Track(),), end_ms=MINUTE).counts == {}


# -- too many choices to try them all -----------------------------------------------------------------------


def six_that_run_on():
    rows = [
        row for n in range(1, 7) for row in (f"S{n}, 1 to 10 rounds, run on", f"  1 to 8 x 25 free, rest 0:0{n}", "")
    ]
    squad = squad_of("1:18", "1:25", "1:32", "1:39", "1:46", "1:53", swimmers=(3, 4, 5, 3, 4, 5))
    return page(*rows, head="booking: 90 min\n"), squad


def test_six_sections_that_run_on_are_fitted_exactly():
    found = fit(*six_that_run_on())
    assert found.missed is None and found.steps < 300_000
    assert (found.end_ms, found.distances) == (5_399_750, (5050, 5000, 4825, 4225, 4175, 3850))


@pytest.mark.parametrize("head, rows", [
    ("Kick, for 20 min", ["  1 to 8 x 100 free, on 2:30"] * 6),
    ("Kick, at most 20 min", ["  rest 1:00", "  3 rounds", "    1 to 6 x 50 free, rest 0:05"] * 6),
    ("Main set", ["  3 rounds", *["    1 to 4 x 50 free, rest 0:05"] * 9, "  2 x 100 free, on base+0:05"]),
    ("Main set", ["  1 to 999 x 50 free, on 1:10", "  25 kick, hold 1:10"] * 5),
])  # fmt: skip
def test_many_lines_with_a_choice_in_one_section_are_fitted_exactly(head, rows):
    found = fit(page(head, *rows, head="booking: 40 min\n"), squad_of("1:30"))
    assert found.missed is None and not found.over_ms and found.steps < 200_000


def test_a_fit_cut_short_misses_no_more_than_it_says(monkeypatch):
    plan, squad = six_that_run_on()
    exact = fit(plan, squad)
    monkeypatch.setattr("pacer.timeline.fit.fitcounts.EXACT", 50_000)
    found = fit(plan, squad)
    assert found.over_ms == 0 and found.distance <= exact.distance <= found.distance + found.missed
    assert found.distance > 0.95 * exact.distance
    assert fit(plan, squad) == found
    said = rounds_report(found).text()
    assert "this is the best found so far; another could add at most" in said
    assert "what more time would add takes too long" in said


def test_small_fits_cut_short_miss_no_more_than_they_say(monkeypatch):
    cut = 0
    for seed in range(300):
        rng = random.Random(seed)
        plan, squad = meeting(read_plan(random_page(rng)), random_lanes(rng, 3))
        limit = rng.randint(3, 20) * MINUTE
        exact = fit(plan, squad, end_ms=limit)
        with monkeypatch.context() as less:
            less.setattr("pacer.timeline.fit.fitcounts.EXACT", rng.choice((0, 50)))
            less.setattr("pacer.timeline.fit.fitcounts.GOOD", rng.choice((0, 1_000, 100_000)))
            found = fit(plan, squad, end_ms=limit)
        if exact.over_ms or found.missed is None:
            continue
        cut += 1
        assert found.over_ms == 0 and found.distance <= exact.distance <= found.distance + found.missed
    assert cut > 50
