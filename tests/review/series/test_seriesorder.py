"""The order of a series: by what pages revisit, else by their focus; against plain loops."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from pacer.plan.notation.planreader import read_plan
from pacer.review.series.seriesorder import SeriesPage, all_series

ASSETS = Path(__file__).parents[3] / "assets"
TITLES = [f"Page {n}" for n in range(8)]


def test_the_demo_series_is_in_its_order_whatever_the_shelfs():
    plans = [read_plan(path.read_text(encoding="utf-8")) for path in sorted((ASSETS / "plans").glob("*.txt"))]
    pages = [SeriesPage(plan.title, plan.focus, plan.revisits) for plan in plans]
    for order in (pages, pages[::-1], [*pages[2:], *pages[:2]]):
        (series,) = all_series(order)
        assert series.name == "Long-axis rotation"
        assert [page.title for page in series.pages] == [f"Long-axis rotation {n}" for n in (1, 2, 3, 4)]


def test_pages_that_revisit_nothing_go_by_their_focus():
    pages = [
        SeriesPage("Turns 10", "turns"),
        SeriesPage("Turns 9", "Turns"),
        SeriesPage("Sprint", "speed"),
        SeriesPage("No focus"),
        SeriesPage("", "turns"),
    ]
    found = all_series(pages)
    assert [[page.title for page in one.pages] for one in found] == [["Sprint"], ["Turns 9", "Turns 10"]]


def test_a_page_alone_joins_the_series_of_its_focus():
    pages = [SeriesPage("Extra", "balance"), SeriesPage("Roll 1", "balance"), SeriesPage("Roll 2", "roll", "Roll 1")]
    (series,) = all_series(pages)
    assert sorted(page.title for page in series.pages) == ["Extra", "Roll 1", "Roll 2"]


def test_swum_pages_come_before_those_that_were_not_and_by_their_dates():
    pages = [SeriesPage("A", "x"), SeriesPage("B", "x", first_ms=20), SeriesPage("C", "x", first_ms=10)]
    (series,) = all_series(pages)
    assert [page.title for page in series.pages] == ["C", "B", "A"]


def test_a_circle_is_put_in_order_once():
    pages = [SeriesPage("A", revisits="B"), SeriesPage("B", revisits="A"), SeriesPage("C", revisits="B")]
    (series,) = all_series(pages)
    assert [page.title for page in series.pages] == ["A", "B", "C"]


def test_two_series_of_one_name_are_called_by_their_first_pages():
    pages = [SeriesPage("Roll 1", "x"), SeriesPage("Roll 2", "y"), SeriesPage("Roll 3", "y")]
    assert [one.name for one in all_series(pages)] == ["Roll 1", "Roll 2"]


@given(st.lists(st.tuples(st.sampled_from(TITLES), st.sampled_from(["", *TITLES]), st.sampled_from(["", "x", "y"]))))
def test_every_page_is_in_one_series_after_what_it_revisits(rows):
    pages = [SeriesPage(title, focus, revisits) for title, revisits, focus in rows]
    found = all_series(pages)
    last = {page.key: page for page in pages}
    revisits = {key: page.revisits.casefold() for key, page in last.items() if page.revisits.casefold() != key}
    wanted = {key for key, page in last.items() if page.focus or revisits.get(key) or key in revisits.values()}
    places = {page.key: (at, place) for at, one in enumerate(found) for place, page in enumerate(one.pages)}
    assert set(places) == wanted and sum(len(one.pages) for one in found) == len(wanted)
    # Together what a walk along the revisits reaches, if both are pages.
    for key, before in revisits.items():
        if not before or before not in last:
            continue
        assert places[key][0] == places[before][0]
        seen, at = [key], before
        while at in last and at not in seen:
            seen.append(at)
            at = revisits.get(at, "")
        if at not in seen:  # no circle ahead
            assert places[before][1] < places[key][1]
