"""Plans on the shelf: this week's first, each series in its order, then the rest; every plan once."""

from dataclasses import replace
from datetime import datetime, timedelta

from pacer.plan.library.plancards import card_of
from pacer.plan.library.shelforder import OTHERS, THIS_WEEK, WEEK_MS, shelf_groups

NOW = 1_764_003_600_000


def card(title, changed_ms=0, swum_ms=None):
    made = card_of(title.casefold().replace(" ", "-"), f"title: {title}\npool: 25 m\n\nMain set\n  100\n", changed_ms)
    return replace(made, swum_ms=swum_ms)


def test_this_weeks_series_and_the_rest():
    cards = [
        card("Roll 10"),
        card("Sculls"),
        card("Roll 9"),
        card("Roll 2", swum_ms=NOW - WEEK_MS + 1),
        card("Turns 1", changed_ms=NOW - 1000),
        card("Dives 3"),
    ]
    groups = shelf_groups(cards, NOW)
    assert [(group.heading, [each.title for each in group.cards]) for group in groups] == [
        (THIS_WEEK, ["Roll 2", "Turns 1"]),
        ("Roll", ["Roll 9", "Roll 10"]),
        (OTHERS, ["Sculls", "Dives 3"]),
    ]
    assert sorted(each.name for group in groups for each in group.cards) == sorted(each.name for each in cards)


def test_a_demo_as_it_came_is_not_this_weeks_and_a_week_ends_after_seven_days():
    demo, old = card("Roll 1", changed_ms=NOW), card("Sculls", changed_ms=NOW - WEEK_MS)
    (group,) = shelf_groups([demo, old], NOW, lambda each: each is demo)
    assert group.heading != THIS_WEEK and set(group.cards) == {demo, old}
    assert shelf_groups([], NOW) == ()


def test_a_series_of_demos_as_they_came_is_called_so():
    demos, mine = [card("Roll 1"), card("Roll 2")], [card("Turns 1"), card("Turns 2")]
    headings = [group.heading for group in shelf_groups([*demos, *mine], NOW, lambda each: each in demos)]
    assert headings == ["Roll: sample plans", "Turns"]
    swum = replace(demos[0], swum_ms=NOW - 2 * WEEK_MS)
    assert [group.heading for group in shelf_groups([swum, demos[1]], NOW, lambda each: True)] == ["Roll"]


def test_what_is_planned_within_a_week_comes_first_the_next_one_on_top():
    today = datetime.fromtimestamp(NOW / 1000).date()

    def on(title, days, at=" 18:30"):
        made = card(title)
        return card_of(made.name, made.text.replace("pool:", f"date: {today + timedelta(days)}{at}\npool:"))

    later, soon, now, gone = on("Roll 9", 9), on("Roll 2", 2), on("Roll 1", 0), on("Roll 0", -1)
    swum = replace(on("Turns 1", 0), swum_ms=NOW - 1000)
    (week, rest) = shelf_groups([later, soon, swum, gone, now], NOW)
    assert week == (THIS_WEEK, (now, soon, swum)) and {each.title for each in rest.cards} == {"Roll 9", "Roll 0"}
