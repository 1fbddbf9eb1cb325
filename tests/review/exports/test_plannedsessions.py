"""Plans in the calendar file: an entry follows its plan to another day, title and file (RFC 5545)."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import UTC, date, datetime

import icalendar
import pytest

from pacer.plan.library.plancards import card_of
from pacer.plan.library.shelf import Shelf
from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.calendarfile import events_of, ics_text
from pacer.review.exports.lastexchange import drafted_plan, plans_known_by
from pacer.review.exports.tabletarchive import import_archive
from pacer.session.storage.hiding import hide
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.store import Store
from pacer.session.timezone import local_day
from pacer.show.after.origins import plan_origin
from pacer.show.after.tabletexports import archive, calendar, rename_plan
from tests.face.review.seriesscene import TUESDAY_MS, keep_series
from tests.review.made import ZERO_WALL_MS

PLAN = "title: {}\npool: 25 m\ndate: {}\n\nMain set\n  4 x 100 free, on 1:40\n"


class Tablet:
    """A tablet with plans; each writing is a minute after the one before."""

    def __init__(self, folder):
        self.store = Store(folder)
        self.store.open()
        self.shelf = Shelf(folder)
        self.at_s = 1_772_000_000

    def writes(self, name, title, day):
        self.shelf.keep(name, PLAN.format(title, day))
        self.at_s += 60
        os.utime(self.shelf.folder / "plans" / f"{name}.txt", (self.at_s, self.at_s))

    def entries(self):
        """The calendar as another program reads it, by the titles."""
        events = icalendar.Calendar.from_ical(calendar(self.store, self.at_s * 1000)).walk("VEVENT")
        assert len({str(event["UID"]) for event in events}) == len(events), "a UID belongs to one entry"
        return {str(event["SUMMARY"]): event for event in events}


@pytest.fixture
def tablet(tmp_path):
    return Tablet(tmp_path / "a")


def test_a_plan_that_moves_to_another_day_keeps_its_entry(tablet):
    tablet.writes("roll-5", "Roll 5", "2026-03-05")
    before = tablet.entries()["Roll 5"]
    assert tablet.entries()["Roll 5"] == before, "and nothing changes while the plan does not"
    assert before["DTSTAMP"].dt == datetime.fromtimestamp(tablet.at_s, UTC)
    tablet.writes("roll-5", "Roll 5", "2026-03-12")
    (after,) = tablet.entries().values()
    assert after["UID"] == before["UID"] and after["DTSTART"].dt == date(2026, 3, 12)
    assert after["SEQUENCE"] > before["SEQUENCE"] and after["DTSTAMP"].dt > before["DTSTAMP"].dt  # 3.8.7.4, 3.8.7.2


def test_what_was_exported_and_is_gone_is_cancelled(tablet):
    """An importing program keeps an entry that is only left out: RFC 5545, 3.8.1.11 and 3.8.7.4."""
    tablet.writes("roll-5", "Roll 5", "2026-03-05 18:30")
    tablet.writes("roll-6", "Roll 6", "2026-03-12")
    before = tablet.entries()
    assert {str(one["STATUS"]) for one in before.values()} == {"TENTATIVE"}
    tablet.at_s += 60
    tablet.shelf.put_away("roll-5")
    tablet.shelf.keep("roll-6", PLAN.format("Roll 6", "").replace("date: \n", ""))
    after = tablet.entries()
    for title, old in before.items():
        gone = after[title]
        assert (str(gone["STATUS"]), gone["UID"], gone["DTSTART"]) == ("CANCELLED", old["UID"], old["DTSTART"])
        assert gone["SEQUENCE"] > old["SEQUENCE"] and gone["DTSTAMP"].dt > old["DTSTAMP"].dt
    tablet.at_s += 3600
    assert tablet.entries() == after, "the same from then on"
    tablet.shelf.bring_back("roll-5")
    again = tablet.entries()
    assert str(again["Roll 5"]["STATUS"]) == "TENTATIVE" and str(again["Roll 6"]["STATUS"]) == "CANCELLED"
    assert again["Roll 5"]["SEQUENCE"] > after["Roll 5"]["SEQUENCE"], "it holds, though its file is as old as before"
    assert tablet.entries() == again


def test_what_was_never_exported_is_not_cancelled(tablet):
    tablet.writes("roll-5", "Roll 5", "2026-03-05")
    tablet.shelf.put_away("roll-5")
    assert tablet.entries() == {}
    (tablet.shelf.folder / "calendar.json").write_text("no JSON")
    assert tablet.entries() == {}, "a record that can't be read is none"


def test_a_plan_with_an_error_keeps_its_entry(tablet):
    tablet.writes("roll-5", "Roll 5", "2026-03-05")
    before = tablet.entries()["Roll 5"]
    tablet.shelf.keep("roll-5", PLAN.format("Roll 5", "2026-03-05") + "  4 x 0n\n")
    after = tablet.entries()["Roll 5"]
    assert (str(after["STATUS"]), after["SEQUENCE"]) == ("TENTATIVE", before["SEQUENCE"])


def test_a_session_that_is_deleted_is_cancelled_without_its_title(tmp_path):
    store = keep_series(tmp_path)
    before = icalendar.Calendar.from_ical(calendar(store, TUESDAY_MS)).walk("VEVENT")
    assert [str(one["STATUS"]) for one in before] == ["CONFIRMED"] * 3
    hide(store, 2)
    after = icalendar.Calendar.from_ical(calendar(store, TUESDAY_MS)).walk("VEVENT")
    assert [str(one["STATUS"]) for one in after] == ["CONFIRMED", "CANCELLED", "CONFIRMED"]
    assert after[1]["UID"] == before[1]["UID"] and str(after[1]["SUMMARY"]) == "Session"


def test_two_plans_of_one_title_have_an_entry_each(tablet):
    tablet.writes("roll-5", "Roll 5", "2026-03-05")
    tablet.writes("roll-5-2", "Roll 5", "2026-03-05")
    events = icalendar.Calendar.from_ical(calendar(tablet.store, 0)).walk("VEVENT")
    assert len({str(event["UID"]) for event in events}) == 2


def test_a_plan_keeps_its_entry_under_a_new_name_and_a_new_plan_gets_its_own(tablet):
    tablet.writes("roll-5", "Roll 5", "2026-03-05")
    first = tablet.entries()["Roll 5"]["UID"]
    assert rename_plan(tablet.shelf, "roll-5", "Roll six").name == "roll-six"
    assert tablet.entries()["Roll six"]["UID"] == first
    tablet.writes("roll-5", "Roll 5", "2026-03-19")
    second = tablet.entries()["Roll 5"]["UID"]
    assert tablet.entries()["Roll six"]["UID"] == first != second
    rename_plan(tablet.shelf, "roll-5", "Roll seven")
    rename_plan(tablet.shelf, "roll-six", "Roll 5")
    assert tablet.entries()["Roll seven"]["UID"] == second and tablet.entries()["Roll 5"]["UID"] == first
    archive(tablet.store, names=True)
    assert tablet.entries()["Roll seven"]["UID"] == second, "also after an export, which remembers what is there"


def test_an_import_renames_the_file_and_keeps_the_entry(tablet, tmp_path):
    other = Tablet(tmp_path / "b")
    tablet.writes("roll-5", "Roll 5", "2026-03-05")
    import_archive(other.store, read_archive(archive(tablet.store, names=True)), "2026-03-22")
    first = tablet.entries()["Roll 5"]["UID"]
    assert other.entries()["Roll 5"]["UID"] == first
    assert plan_origin(other.shelf.folder, "roll-5") == "from the other tablet, 22 March"
    rename_plan(tablet.shelf, "roll-5", "Roll six")
    import_archive(other.store, read_archive(archive(tablet.store, names=True)))
    assert other.entries()["Roll six"]["UID"] == tablet.entries()["Roll six"]["UID"] == first
    assert plans_known_by(other.shelf.folder, ["roll-six"]) == {"roll-six": "roll-5"}
    assert plan_origin(other.shelf.folder, "roll-six") == "from the other tablet, 22 March", "under its new name too"


def test_a_draft_says_what_it_was_drafted_from_until_it_is_gone(tablet):
    tablet.writes("roll-5", "Roll 5", "2026-03-05")
    drafted_plan(tablet.shelf.folder, "roll-5", "Roll 4, Thursday 26 February 2026")
    name = rename_plan(tablet.shelf, "roll-5", "Roll six").name
    archive(tablet.store, names=True)
    said = "drafted from Roll 4, Thursday 26 February 2026"
    assert plan_origin(tablet.shelf.folder, name) == said and plan_origin(tablet.shelf.folder, "roll-5") == ""


def events(session, *cards, plan=""):
    made = ics_text(events_of([session], cards, lambda numbers: {session.number: plan}))
    return icalendar.Calendar.from_ical(made).walk("VEVENT")


def test_a_session_on_its_day_takes_the_place_of_the_plan():
    day = local_day(ZERO_WALL_MS, "+00:00")
    card = card_of("roll-5", PLAN.format("Roll 5", day), ZERO_WALL_MS - 60_000)
    given_up = Listed(1, "Roll 5", "25 m", ZERO_WALL_MS, "+00:00", ZERO_WALL_MS + 19_000, 0, 4)
    (planned,) = events(given_up, card)
    assert str(planned["STATUS"]) == "TENTATIVE" and planned["DTSTART"].dt == date.fromisoformat(day)
    swum = replace(given_up, ended_ms=ZERO_WALL_MS + 120_000)
    (event,) = events(swum, card)
    assert str(event["STATUS"]) == "CONFIRMED", "two minutes count"
    assert event["UID"] == planned["UID"] and event["SEQUENCE"] > planned["SEQUENCE"]
    again = card_of("roll-5", PLAN.format("Roll 5", "2031-01-01"), ZERO_WALL_MS)
    event, later = events(swum, again)
    assert later["UID"] == planned["UID"] != event["UID"], "the plan is for another day again"


def test_a_plan_without_a_title_is_swum_under_the_name_of_its_file():
    day = local_day(ZERO_WALL_MS, "+00:00")
    card = card_of("roll-5", PLAN.format("", day).partition("\n")[2])
    (event,) = events(Listed(1, "roll-5", "25 m", ZERO_WALL_MS, "+00:00", ZERO_WALL_MS + 900_000, 0, 4), card)
    assert str(event["STATUS"]) == "CONFIRMED"


def test_a_plan_that_got_another_title_after_it_was_swum_is_not_planned_again():
    day = local_day(ZERO_WALL_MS, "+00:00")
    card = card_of("roll-six", PLAN.format("Roll six", day))
    swum = Listed(1, "Roll 5", "25 m", ZERO_WALL_MS, "+00:00", ZERO_WALL_MS + 900_000, 0, 4)
    (event,) = events(swum, card, plan=PLAN.format("Roll 5", day))
    assert str(event["STATUS"]) == "CONFIRMED"
