"""Fixes tried before they are offered: taken one after another they lead to no warning that wasn't there before."""

from __future__ import annotations

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.findings import CannotRun, Severity
from pacer.timeline.summary.planned import all_findings, planned
from pacer.timeline.summary.triedfixes import offers_for

#: A coach's first plan, as it was written with the stopwatch running; the kick is too tight for two lanes.
PAGE = """\
pool: 25 m
booking: 60 min

Warm-up
  300 free easy
  4 x 50 drill / swim, rest 0:15
Kick set
  5 x 50 kick, on 1:15
Main set
  8 x 100 free, on 1:40 / 1:50 / 2:00 / 2:20 / 2:35
  4 x 50 max, on 1:30
  200 pull
Swim-down
  200 choice
""".splitlines()
SQUAD = read_squad(
    "".join(f'[[lane]]\nbase = "{base}"\nswimmers = 5\n' for base in ("1:18", "1:26", "1:35", "1:57", "2:05"))
)


def checked(lines):
    return all_findings(planned(read_plan("\n".join(lines)), SQUAD)[0])


def about(words, lines=PAGE):
    """The findings of the first line about which that is said."""
    found = checked(lines)
    line = next(each.line for each in found if words in each.message)
    return [each for each in found if each.line == line]


def test_one_touch_mends_what_is_too_tight_and_still_ends_in_time():
    together = offers_for(about("too tight"), PAGE, SQUAD).together
    assert together is not None
    after = checked(together.applied(PAGE))
    assert not [each for each in after if each.severity <= Severity.WRONG], "nothing too tight, nothing too late"
    assert "on 1:15 / 1:15 / 1:15 / 1:30 / 1:40" in together.says and "becomes" in together.says, "it says both"


@pytest.mark.parametrize("words", ["too tight", "swimmers wait"])
def test_no_fix_brings_a_finding_as_grave_as_the_one_it_mends(words):
    found = about(words)
    offers = offers_for(found, PAGE, SQUAD)
    assert all(offers.fixes)
    for finding, fixes in zip(found, offers.fixes):
        for fix in fixes:
            grave = [each for each in checked(fix.applied(PAGE)) if each.severity <= finding.severity]
            assert len(grave) <= sum(each.severity <= finding.severity for each in checked(PAGE)), fix.says
            assert not any("too long" in each.message or "0 s rest" in each.message for each in grave), fix.says


def test_if_every_fix_brings_something_it_is_said():
    """A booking that is nearly full, and no repeats that could be cut: another interval ends too late."""
    page = ["pool: 25 m", "booking: 8 min", "", "Main set", "  400 free, on 5:50", "  100 easy"]
    squad = read_squad('[[lane]]\nbase = "1:40"\n')
    found = all_findings(planned(read_plan("\n".join(page)), squad)[0])
    tight = [each for each in found if "too tight" in each.message]
    says = [fix.says for fix in offers_for(tight, page, squad).fixes[0]]
    assert says and all("; then: lasts" in each and "too long" in each for each in says), says


def test_a_plan_that_cannot_run_keeps_its_fixes_untried():
    page = ["pool: 25 m", "", "Main set", "  A: 4 x 50 free, on 2:00"]
    with pytest.raises(CannotRun) as error:
        planned(read_plan("\n".join(page)), SQUAD)
    assert any(offers_for(error.value.findings, page, SQUAD).fixes)
