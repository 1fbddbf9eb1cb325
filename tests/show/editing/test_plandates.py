"""Days as the shelf says them."""

from datetime import datetime, timedelta

import pytest

from pacer.plan.library.plancards import Card
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
