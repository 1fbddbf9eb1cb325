"""When a plan of the shelf was last swum: by its title, or by its sets if that says nothing."""

from pacer.plan.library.plancards import card_of
from pacer.review.wasswum import LEAST_SWUM_MS, last_swum
from pacer.session.storage.savedsession import Listed

SETS = "\nMain set\n  4 x 100 free on 2:30\n"
OURS, OTHER = f"title: Ours\npool: 25 m\n{SETS}", "title: Other\npool: 25 m\n\n100 choice\n"


def swum(number, title, began_ms=None, took_ms=LEAST_SWUM_MS):
    began_ms = number * 1_000_000 if began_ms is None else began_ms
    return Listed(number, title, "25 m", began_ms, "", began_ms + took_ms, None, 2)


def when(texts, *sessions, plans=None):
    """When each plan was last swum, by its title, or by its file's name if the title is there twice."""
    cards = [card_of(name, text) for name, text in texts.items()]
    titles = [card.title for card in cards]
    called = {card.name: card.title if titles.count(card.title) == 1 else card.name for card in cards}
    made = last_swum(cards, sessions, lambda numbers: {n: (plans or {}).get(n, "") for n in numbers})
    return {called[name]: at_ms for (name, _), at_ms in made.items()}


def test_by_its_title_the_latest_that_counts():
    sessions = swum(2, "Ours"), swum(1, "Ours"), swum(3, "Ours", took_ms=5_000)
    assert when({"ours": OURS, "other": OTHER}, *sessions) == {"Ours": 2_000_000}


def test_a_plan_without_a_title_is_called_by_its_file():
    untitled = f"pool: 25 m\n{SETS}"
    assert when({"new-plan": untitled}, swum(1, "new-plan")) == {"new-plan": 1_000_000}


def test_an_older_session_without_a_title_is_known_by_its_sets():
    kept = "# from Thursday\npool:  25 m\nbooking: 60 min\n\nMain  set\n\n  4 x 100 free on 2:30  # even\n"
    texts = {"new-plan": f"pool: 25 m\n{SETS}", "other": OTHER}
    assert when(texts, swum(1, ""), plans={1: kept}) == {"new-plan": 1_000_000}
    assert when(texts, swum(1, ""), plans={1: "pool: 25 m\n\nMain set\n  4 x 50\n"}) == {}
    assert when({"empty": "pool: 25 m\n"}, swum(1, ""), plans={1: "pool: 25 m\n"}) == {}, "nothing is like nothing"


def test_a_plan_that_was_renamed_stays_swum_and_its_copy_is_not():
    renamed, copy = OURS.replace("Ours", "Theirs"), OURS.replace("Ours", "Ours, copy")
    assert when({"theirs": renamed}, swum(1, "Ours"), plans={1: OURS}) == {"Theirs": 1_000_000}
    assert when({"ours": OURS, "ours-copy": copy}, swum(1, "Ours"), plans={1: OURS}) == {"Ours": 1_000_000}


def test_a_renamed_plan_stays_swum_when_a_new_plan_has_its_old_title():
    renamed, new = OURS.replace("Ours", "Theirs"), OTHER.replace("Other", "Ours")
    texts = {"theirs": renamed, "ours": new}
    assert when(texts, swum(1, "Ours"), plans={1: OURS}) == {"Theirs": 1_000_000}
    assert when(texts, swum(1, "Ours"), swum(2, "Ours"), plans={1: OURS, 2: new}) == {
        "Theirs": 1_000_000,
        "Ours": 2_000_000,
    }


def test_a_plan_that_was_changed_since_is_known_by_its_title():
    assert when({"ours": OURS + "\n  100 choice\n"}, swum(1, "Ours"), plans={1: OURS}) == {"Ours": 1_000_000}


def test_of_two_plans_with_one_title_only_the_one_that_was_swum():
    texts = {"ours": OURS, "ours-2": OTHER.replace("Other", "Ours")}
    assert when(texts, swum(1, "Ours"), plans={1: OURS}) == {"ours": 1_000_000}
