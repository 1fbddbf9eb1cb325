"""A session looked back on without a window: offers taken into the squad's file, undone, times put back, histories."""

from dataclasses import replace

import pytest

from pacer.plan.library.shelf import Shelf
from pacer.review.learning.takenoffers import TakenOffers
from pacer.review.report.offerwords import offers_said
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.season.season import visits
from pacer.session.storage.store import StoreTrouble
from pacer.show.after.pastsession import PastSession
from pacer.squad.files.squadreader import read_squad
from pacer.squad.register.squadfolder import SquadFolder
from pacer.squad.squad import Pace
from tests.face.review.scene import ASSETS, NEXT, PLAN, keep, squad_text
from tests.review.learning.missedtouch import PLAN as AEROBIC
from tests.review.learning.missedtouch import SQUAD as ALONE
from tests.review.learning.missedtouch import missed_touch
from tests.review.season.stored import stored

DAY = "2026-03-22"  # a Sunday


@pytest.fixture
def lookback(tmp_path):
    store = keep(tmp_path)
    shelf = Shelf(tmp_path, sorted((ASSETS / "plans").glob("*.txt")))
    shelf.add(PLAN)
    shelf.add(NEXT)
    made = PastSession(store, SquadFolder(tmp_path, sorted((ASSETS / "squads").glob("*.toml"))), shelf, lambda: DAY)
    made.open(3)
    return made


def squad(lookback):
    """The squad as its file has it now."""
    return read_squad((lookback.squads.folder / "squads" / "thursday.toml").read_text(encoding="utf-8"))


def test_the_next_plan_is_the_one_that_revisits_this_one(lookback):
    assert lookback.next_plan.title == "Thursday threshold 2"
    lookback.shelf.put_away("thursday-threshold-2")
    assert lookback.next_plan.title == "Thursday threshold"


def test_an_offer_is_taken_into_the_squad_it_is_for_and_undone(lookback):
    lookback.squads.choose("masters")  # another one is in hand
    before = squad(lookback)
    first, second = lookback.offers[:2]
    assert (first.text, first.taken) == ("lane 1, base 1:14 instead of 1:16", False)
    assert first.evidence.startswith("22 timed repeats of swimmer 1, the lane's slowest, in 3 sets, ")
    assert any(line.startswith("lane 1, Main set, set 1: on 2:55 instead of 3:00") for line in first.change)
    assert lookback.take(first.key) == "" == lookback.take(second.key)
    assert lookback.accepted == "Accepted into Brackenmere Thursday, which is not today's squad."
    assert [row.taken for row in lookback.offers][:3] == [True, True, False]
    assert any("set 1: now on 2:55 (was 3:00)" in line for line in lookback.offers[0].change), "what it has changed"
    made = squad(lookback)
    assert made.lanes[0].base.ms == 74_000 and made.lanes[2].swimmers[0].base.ms == 89_000
    assert made.lanes[1] == before.lanes[1] and made.factors == before.factors
    assert lookback.undo(first.key) == ""
    assert squad(lookback).lanes[0] == before.lanes[0] and squad(lookback).lanes[2] == made.lanes[2]
    assert lookback.undo(second.key) == "" and squad(lookback) == before


def test_of_two_squads_of_one_title_the_current_one_takes_an_offer(lookback):
    squads, told = lookback.squads, squad_text()
    for name in ("aaa", "zzz"):  # as an import leaves them, on either side of the first in the list
        (squads.folder / "squads" / f"{name}.toml").write_text(told, encoding="utf-8")
        squads.read()
        squads.choose(name)
        lookback.open(3)
        key = lookback.offers[0].key
        assert lookback.take(key) == "" and lookback.accepted == "Accepted. The next session uses it."
        assert squads.roster(DAY).squad.lanes[0].base.ms == 74_000
        assert squad(lookback).lanes[0].base.ms == 76_000
        assert lookback.undo(key) == ""


def test_what_was_taken_is_known_the_next_day(lookback):
    key = lookback.offers[0].key
    assert lookback.take(key) == ""
    again = PastSession(lookback.store, SquadFolder(lookback.squads.folder), lookback.shelf, lambda: "2026-03-23")
    again.open(3)
    assert again.offers[0].taken and again.undo(key) == "" and squad(again).lanes[0].base.ms == 76_000


def test_what_was_changed_by_hand_since_is_not_undone(lookback):
    from pacer.squad.register.roster import with_base
    from pacer.squad.squad import Pace

    key = lookback.offers[0].key
    assert lookback.take(key) == ""
    squads = lookback.squads
    squads.keep("thursday", with_base(squads.roster(DAY, "thursday"), 0, Pace(70_000)), DAY)
    assert "squad has changed since then" in lookback.undo(key)
    assert squad(lookback).lanes[0].base.ms == 70_000


def test_a_time_is_put_back_and_left_out_again(lookback):
    rows = lookback.left_out
    assert rows and not any(row.back for row in rows)
    entry = rows[0].entry
    assert lookback.turn(entry) == ""
    assert [row.back for row in lookback.left_out if row.entry == entry] == [True]
    assert entry not in {ratio.swim.entry for one in lookback.reading.learned for ratio in one.left_out}
    assert lookback.turn(entry) == "" and lookback.left_out == rows


@pytest.fixture
def faster(tmp_path):
    """All of a lane were faster than written, but for one missed touch of Bram's."""
    store = stored(tmp_path, [(missed_touch(), 3)])
    (tmp_path / "squads").mkdir()
    (tmp_path / "squads" / "thursday.toml").write_text(ALONE, encoding="utf-8")
    shelf = Shelf(tmp_path, [])
    shelf.add(AEROBIC)
    made = PastSession(store, SquadFolder(tmp_path, []), shelf, lambda: DAY)
    made.open(1)
    return made


def offered(lookback, name):
    """The row of a swimmer's base."""
    return next(row for row in lookback.offers if row.text.startswith(f"{name}, base"))


def test_a_time_put_back_leaves_every_other_time_in_and_every_accepted_base_its_undo(faster):
    before, rows = squad(faster), faster.offers
    assert len(rows) == 3 and len(faster.left_out) == 1
    orla, kit, bram = (offered(faster, name) for name in ("Orla", "Kit", "Bram"))
    assert faster.take(orla.key) == "" == faster.take(bram.key)
    assert faster.turn(faster.left_out[0].entry) == ""
    assert [row.back for row in faster.left_out] == [True], "only the wrong time, and it counts"
    now = {row.key: row for row in faster.offers}
    assert now.keys() == {row.key for row in rows}
    assert now[orla.key].taken and now[orla.key].text == orla.text and not now[kit.key].taken
    assert now[bram.key].taken and now[bram.key].text == bram.text
    assert now[bram.key].evidence == "accepted (later times don't support it)"
    assert orla.change == ("no send-offs change in that plan",), "the slowest decides, not she"
    assert kit.change[0] == "lane 2, Main set, set 2: on 5:45 instead of 5:50"
    assert not any("about the same" in line for row in now.values() for line in row.change)
    assert faster.undo(bram.key) == "" and bram.key not in {row.key for row in faster.offers}
    assert faster.undo(orla.key) == "" and squad(faster) == before


def test_an_accepted_base_is_still_the_one_that_was_accepted_when_the_times_suggest_another(faster):
    orla = offered(faster, "Orla")
    faster.reading.offers = tuple(
        replace(offer, new=Pace(77_700)) if offer.key == orla.key else offer for offer in faster.reading.offers
    )
    assert faster.take(orla.key) == ""
    faster.open(1)
    row = offered(faster, "Orla")
    assert row.taken and row.text == "Orla, base 1:17.7 instead of 1:20"
    new = orla.text.removeprefix("Orla, base ").removesuffix(" instead of 1:20")
    assert row.evidence.startswith(f"accepted; the times now suggest {new}: 8 timed repeats in 2 sets")


def test_who_was_accepted_is_said_without_a_name_on_a_page_without_names(faster):
    bram = offered(faster, "Bram")
    assert faster.take(bram.key) == ""
    review = faster.reading.review
    taken = TakenOffers(faster.squads.folder).of_session(1)
    (said,) = offers_said(review, (), taken, ReviewNames(review))
    assert said.text == bram.text.replace("Bram", "lane 2, swimmer 2")


def test_a_time_put_back_counts_in_the_season(faster):
    def times():
        with faster.ledger.open() as ledger:
            return [visit.times for visit in visits(ledger, "Bram")["Bram"]]

    assert times() == [7]
    assert faster.turn(faster.left_out[0].entry) == ""
    assert times() == [8]


def test_a_disk_that_refuses_changes_nothing(lookback, monkeypatch):
    before, key = squad(lookback), lookback.offers[0].key
    monkeypatch.setattr("pacer.review.learning.takenoffers.write_whole", _refuse)
    assert "can't be saved" in lookback.take(key)
    monkeypatch.undo()
    monkeypatch.setattr("pacer.squad.register.squadfolder.write_whole", _refuse)
    assert "can't be saved" in lookback.take(key)
    monkeypatch.undo()
    assert squad(lookback) == before and not lookback.offers[0].taken


def _refuse(*_args, **_more):
    raise OSError(28, "No space left on device")


def test_histories_are_read_in_goes(lookback):
    goes = 0
    while lookback.read_on(0.0) and goes < 10:
        goes += 1
        if goes == 1:
            assert lookback.attendance == ()
        lookback.read_on(10.0)
    assert {one.name for one in lookback.attendance} >= {"Orla", "Bram"}
    sessions, *sets = lookback.history("Orla")
    assert sessions.heading == "Orla: 3 sessions" and len(sets) == 3
    assert [table.heading for table in lookback.season] == ["By month", "By week", "By starting lane", "By swimmer"]


def test_a_session_that_there_is_not(lookback):
    with pytest.raises(StoreTrouble, match="There is no session 9"):
        lookback.open(9)


def test_without_a_next_plan_nothing_is_promised(lookback):
    for card in lookback.shelf.cards():
        if card.title.startswith("Thursday"):
            lookback.shelf.put_away(card.name)
    lookback.open(3)
    assert lookback.next_plan is None
    assert [row.change for row in lookback.offers] == [()] * len(lookback.offers) != []
    assert squad_text()


def test_a_plan_that_this_version_cannot_run_is_told(lookback, monkeypatch):
    from dataclasses import replace

    kept = lookback.store.session(3)
    spoilt = replace(kept, session=replace(kept.session, plan="pool: 25 m\nMain set\n  4 x\n"))
    monkeypatch.setattr(type(lookback.store), "session", lambda store, number: spoilt)
    with pytest.raises(StoreTrouble, match="can't run the session's plan"):
        lookback.open(3)
