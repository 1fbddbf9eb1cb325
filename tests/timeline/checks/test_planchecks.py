"""The findings of the checks: worst first, each on its line."""

from __future__ import annotations

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.livepage import LivePage
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.checks.planchecks import findings
from pacer.timeline.checks.remedies import fixes_of
from pacer.timeline.findings import CannotRun, Severity
from pacer.timeline.hazards import hazard_lines, warning_in
from pacer.timeline.timeline import build_timeline

SQUAD = """
[[lane]]
group = "A"
base = "1:15"
swimmers = 3
[[lane]]
group = "B"
base = "1:40"
"""


def found(lines: str, squad: str = SQUAD, header: str = "pool: 25 m"):
    plan = read_plan(f"{header}\nMain set\n" + "".join(f"  {line}\n" for line in lines.splitlines()))
    return findings(build_timeline(plan, read_squad(squad)))


def said(lines: str, **more) -> list[str]:
    return [f.message for f in found(lines, **more)]


def test_a_plan_that_works_has_no_findings():
    assert found("4 x 100 free, rest 0:20") == ()


def test_an_interval_that_cannot_be_made_names_the_nearest_that_can():
    (finding,) = found("4 x 100 free on 1:35")
    assert finding.severity is Severity.WRONG and finding.line == 3 and finding.lanes == (2,)
    assert finding.message == "too tight: the slowest swimmer needs 1:40, but has to leave every 1:35"
    assert finding.hint == "nearest that works: on 1:40; with rest: on 1:45"


def test_a_set_that_descends_is_judged_by_its_fastest_repeat():
    """Steady is 1.07 of 1:40, so 1:47; fast is 0.95, so 1:35."""
    (finding,) = found("4 x 100 free descend 1-4, on 1:45")
    assert finding.severity is Severity.REMARK and finding.lanes == (2,)
    assert finding.message == "no rest after a steady first repeat (1:47 on 1:45)"
    assert found("4 x 100 free descend 1-4, on 1:55") == ()
    (finding,) = found("8 x 100 free descend 1-4, on 1:30")
    assert finding.severity is Severity.WRONG and finding.lanes == (2,)
    assert finding.message.startswith("too tight: even the slowest swimmer's fastest repeat (repeat 4 of each 4)")
    assert finding.message.endswith(" takes 1:35, on 1:30")
    (finding,) = found("8 x 100 free ascend 1-4, on 1:30")
    assert "fastest repeat (repeat 1 of each 4)" in finding.message


def test_a_pyramid_that_descends_is_judged_by_the_fastest_repeat_of_each_distance():
    """The 150 comes in the middle: 1.01 of 2:30 is 2:32, which 2:00 does not allow, however easy the 50s are."""
    (finding,) = found("50 - 100 - 150 - 100 - 50 free descend 1-5, on 2:00")
    assert finding.severity is Severity.WRONG and finding.lanes == (2,)
    assert "fastest repeat (repeat 3) takes 2:32, on 2:00" in finding.message
    assert found("50 - 100 - 150 - 100 - 50 free descend 1-5, on 2:00 per 100") == ()


def test_each_lane_is_judged_by_its_own_interval_and_pace():
    """Fast is 0.95 of the base: 1:12 for 1:15, 1:35 for 1:40."""
    first, second = found("8 x 100 free descend 1-4, on 1:10 / 1:30")
    assert first.lanes == (1,) and "takes 1:12, on 1:10" in first.message
    assert second.lanes == (2,) and "takes 1:35, on 1:30" in second.message


def test_a_set_whose_parts_are_not_alike_is_judged_part_by_part():
    wrong = found("8 x 100 repeats 1-4 free / 5-8 kick, descend 1-4, on 1:45")
    assert [finding.severity for finding in wrong] == [Severity.WRONG] * 2  # the kick is too slow for both lanes
    assert {lane for finding in wrong for lane in finding.lanes} == {1, 2}


@pytest.mark.parametrize("interval, wrong", [("1:40", True), ("1:44", True), ("1:45", False)])
def test_rest_under_five_seconds_is_reported(interval, wrong):
    texts = [m for m in said(f"4 x 100 free on {interval}") if " s rest" in m]
    assert bool(texts) is wrong


def test_an_interval_off_the_clocks_marks_is_a_remark():
    (finding,) = found("4 x 100 free on 1:52")
    assert finding.severity is Severity.REMARK and finding.hint == "on 1:55 or 1:50"
    assert not found("4 x 100 free on 1:52", header="pool: 25 m\nclock: 0:02")


def test_waiting_longer_than_two_and_three_minutes():
    slow = '[[lane]]\nbase = "1:15"\n'
    (finding,) = found("2 x 100 free on 3:20", slow)
    assert finding.severity is Severity.REMARK and "2:05" in finding.message
    (finding,) = found("2 x 100 free on 4:30", slow)
    assert finding.severity is Severity.CARE and "and get cold" in finding.message
    assert not found("2 x 100 free on 3:15", slow)


def test_waiting_for_the_next_section_is_reported_at_the_line_before():
    plan = read_plan("pool: 25 m\nOne\n  4 x 200 / 100, rest 0:20\nTwo\n  50\n")
    assert findings(build_timeline(plan, default_squad())) == ()
    squad = read_squad('[[lane]]\nbase="1:40"\n[[lane]]\nbase="1:40"\n')
    (finding,) = findings(build_timeline(plan, squad))
    assert finding.lanes == (2,) and finding.line == 3 and "before the next section" in finding.message


def test_walls_and_lengths():
    assert said("3 x 25 free, rest 0:20") == ["ends at the far wall, away from the clock (3 lengths in all)"]
    (finding,) = found("4 x 25 free, rest 0:20")
    assert finding.severity is Severity.REMARK and "a repeat of 25 ends at the far wall" in finding.message
    (finding,) = found("4 x 60 free, rest 0:20")
    assert finding.severity is Severity.WRONG and finding.hint == "nearest: 50 or 75"
    assert any("changes in mid-pool, after 10 m" in m for m in said("4 x 50 as 10 kick / 40 free, rest 0:20"))
    assert said("3 x 100 free, rest 0:20", header="pool: 33 1/3 m") == [
        "ends at the far wall, away from the clock (9 lengths in all)"
    ]


def test_an_overrun_is_the_first_warning():
    texts = said("10 x 100 free, rest 0:20", header="pool: 25 m\nbooking: 10 min\nspare: 1:00")
    assert texts[0].startswith("lasts 19:40, 10:40 too long: 10:00 is booked, 1:00 of it kept free")


def test_gear_that_only_the_cue_mentions():
    (finding,) = found('4 x 50 free, rest 0:20 "fins on, hips high"')
    assert finding.hint == "add: with fins"
    assert not found('4 x 50 free, rest 0:20, with fins "fins on, hips high"')


def test_gear_needs_time_to_be_fetched():
    """400 at 1:40 per 100 takes 6:40: 0:10 is left. Fifteen seconds is our own choice; common practice, no source."""
    sets, squad = "  400 free on 6:50\n  6 x 50 kick, rest 0:20, with board\n", default_squad()
    (finding,) = findings(build_timeline(read_plan(f"pool: 25 m\nWarm-up\n{sets}"), squad))
    assert finding.line == 4 and finding.severity is Severity.REMARK
    assert finding.message == "only 0:10 to get board before this set"
    page = f"pool: 25 m\nWarm-up\n{sets}".split("\n")
    live = LivePage()
    (fix,) = fixes_of(finding, page, live.read(page), squad, live)
    assert fix.applied(page)[3:5] == ["  rest 0:30", "  6 x 50 kick, rest 0:20, with board"]
    assert not findings(build_timeline(read_plan("\n".join(fix.applied(page))), squad))


@pytest.mark.parametrize(
    "sets",
    [
        "6 x 50 kick, rest 0:20, with board",  # fetched before the start
        "400 free on 6:55\n  6 x 50 kick, rest 0:10, with board",
        "4 x 50 pull, rest 0:10, with board\n  6 x 50 kick, rest 0:10, with board",  # in hand already
        "200 free\nKick\n  6 x 50 kick, rest 0:10, with board",  # a changeover is long enough
    ],
)
def test_gear_that_there_is_time_for(sets):
    plan = read_plan(f"pool: 25 m\nWarm-up\n  {sets}\n")
    assert not [f for f in findings(build_timeline(plan, default_squad())) if "to get" in f.message]


def test_hard_repeats_want_a_rest():
    """Nobody sprints eight 50s without a stop: our own choice; common practice, no source."""
    (finding,) = found("8 x 50 free sprint")
    assert finding.severity is Severity.REMARK and finding.message.startswith("no rest between these repeats")
    page = ["pool: 25 m", "Main set", "  8 x 50 free sprint"]
    live = LivePage()
    (fix,) = fixes_of(finding, page, live.read(page), read_squad(SQUAD), live)
    assert fix.applied(page)[2] == "  8 x 50 free sprint, rest 0:15"
    assert not found("8 x 50 free sprint, rest 0:15")


@pytest.mark.parametrize(
    "line", ["8 x 50 free easy", "8 x 50", "400 free fast", "8 x 50 odd free fast / even free easy"]
)
def test_repeats_that_can_go_straight_on(line):
    assert not [message for message in said(line) if "no rest" in message]


def test_descend_that_changes_nothing():
    (finding,) = found("4 x 50 free easy, rest 0:20, descend 1-4")
    assert "descend does nothing" in finding.message


def test_at_most_says_what_it_skips():
    plan = read_plan("pool: 25 m\nWarm-up, at most 5 min\n  10 x 50 free, rest 0:10\n")
    (finding,) = findings(build_timeline(plan, default_squad()))
    assert (
        finding.line == 2
        and "doesn't fit in 5:00" in finding.message
        and "each loses 5 repeats at the end" in finding.message
    )


def test_worst_first_then_in_the_order_of_the_page():
    severities = [
        f.severity for f in found('4 x 100 free on 1:35\n4 x 25 free on 0:37\n25 free "underwater, no breath"')
    ]
    assert severities == sorted(severities) and severities[0] is Severity.HAZARD


@pytest.mark.parametrize("text", [
    "no breath", "25 no breathing", "hold your breath", "breath-hold", "breath control", "hypoxic 7-9-11",
    "underwater 25", "under water",
    "breathe every 7", "breathing every 3-5-7", "one breath per length", "don't breathe", "without breathing",
    "3 breaths", "apnea", "lung buster",
])  # fmt: skip
def test_breath_holding_is_flagged(text):
    assert "hyperventilation" in warning_in(text)


@pytest.mark.parametrize("text", [
    "breathe every 3", "breathe every 5", "breathe out under the arm", "easy breathing",
    "take a breath when you need it",
    "underwater recovery", "underwater pull", "six kicks, then roll", "breathe to both sides", "hold the line",
])  # fmt: skip
def test_ordinary_cues_are_not_flagged(text):
    assert warning_in(text) == ""


@pytest.mark.parametrize("text", ["dive start", "racing start from the blocks", "off the blocks"])
def test_dives_are_flagged(text):
    assert "taught to dive" in warning_in(text)


def test_hazard_lines_by_section_and_number():
    plan = read_plan('pool: 25 m\nOne\n  50\n  4 x 25 drill underwater kick, rest 0:30\nTwo\n  25 free "no breath"\n')
    assert hazard_lines(plan) == {(0, 2), (1, 1)}


def test_labels_without_a_lane_stop_the_plan():
    plan = read_plan("pool: 25 m\nOne\n  4 x 50 on A 1:00 / C 1:10\n")
    with pytest.raises(CannotRun) as caught:
        build_timeline(plan, read_squad(SQUAD))
    (finding,) = caught.value.findings
    assert finding.severity is Severity.STOPS and finding.line == 3 and finding.lanes == (2,)
    assert (
        "A, C" in finding.message
        and finding.hint == "give the lane one of these groups in the squad, or add a value to the set"
    )
    with pytest.raises(CannotRun) as caught:
        build_timeline(plan, read_squad('[[lane]]\nbase = "1:15"\n[[lane]]\nbase = "1:40"\n'))
    assert caught.value.findings[0].ways == (
        "lanes 1, 2 have no value: this set has values for A, C only; give the lanes a Group in the squad",
        "lanes 1, 2 have no value: this set has values for A, C only",
    )


def test_a_set_under_water_that_breaks_its_own_rules_says_so():
    def hint(line: str, swimmers: int) -> str:
        squad = read_squad(f'[[lane]]\nbase = "1:30"\nswimmers = {swimmers}\n')
        (finding,) = findings(build_timeline(read_plan(f"pool: 25 m\n\nMain set\n  {line}\n"), squad))
        return finding.hint

    for count, swimmers in ((3, "3 swimmers"), (1, "1 swimmer")):
        said = hint('4 x 50 free "no breath", rest 0:40', count)
        assert f"breaks the rules below: {swimmers}, 4 repeats each. Change it or leave it out; " in said
        assert "pass out" in said
    assert "pass out" in hint('50 free "no breath"', 1) and "breaks" not in hint('50 free "no breath"', 1)
    assert "breaks" not in hint('4 x 50 free "dive start", rest 0:40', 3), "these rules don't forbid it"
