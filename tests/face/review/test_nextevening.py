"""A coach's way from Thursday's review to next Thursday, on paper, in the calendar, and on the other tablet."""

import time

import icalendar
import pytest
from pypdf import PdfReader

from pacer.face.pages import filechooser
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.textbuffer import Spot
from pacer.review.exports.tabletarchive import export_archive, texts_of
from tests.face.coach import Coach
from tests.face.review.seriesscene import TUESDAY_MS, keep_series

pytestmark = pytest.mark.real_clock


def until(coach, found, frames=2_000):
    for _ in range(frames):
        coach.frame(10)
        if found():
            return
        time.sleep(0.01)
    raise AssertionError("it did not come")


def everything(coach):
    store = coach.office.store
    listed = [*store.sessions(), *store.sessions(hidden=True)]
    return export_archive([store.session(one.number) for one in listed], texts_of(coach.office.folder), True)


def step(name):
    """A place at which a picture is worth taking (`tests/face/walkshots.py`)."""


def walk(coach, other, step=step):
    """The whole way; `other` is a second tablet, `step(name)` is called at each place."""
    before = {card.name for card in coach.office.shelf.cards()}
    coach.office.log(3)
    coach.frame()
    coach.touch("Review")
    until(coach, lambda: coach.sees("Draft next plan"))
    step("1-review")
    coach.touch("Draft next plan")
    step("2-next-page")
    coach.touch("Save and open")
    page = coach.page
    (made,) = {card.name for card in coach.office.shelf.cards()} - before
    # Two lines are changed by hand.
    lines = page.draft.lines
    for words, other_words in (("300 choice", "  200 choice"), ("2 x 100 choice", "  200 choice, rest 0:10")):
        at = next(number for number, line in enumerate(lines) if words in line)
        page.go_to(at, 0)
        page.draft.go(Spot(at, len(lines[at])), choosing=True)
        page.pane.write(other_words)
        lines = page.draft.lines
    until(coach, lambda: page.reading.plan is not None)
    step("3-two-lines-changed")
    coach.touch("Close")
    text = coach.office.shelf.text(made)
    plan = read_plan(text)
    assert text.count("200 choice") == 2 and plan.date == "2026-03-26 17:00"
    step("4-plan")
    assert coach.sees("planned for Thursday 26 March 2026, 17:00")
    assert coach.sees("drafted from Long-axis rotation 3, Thursday 19 March 2026")
    coach.touch("PDF sheets")
    out = coach.office.folder / "out"
    until(coach, lambda: coach.page.card.says.startswith("3 PDF files saved"))
    step("5-sheets")
    sheets = {path.stem.rpartition("-")[2]: PdfReader(path) for path in out.glob("*.pdf")}
    assert set(sheets) == {"coach", "lanes", "register"} and len(sheets["lanes"].outline) == 6
    assert "200 choice" in sheets["coach"].pages[0].extract_text().replace("\n", " ")
    coach.office.season()
    until(coach, lambda: coach.page.loading.unread == 0)
    step("6-calendar")
    coach.page.press("day 2026-03-26")
    coach.frame()
    step("7-calendar-day")
    assert coach.sees(f"17:00, {plan.title}, planned")
    coach.office.move()
    coach.frame()
    coach.touch("Export calendar")
    until(coach, lambda: list(out.glob("*.ics")))
    (ics,) = out.glob("*.ics")
    events = icalendar.Calendar.from_ical(ics.read_bytes()).walk("VEVENT")
    assert [str(one["SUMMARY"]) for one in events if str(one["STATUS"]) == "TENTATIVE"] == [plan.title]
    coach.touch("Names: left out")
    coach.touch("Export")
    until(coach, lambda: list(out.glob("*.zip")))
    step("8-export")
    (archive,) = out.glob("*.zip")
    other.office.move()
    other.frame()
    other.page.take(archive.read_bytes(), archive.name)
    until(other, lambda: other.page.said)
    step("9-import-there")
    assert other.sees("Sessions: 3 new.") and other.sees(f"Plans: {plan.title}.")
    assert other.office.shelf.text(made) == text
    assert everything(other) == everything(coach), "byte for byte"
    other.office.home()
    other.frame(20)
    step("10-shelf-there")
    other.page.open_card(made)
    other.frame()
    assert other.sees("from the other tablet, 24 March")
    other.page.close_card()
    other.office.series()
    until(other, lambda: other.page.loading.unread == 0)
    step("11-series-there")
    return made


def test_everything_is_found_on_the_other_tablet(window, tmp_path, monkeypatch):
    monkeypatch.setattr(filechooser, "open_facade", lambda name: None)  # tablets without a chooser
    keep_series(tmp_path / "one")
    one = Coach(window, tmp_path / "one", wall_ms=TUESDAY_MS)
    one.window.remove_widget(one.office)
    two = Coach(window, tmp_path / "two", wall_ms=TUESDAY_MS)
    one.window.add_widget(one.office)
    try:
        walk(one, two)
    finally:
        two.leave()
        one.leave()
