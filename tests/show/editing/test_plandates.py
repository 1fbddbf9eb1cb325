"""Days as the shelf says them."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from pacer.plan.library.plancards import Card, card_of
from pacer.show.editing.plandates import title_of_today, when_said

NOW = datetime(2026, 3, 2, 18, 0)


def ms(at):
    return int(at.timestamp() * 1000)


def test_a_new_plan_is_named_after_its_day():
    assert title_of_today(ms(NOW)) == "Monday 2 March"


@pytest.mark.parametrize(
    ("ago", "said"), [(timedelta(hours=1), "swum today"), (timedelta(days=1), "last swum 1 March 2026")]
)
def test_a_plan_swum_this_evening_was_swum_today(ago, said):
    card = Card("one", "", "One", "", "25 m", None, (), 0, swum_ms=ms(NOW - ago))
    assert when_said(card, ms(NOW))[0] == said


def plan_of(planned):
    return card_of("a", f"title: A\ndate: {planned}\npool: 25 m\n  100")


def test_how_a_planned_day_is_said():
    plan = plan_of("2026-03-26 18:30")
    assert when_said(plan, ms(datetime(2026, 3, 20, 9))) == (
        "planned for Thursday 26 March 2026, 18:30",
        "planned Thu 26 Mar, 18:30",
        "planned Thu 26 Mar",
        "planned 26 Mar",
    )


def test_planned_comes_before_swum_until_it_was_swum_on_its_day():
    today, soon, gone = plan_of("2026-03-02 18:30"), plan_of("2026-03-04 18:30"), plan_of("2026-03-01 18:30")
    assert when_said(today, ms(NOW))[:2] == ("planned for today, 18:30", "planned for today")
    assert [way.split(" ")[0] for way in when_said(soon, ms(NOW))] == ["planned"] * 4
    before = replace(soon, swum_ms=ms(NOW - timedelta(days=7)))
    assert when_said(before, ms(NOW)) == when_said(soon, ms(NOW)), "swum before, planned again"
    assert when_said(gone, ms(NOW))[0].startswith("not swum on ")
    assert when_said(replace(today, swum_ms=ms(NOW)), ms(NOW))[0] == "swum today"
    assert when_said(Card("one", "", "One", "", "25 m", None, (), 0), ms(NOW)) == ("not swum yet",)
