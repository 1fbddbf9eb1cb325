"""The cautions say the limits that the checks hold."""

from __future__ import annotations

from pacer.plan.times import MINUTE_MS
from pacer.session.cautions import CAUTIONS
from pacer.timeline.restlimits import COLD_MS


def test_children_get_cold_after_the_time_that_a_wait_is_checked_for():
    minutes, left = divmod(COLD_MS, MINUTE_MS)
    assert left == 0, "the cautions say whole minutes"
    (children,) = (caution for caution in CAUTIONS if caution.about == "Children")
    assert f"for {minutes} minutes" in children.text and f"after {minutes} minutes" in children.brief
