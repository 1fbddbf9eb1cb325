"""The server with real sockets: who gets in, what they get, and what helpers do counts once and where it belongs."""

from __future__ import annotations

import asyncio
import contextlib
import json
import socket
import threading
import time
from dataclasses import replace
from types import SimpleNamespace

import pytest
from websockets.exceptions import ConnectionClosed, InvalidHandshake, InvalidStatus

from pacer.plan.notation.planreader import read_plan
from pacer.screens.cardmaking import card_list
from pacer.screens.screensfile import kept_screens
from pacer.screens.webgate import REFUSED_S
from pacer.session.journal.entries import Begun, Paused, Resumed, Stopped, SwimmerChanged, SwimmerJoined
from pacer.session.journal.recordentries import Rated, Touched
from pacer.session.records.touches import due, tenths, touched
from pacer.session.storage.keeper import begin, carry_on
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.store import Store
from pacer.session.timesource import Now
from pacer.show.drive.driver import Driver
from pacer.show.drive.journalwriter import OnDisk
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline
from tests.screens.hall import (
    OTHER,
    PATIENT,
    PATIENT_S,
    PHONE,
    PLAN,
    driver,
    hall,
    kept_says,
    now_ms,
    own_ports,
    screen,
    until,
)
from tests.screens.shown import in_force, unpacked

pytestmark = pytest.mark.real_clock

THIRD = "00000000000000ff"


async def framed(screens, coroutine):
    """Await something while the session's thread draws its frames."""
    counted = []

    async def frames():
        while True:
            screens.driver.settle()
            counted.extend(screens.frame())
            await asyncio.sleep(0.01)

    drawing = asyncio.create_task(frames())
    try:
        return await coroutine, counted
    finally:
        drawing.cancel()


async def helping(screens, one, name=PHONE, since_ms=0):
    """Join by the key of the QR code, be approved, and pick lane 0; as if that were long ago."""
    told = await one.join(name=name, key=screens.scanned.partition("#")[2])
    await one.send("pick", lane=0, view="lane")
    screens.approve(told["number"])
    assert (await one.hear("role"))["role"] == "helps"
    if since_ms is not None:
        screens.loop.call_soon_threadsafe(lambda: screens.server.change(name, turns=((since_ms, 0),)))
        until(lambda: screens.server.devices.known[name].turns == ((since_ms, 0),))
    return told


def test_a_screen_joins_picks_a_lane_and_gets_its_cards():
    async def play(screens):
        async with screen(screens) as one:
            told = await one.join(code=screens.code)
            assert (told["type"], told["number"], told["role"], told["lanes"]) == ("joined", 1, "shows", [3, 4, 5])
            assert told["title"] == "Long-axis rotation 2" and not told["keyed"]
            state = await one.hear("state")
            assert state["begun"] and state["zero_ms"] == screens.driver.run.begun.boot_ms
            await one.send("pick", lane=1, view="lane")
            first = await one.hear("cards")
            assert first["lane"] == 1 and first["cards"]["cards"] and first["until_ms"] - first["from_ms"] == 15_000
            again = await one.hear("cards")
            assert (again["version"], again["from_ms"]) == (first["version"], first["until_ms"])
            await one.send("time", t1_ms=12.5, bound_ms=9.0)
            stamps = await one.hear("time")
            assert stamps["t1_ms"] == 12.5 and stamps["t2_ms"] <= stamps["t3_ms"] <= now_ms() + 1

    with hall() as screens:
        asyncio.run(play(screens))
        until(lambda: screens.rows[0][:4] == (1, 1, "lane", False))


def test_the_rest_is_there_up_to_the_end(monkeypatch):
    monkeypatch.setattr("pacer.screens.cardsending.IDLE_SHARE", 1.0)

    async def play(screens):
        async with screen(screens) as one:
            await one.join(code=screens.code)
            await one.send("pick", lane=0, view="lane")
            until_ms = 0
            while until_ms < screens.driver.run.timeline.end_ms:
                until_ms = (await one.hear("cards"))["until_ms"]

    with hall() as screens:
        asyncio.run(play(screens))


def test_a_change_replaces_the_rest_on_every_screen():
    async def play(screens):
        async with screen(screens) as one, screen(screens) as two:
            await one.join(code=screens.code)
            await two.join(code=screens.code, name=OTHER)
            for each, lane in ((one, 0), (two, 1)):
                await each.send("pick", lane=lane, view="lane")
            versions = [(await each.hear("cards"))["version"] for each in (one, two)]
            session = screens.driver
            session.append(Paused(session.at_ms(), None, True))
            screens.frame()
            for each, before in zip((one, two), versions):
                told = await each.hear("cards")
                while told["version"] == before:
                    told = await each.hear("cards")
                assert told["version"] > before and "STOP AT WALL" in json.dumps(told["cards"])

    with hall() as screens:
        asyncio.run(play(screens))


def test_a_change_is_not_kept_waiting_by_cards_that_nobody_waits_for(monkeypatch):
    """What is made in the background rests long between two messages; a change wakes it."""
    monkeypatch.setattr("pacer.screens.cardsending.IDLE_SHARE", 1e-6)

    async def play(screens):
        async with screen(screens) as one:
            await one.join(code=screens.code)
            await one.send("pick", lane=0, view="lane")
            for _ in range(2):
                await one.hear("cards")  # the second message is made in the background: now it rests
            session = screens.driver
            session.append(Paused(session.at_ms(), None, True))
            screens.frame()
            async with asyncio.timeout(PATIENT_S):
                while (await one.hear("cards"))["version"] == 1:
                    pass

    with hall() as screens:
        asyncio.run(play(screens))


def slowed(session):
    """The first lane comes in ten seconds after its predictions, four times, and is timed."""
    for at_ms in (99_000, 219_000, 339_000, 459_000):
        session.append(touched(due(session.run, session.times, 0, at_ms), at_ms))
    assert session.seen is not session.run


def words_at(told, at_ms):
    """A card message's view of a lane at an instant."""
    return in_force(unpacked(told["cards"]), at_ms)["lane"]


def test_cards_go_by_the_times_taken_as_the_tablets_own_views_do():
    """Of the lane that was timed the cards come again; the other lane's stand as they are."""

    async def play(screens):
        session = screens.driver
        async with screen(screens) as one, screen(screens) as two, screen(screens) as pool:
            for each, name, lane, view in ((one, PHONE, 0, "lane"), (two, OTHER, 1, "lane"), (pool, THIRD, 0, "pool")):
                await each.join(code=screens.code, name=name)
                await each.send("pick", lane=lane, view=view)
            before = await one.hear("cards")
            other = await two.hear("cards")
            assert (await pool.hear("walls"))["walls"] == [[None, None]] * 3
            slowed(session)
            screens.frame()
            told = before
            while told["version"] == before["version"]:
                told = await one.hear("cards")
            assert (await pool.hear("walls"))["walls"] == [[360_000, None], [None, None], [None, None]]
            at_ms, seen = told["from_ms"] + 5_000, session.seen
            made = card_list(seen, 0, "lane", told["from_ms"], told["until_ms"])
            assert words_at(told, at_ms) == in_force(made, at_ms)["lane"]
            planned = card_list(session.run, 0, "lane", told["from_ms"], told["until_ms"])
            assert words_at(told, at_ms) != in_force(planned, at_ms)["lane"]
            while other["until_ms"] < told["until_ms"] + 120_000:
                assert other["version"] < told["version"]
                other = await two.hear("cards")

    with hall(driver(began_ago_ms=580_000)) as screens:
        asyncio.run(play(screens))


def test_who_picks_one_view_after_the_other_makes_no_work_and_is_dropped(monkeypatch):
    """Each lane's cards are made once, however often they are asked for."""
    made = []

    def counted(run, lane, view, from_ms, until_ms, **named):
        if until_ms - from_ms == 15_000:  # the first of a view
            made.append((lane, view))
        return card_list(run, lane, view, from_ms, until_ms, **named)

    monkeypatch.setattr("pacer.screens.lanescreens.card_list", counted)

    async def play(screens):
        async with screen(screens) as one:
            await one.join(code=screens.code)
            for number in range(PATIENT.picks):
                view = ("lane", "dial", "pool")[number // 3 % 3]
                await one.send("pick", lane=number % 3, view=view)
                while (await one.hear("cards"))["view"] != view:
                    pass
            assert len(made) == len(set(made)) > 3, made
            with contextlib.suppress(ConnectionClosed):  # the server drops it before or after this is sent
                await one.send("pick", lane=0, view="lane")
            await one.gone()

    with hall(limits=small(picks_a_second=0.0)) as screens:
        asyncio.run(play(screens))


def test_a_session_that_has_not_begun_says_so():
    async def play(screens):
        async with screen(screens) as one:
            await one.join(code=screens.code)
            assert (await one.hear("state"))["zero_ms"] is None
            await one.send("pick", lane=0, view="lane")
            assert (await one.hear("cards"))["cards"]["cards"]
            session = screens.driver
            session.append(Begun(-10_000, now_ms() + 10_000, 0))
            screens.frame()
            assert (await one.hear("state"))["zero_ms"] == session.run.begun.boot_ms

    with hall(driver(began_ago_ms=None)) as screens:
        asyncio.run(play(screens))


# -- helpers ---------------------------------------------------------------------------------------------------


def test_a_helpers_touch_is_an_entry_with_its_source_and_its_bound():
    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            at_ms = screens.driver.at_ms()
            await one.send("act", **one.signed("touch", at_ms=at_ms - 400, lane=0))
            return at_ms, await one.hear("answer")

    with hall(driver(began_ago_ms=91_000)) as screens:
        (at_ms, answer), counted = asyncio.run(framed(screens, play(screens)))
        entry = screens.driver.journal[-1]
        assert isinstance(entry, Touched) and entry == counted[0].entry
        assert (entry.at_ms, entry.lane, entry.source, entry.act, entry.bound_ms) == (at_ms - 400, 0, "screen 1", 1, 7)
        assert answer["done"] and answer["says"].startswith(f"1st {tenths((at_ms - 400) // 10)}")


def test_no_name_of_a_swimmer_crosses_the_network():
    """Neither with the cards of a lane, the dial and the pool, nor in what a helper is told, nor after changes."""
    names = ("Quillon", "Ferrybank", "Aldermoor")
    lane = '[[lane]]\nbase = "1:30"\n' + 2 * '[[lane.swimmer]]\nname = "{name}"\n'
    lanes = (lane.format(name=name) for name in names[:2])
    timeline = build_timeline(read_plan(PLAN), read_squad("".join(lanes)))
    session = Driver(
        timeline, now_ms=now_ms, wall_ms=lambda: 0, boot=lambda: "a", journal=(Begun(0, now_ms() - 91_000, 0),)
    )
    heard = []

    async def play(screens):
        async with screen(screens) as one, screen(screens) as two, screen(screens) as three:
            await helping(screens, one)
            for each, name, view in ((two, OTHER, "pool"), (three, THIRD, "dial")):
                heard.append(json.dumps(await each.join(code=screens.code, name=name)))
                await each.send("pick", lane=0, view=view)
                await each.hear("cards")
            at_ms = session.at_ms()
            session.append(SwimmerJoined(at_ms, 0, at_ms + 20_000, name=names[2]))
            session.append(SwimmerChanged(at_ms + 1, 0, 0, 1, at_ms + 20_000))
            await one.send("act", **one.signed("touch", at_ms=session.at_ms() - 400, lane=0))
            heard.append(json.dumps(await one.hear("answer")))
            for each in (one, two, three):
                with contextlib.suppress(TimeoutError):
                    async with asyncio.timeout(1):
                        while True:
                            heard.append(await each.socket.recv())

    with hall(session) as screens:
        asyncio.run(framed(screens, play(screens)))
        assert len(screens.driver.journal) == 4 and sum('"cards"' in text for text in heard) >= 2
    assert not [text for text in heard for name in names if name in text]


def test_a_rate_too():
    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            at_ms = screens.driver.at_ms()
            marks = [at_ms - 3_000, at_ms - 1_500, at_ms]
            await one.send("act", **one.signed("rate", at_ms=at_ms, lane=0, marks_ms=marks, cycles=1))
            return await one.hear("answer")

    with hall() as screens:
        answer, _ = asyncio.run(framed(screens, play(screens)))
        entry = screens.driver.journal[-1]
        assert answer["done"] and answer["says"] == "Saved: 40.0 cycles a minute" and isinstance(entry, Rated)
        assert (entry.marks_cs, entry.source, entry.bound_ms) == ((0, 150, 300), "screen 1", 7)


def test_stop_all_stops_all():
    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            await one.send("act", **one.signed("stop all", at_ms=screens.driver.at_ms()))
            assert (await one.hear("answer"))["done"]
            assert (await one.hear("state"))["stopped"]

    with hall() as screens:
        asyncio.run(framed(screens, play(screens)))
        assert screens.driver.run.stopped and screens.driver.journal[-1].source == "screen 1"


def test_doubled_late_and_reordered_acts_count_once_where_they_belong(monkeypatch):
    """Two swimmers touch; the second's tap comes first, both come twice, and all of it a minute late."""
    monkeypatch.setattr("pacer.screens.lanescreens.GAP_MS", 60_000)

    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            first = one.signed("touch", at_ms=91_000, lane=0)
            second = one.signed("touch", at_ms=97_000, lane=0)
            for act in (second, first, second, first):
                await one.send("act", **act)
                await asyncio.sleep(0.1)  # several frames in between
            answers = [await one.hear("answer") for _ in range(4)]
            await one.send("act", **first)
            return [*answers, await one.hear("answer")]

    with hall(driver(began_ago_ms=157_000)) as screens:
        answers, counted = asyncio.run(framed(screens, play(screens)))
        touches = [entry for entry in screens.driver.journal if isinstance(entry, Touched)]
        assert [(one.act, one.swimmer, one.time_cs) for one in touches] == [(1, 0, 9_100), (2, 1, 9_200)]
        assert all(answer["done"] for answer in answers) and len(counted) == 2


async def answered(one, act):
    await one.send("act", **act)
    return await one.hear("answer")


def test_an_act_counts_at_the_lane_that_the_screen_was_at_by_the_acts_own_time():
    """The helper goes from lane 0 to lane 1 at 100 s; what was pressed before comes after."""

    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            early = await answered(one, one.signed("touch", at_ms=91_000, lane=1))
            await one.send("pick", lane=1, view="lane", at_ms=100_000)
            late = await answered(one, one.signed("touch", at_ms=91_500, lane=0))
            wrong = await answered(one, one.signed("touch", at_ms=120_000, lane=0))
            now = await answered(one, one.signed("touch", at_ms=screens.driver.at_ms(), lane=1))
            screens.approve(1, False)
            await one.hear("role")
            over = await answered(one, one.signed("touch", at_ms=102_000, lane=1))
            return [early, late, wrong, now, over]

    with hall(driver(began_ago_ms=212_000)) as screens:
        answers, _ = asyncio.run(framed(screens, play(screens)))
        assert [answer["done"] for answer in answers] == [False, True, False, True, False], answers
        assert {answers[0]["says"], answers[2]["says"]} == {"This screen was at another lane then. Press again."}
        touches = [(entry.at_ms, entry.lane) for entry in screens.driver.journal if isinstance(entry, Touched)]
        assert touches[0] == (91_500, 0) and [lane for _, lane in touches] == [0, 1]


def test_an_act_from_before_the_coach_let_it_help_counts_nothing():
    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one, since_ms=None)
            return await answered(one, one.signed("touch", at_ms=91_000, lane=0))

    with hall(driver(began_ago_ms=157_000)) as screens:
        answer, _ = asyncio.run(framed(screens, play(screens)))
        assert not answer["done"] and len(screens.driver.journal) == 1


def test_a_stop_that_comes_too_late_stops_nothing():
    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            await one.send("act", **one.signed("stop all", at_ms=screens.driver.at_ms() - 30_000))
            return await one.hear("answer")

    with hall() as screens:
        answer, _ = asyncio.run(framed(screens, play(screens)))
        assert (
            not answer["done"]
            and answer["says"] == "Not stopped: the tablet got it too late. Shout STOP."
            and not screens.driver.run.stopped
        )


def forged(one):
    """Acts that must not count."""
    good = one.signed("stop all", at_ms=60_000)
    yield {**good, "mac": "0" * 64}
    yield {**good, "body": good["body"].replace("60000", "60001")}
    yield one.signed("stop all", key="00" * 16, at_ms=60_000)
    one.name = OTHER
    yield one.signed("stop all", at_ms=60_000)


@pytest.mark.parametrize("which", range(4))
def test_nothing_counts_that_is_not_signed(which):
    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            await one.send("act", **list(forged(one))[which])
            await one.gone()

    with hall() as screens:
        asyncio.run(framed(screens, play(screens)))
        assert not screens.driver.run.stopped and len(screens.driver.journal) == 1


@pytest.mark.parametrize("how", ["code", "key"])
def test_who_is_not_approved_does_nothing(how):
    async def play(screens):
        async with screen(screens) as one:
            key = screens.scanned.partition("#")[2]
            told = await one.join(code=screens.code) if how == "code" else await one.join(key=key)
            if how == "code":
                screens.approve(told["number"])  # the typed code never helps
            await one.send("act", **one.signed("stop all", key=key, at_ms=screens.driver.at_ms()))
            if how == "key":
                assert not (await one.hear("answer"))["done"]
            else:
                await one.gone()

    with hall() as screens:
        asyncio.run(framed(screens, play(screens)))
        assert len(screens.driver.journal) == 1


def test_a_helper_that_is_sent_away_does_nothing_any_more():
    async def play(screens):
        async with screen(screens) as one:
            told = await helping(screens, one)
            screens.send_away(told["number"])
            await one.hear("away")
            await one.gone()
        async with screen(screens) as one:
            assert (await one.join(key="11" * 16))["why"] == "away"

    with hall() as screens:
        asyncio.run(framed(screens, play(screens)))
        assert until(lambda: screens.rows == ())


# -- killed and resumed -------------------------------------------------------------------------------------------


def test_after_a_kill_screens_find_the_session_again_and_nobody_scans_twice(tmp_path, monkeypatch):
    monkeypatch.setattr("pacer.screens.lanescreens.PORT", own_ports())
    store = Store(tmp_path)
    store.open()
    session = driver(began_ago_ms=None)
    clock = lambda: Now(now_ms(), 1_772_470_883_456, "a")  # noqa: E731
    keeper = begin(store, session_of(session.run.timeline, PLAN), clock=clock)
    session = driver(OnDisk(keeper, wait=True), began_ago_ms=None)
    session.append(Begun(-91_000, now_ms() - 91_000, 0, boot="a"))
    until(lambda: (session.settle(), session.number)[1] == 1)
    seen = {}

    async def before(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            seen["key"], seen["act"] = one.key, one.signed("touch", at_ms=91_000, lane=0)
            await one.send("act", **seen["act"])
            assert (await one.hear("answer"))["done"]
        until(lambda: kept_says(tmp_path, '"helps": true'))

    with hall(session, tmp_path, port=None) as screens:
        asyncio.run(framed(screens, before(screens)))
        seen |= {"port": screens.server.port, "session": screens.server.devices.session}
        kept = (tmp_path / "screens.json").read_bytes()
    (tmp_path / "screens.json").write_bytes(kept)  # as a kill leaves it
    keeper.close()

    async def after(screens):
        async with screen(screens) as one:
            told = await one.join(key=seen["key"])
            assert (told["type"], told["number"], told["role"], told["acts"]) == ("joined", 1, "helps", 1)
            await one.send("act", **seen["act"])  # the answer was lost: it comes again
            assert (await one.hear("answer"))["done"]

    again, found = carry_on(store, 1, clock=clock)
    with (
        contextlib.closing(again),
        hall(driver(OnDisk(again, wait=True), found.journal), tmp_path, port=None) as screens,
    ):
        assert (screens.server.port, screens.server.devices.session) == (seen["port"], seen["session"])
        asyncio.run(framed(screens, after(screens)))
        touches = [entry for entry in screens.driver.journal if isinstance(entry, Touched)]
        assert len(touches) == 1


def test_a_refused_act_counts_nothing_when_it_comes_again_after_a_kill(tmp_path, monkeypatch):
    """Nobody was due in. Then a time is deleted, the tablet is killed, and who has listened sends the act again."""
    monkeypatch.setattr("pacer.screens.lanescreens.PORT", own_ports())
    monkeypatch.setattr("pacer.show.drive.driver.Driver.number", 1)
    session, seen = driver(began_ago_ms=157_000), {}

    async def before(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            seen["key"] = one.key
            for at_ms in (91_000, 97_000):
                assert (await answered(one, one.signed("touch", at_ms=at_ms, lane=0)))["done"]
            seen["act"] = one.signed("touch", at_ms=99_000, lane=0)
            assert not (await answered(one, seen["act"]))["done"]
            early = await answered(one, one.signed("touch", at_ms=99_000, lane=1))
            assert early["says"] == "This screen was at another lane then. Press again."
        until(lambda: screens.server.devices.known[PHONE].refused == (3, 4))
        until(lambda: kept_screens(tmp_path).opened().known[PHONE].refused == (3, 4))

    async def after(screens):
        async with screen(screens) as one:
            assert (await one.join(key=seen["key"]))["acts"] == 4
            assert not (await answered(one, seen["act"]))["done"]
            one.n = 4
            assert (await answered(one, one.signed("touch", at_ms=98_000, lane=0)))["done"]

    with hall(session, tmp_path, port=None) as screens:
        asyncio.run(framed(screens, before(screens)))
    again = driver(journal=session.journal[:-1])  # without the second time
    with hall(again, tmp_path, port=None) as screens:
        asyncio.run(framed(screens, after(screens)))
        touches = [(entry.act, entry.at_ms) for entry in screens.driver.journal if isinstance(entry, Touched)]
        assert touches == [(1, 91_000), (5, 98_000)]


def test_the_next_session_takes_its_screens_over(tmp_path, monkeypatch):
    """The same keys serve, under another name of the session; what was pressed in the one before counts nothing."""
    monkeypatch.setattr("pacer.screens.lanescreens.PORT", own_ports())
    store = Store(tmp_path)
    store.open()
    clock = lambda: Now(now_ms(), 1_772_470_883_456, "a")  # noqa: E731
    seen = {}

    def session():
        made = driver(began_ago_ms=None)
        keeper = begin(store, session_of(made.run.timeline, PLAN), clock=clock)
        made = driver(OnDisk(keeper, wait=True), began_ago_ms=None)
        made.append(Begun(-91_000, now_ms() - 91_000, 0, boot="a"))
        until(lambda: (made.settle(), made.number)[1] is not None)
        return keeper, made

    async def first(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            seen["key"], seen["act"] = one.key, one.signed("stop all", at_ms=screens.driver.at_ms())
        until(lambda: kept_says(tmp_path, '"helps": true'))

    async def second(screens):
        async with screen(screens) as one:
            told = await one.join(key=seen["key"])
            assert (told["type"], told["number"], told["role"], told["lane"]) == ("joined", 1, "shows", None)
            await one.send("act", **seen["act"])
            await one.gone()
        assert not screens.driver.run.stopped

    for play in (first, second):
        keeper, made = session()
        with contextlib.closing(keeper), hall(made, tmp_path, port=None) as screens:
            assert screens.rows == (), "who was here before is not on the list"
            asyncio.run(framed(screens, play(screens)))


def test_where_what_was_kept_is_lost_the_journals_screens_are_nobody_elses(tmp_path):
    """Acts of a new screen are not taken for those that a screen of the same number did before."""
    session = driver(began_ago_ms=91_000)
    session.append(replace(touched(due(session.run, (), 1, 90_000), 90_000), source="screen 1", act=1))
    (tmp_path / "screens.json").write_text("{")

    async def play(screens):
        async with screen(screens) as one:
            assert (await helping(screens, one))["number"] == 2
            assert (await answered(one, one.signed("touch", at_ms=screens.driver.at_ms(), lane=0)))["done"]

    with hall(session, tmp_path) as screens:
        asyncio.run(framed(screens, play(screens)))
        assert [entry.source for entry in session.journal[1:]] == ["screen 1", "screen 2"]


def test_the_server_dies_and_comes_back_by_itself(monkeypatch):
    monkeypatch.setattr("pacer.screens.lanescreens.AGAIN_S", 0.2)

    async def play(screens, seen):
        async with screen(screens) as one:
            told = await one.join(code=seen.setdefault("code", screens.code), token=None)
            await one.send("pick", lane=0, view="lane")
            await one.hear("cards")
            return told

    with hall() as screens:
        seen = {}
        first = asyncio.run(play(screens, seen))

        def die():
            raise RuntimeError("no memory")

        port = screens.server.port
        screens.loop.call_soon_threadsafe(lambda: setattr(screens.server, "glance", die))
        told = until(lambda: screens.trouble)
        assert told == "Lane screens are off (RuntimeError: no memory); trying again"
        del screens.server.glance
        until(lambda: screens.ready and screens.trouble == "")
        assert screens.server.port == port
        assert asyncio.run(play(screens, seen))["number"] == first["number"]


def test_a_frame_never_waits_for_the_server():
    """With a server that stands still, frames and entries go on."""
    with hall() as screens:
        stuck, waited = threading.Event(), []
        screens.loop.call_soon_threadsafe(lambda: waited.append(stuck.wait(PATIENT_S)))
        for _ in range(200):
            session = screens.driver
            session.append(Paused(session.at_ms(), (0,), True))
            session.append(Resumed(session.at_ms(), session.at_ms() + 5_000, (0,)))
            screens.frame()
        assert waited == [] and len(screens.driver.journal) == 401
        stuck.set()


# -- hostile ------------------------------------------------------------------------------------------------------


def small(**more):
    return replace(PATIENT, **more)


async def raw(screens, text, source="127.0.0.1"):
    """What an HTTP request is answered with."""
    reader, writer = await asyncio.open_connection("127.0.0.1", screens.server.port, local_addr=(source, 0))
    writer.write(text.encode())
    await writer.drain()
    async with asyncio.timeout(PATIENT_S):
        told = await reader.read()
    writer.close()
    return told


def get(path="/", host="127.0.0.1:{port}", more=""):
    return f"GET {path} HTTP/1.1\r\nHost: {host}\r\n{more}\r\n"


@pytest.mark.parametrize(
    ("request_", "status"),
    [
        (get(), 200),
        (get("/?x=1"), 200),
        (get(host="localhost:{port}"), 200),
        (get("/etc/passwd"), 404),
        (get("/../screens.json"), 404),
        (get(host="club.example:{port}"), 403),
        (get(host="127.0.0.1"), 403),
        (get(host="127.0.0.2:{port}"), 403),
        (get(more="Host: 127.0.0.1:{port}\r\n"), 403),
        ("GET / HTTP/1.1\r\n\r\n", 403),
    ],
)
def test_the_page_is_served_under_the_tablets_own_address_alone(request_, status):
    with hall() as screens:
        told = asyncio.run(raw(screens, request_.replace("{port}", str(screens.server.port))))
        assert told.startswith(f"HTTP/1.1 {status} ".encode())
        if status == 200:
            assert b"default-src 'none'" in told and told.rstrip().endswith(b"</html>")


UPGRADE = "Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: {key}\r\n"


@pytest.mark.parametrize(
    "origin", ["", "Origin: http://club.example\r\n", "Origin: null\r\n", "Origin: https://127.0.0.1:{port}\r\n"]
)
def test_another_pages_script_gets_no_socket(origin):
    with hall() as screens:
        more = UPGRADE.replace("{key}", "dGhlIHNhbXBsZSBub25jZQ==") + origin
        told = asyncio.run(raw(screens, get("/link", more=more).replace("{port}", str(screens.server.port))))
        assert told.startswith(b"HTTP/1.1 403 ")


def test_a_page_from_an_address_that_the_tablet_has_had_is_no_stranger():
    async def play(screens):
        screens.loop.call_soon_threadsafe(screens.server.name_hosts, ("10.0.0.7:8080",))
        until(lambda: screens.server.devices.hosts[-1:] == ("10.0.0.7:8080",))
        async with screen(screens, origin="http://10.0.0.7:8080") as one:
            assert (await one.join(code=screens.code))["type"] == "joined"
        with pytest.raises(InvalidStatus):
            async with screen(screens, origin="http://10.0.0.8:8080"):
                pass

    with hall() as screens:
        asyncio.run(play(screens))


@pytest.mark.parametrize(
    "sent",
    [
        "x" * 5_000,
        b"\x00\xff",
        '{"type": "join"}',
        "7",
        '{"type": "pick", "lane": 0, "view": "lane"}',
        "flood",
        "again",
    ],
)
def test_who_does_not_keep_to_the_protocol_is_dropped_and_others_are_served(sent):
    async def play(screens):
        async with screen(screens) as honest, screen(screens) as bad:
            await honest.join(code=screens.code)
            if sent in ("flood", "again"):
                await bad.join(code=screens.code, name=OTHER)
            if sent == "flood":
                with pytest.raises(Exception, match=r"1006|abort|received|close"):
                    for _ in range(10_000):
                        await bad.send("time", t1_ms=1.0)
                        await asyncio.sleep(0)
                    while True:  # what was answered before
                        await bad.socket.recv()
            elif sent == "again":
                with contextlib.suppress(ConnectionClosed):
                    await bad.join(code=screens.code, name=OTHER)
            else:
                await bad.socket.send(sent)
            await bad.gone()
            await honest.send("time", t1_ms=1.0)
            await honest.hear("time")

    with hall() as screens:
        asyncio.run(play(screens))


def test_half_open_connections_and_those_that_say_nothing_are_dropped():
    async def play(screens):
        silent = [await asyncio.open_connection("127.0.0.1", screens.server.port) for _ in range(4)]
        silent[0][1].write(b"GET / HT")
        async with asyncio.timeout(PATIENT_S):
            with contextlib.suppress(ConnectionClosed, EOFError, InvalidHandshake):  # dropped before it was open
                async with screen(screens) as dumb:
                    await dumb.gone()
            for reader, _ in silent:
                await reader.read()
        for _, writer in silent:
            writer.close()

    with hall(limits=small(join_s=0.5)) as screens:
        asyncio.run(play(screens))


def test_two_hundred_connections_of_one_address_leave_room_for_others():
    async def play(screens):
        many = [
            await asyncio.open_connection("127.0.0.1", screens.server.port, local_addr=("127.0.0.9", 0))
            for _ in range(200)
        ]
        async with screen(screens) as honest:
            assert (await honest.join(code=screens.code))["type"] == "joined"
            await honest.send("time", t1_ms=1.0)
            await honest.hear("time")
        for _, writer in many:
            writer.close()

    with hall() as screens:
        asyncio.run(play(screens))


def test_a_flood_of_connections_gets_little_of_the_processor(monkeypatch):
    """Somebody connects as fast as they can: after each that is refused the server's thread sleeps."""
    slept, many = [], 300
    monkeypatch.setattr("pacer.screens.webgate.time", SimpleNamespace(monotonic=time.monotonic, sleep=slept.append))

    async def play(screens):
        for _ in range(many):
            with contextlib.suppress(OSError):
                _, writer = await asyncio.open_connection("127.0.0.1", screens.server.port, local_addr=("127.0.0.9", 0))
                writer.write(b"GET / HTTP/1.1\r\n\r\n")
                writer.close()
        async with screen(screens) as honest:
            await honest.join(code=screens.code)
            await honest.send("time", t1_ms=1.0)
            await honest.hear("time")

    with hall(limits=small(new_a_second=0.0)) as screens:
        asyncio.run(play(screens))
        until(lambda: len(slept) >= many - PATIENT.new)
        assert set(slept) == {REFUSED_S}


@pytest.mark.parametrize("how", ["code", "token", "key"])
def test_strangers_that_hold_all_connections_keep_no_screen_out(how):
    """Seven addresses have joined by the code and hold all connections; a new screen, one that comes back, a helper."""

    async def play(screens):
        seen = {}
        async with screen(screens, source="127.0.0.9") as one:
            key = screens.scanned.partition("#")[2] if how == "key" else ""
            told = await one.join(key=key, code=None if key else screens.code)
            seen |= {"key": key} if key else {"token": told["token"]}
        until(lambda: not any(row.connected for row in screens.rows))
        async with contextlib.AsyncExitStack() as strangers:
            for number in range(7):
                source = f"127.0.0.{20 + number}"
                one = await strangers.enter_async_context(screen(screens, source=source))
                assert (await one.join(code=screens.code, name=f"{number:016x}"))["type"] == "joined"
                for _ in range(23):
                    _, writer = await asyncio.open_connection("127.0.0.1", screens.server.port, local_addr=(source, 0))
                    strangers.callback(writer.close)
            if how == "code":
                seen = {"code": screens.code, "name": THIRD}
            async with screen(screens, source="127.0.0.10" if how == "code" else "127.0.0.9") as one:
                assert (await one.join(**seen))["type"] == "joined"

    with hall() as screens:
        asyncio.run(play(screens))


def test_who_joined_before_comes_back_though_all_screens_are_taken():
    """As many as there may be have joined by the code since: the last of them gives way, and comes in no more."""

    async def play(screens):
        async with screen(screens) as one:
            token = (await one.join(code=screens.code))["token"]
        until(lambda: not any(row.connected for row in screens.rows))
        others = []
        for number in range(3):
            context = screen(screens)
            one = await context.__aenter__()
            others.append((context, one, (await one.join(code=screens.code, name=f"{number:016x}"))["token"]))
        async with screen(screens) as back:
            assert (await back.join(token=token))["number"] == 1
            await others[-1][1].gone()
            async with screen(screens) as late:
                assert (await late.join(name=f"{2:016x}", token=others[-1][2]))["why"] == "full"
            async with screen(screens) as new:
                assert (await new.join(name=OTHER, code=screens.code))["why"] == "full"
            await back.send("time", t1_ms=1.0)
            await back.hear("time")
        for context, _, _ in others:
            await context.__aexit__(None, None, None)

    with hall(limits=small(screens=3)) as screens:
        asyncio.run(play(screens))


def test_sixty_four_screens_and_no_more():
    async def play(screens):
        open_ = []
        for number in range(65):
            context = screen(screens)
            one = await context.__aenter__()
            open_.append(context)
            told = await one.join(code=screens.code, name=f"{number:016x}")
        assert told == {"type": "refused", "why": "full", "wait_ms": 0}
        async with screen(screens) as helper:  # who scanned is let in, and one of those that only typed gives way
            key = screens.scanned.partition("#")[2]
            assert (await helper.join(key=key, name="f" * 16))["type"] == "joined"
            until(lambda: sum(row.connected for row in screens.rows) == 64)
        for context in open_:
            await context.__aexit__(None, None, None)

    with hall(limits=small(of_one_address=80, new=80)) as screens:
        asyncio.run(play(screens))


def test_a_screen_that_takes_nothing_is_dropped(monkeypatch):
    monkeypatch.setattr("pacer.screens.webgate.SEND_BYTES", 4_096)

    async def play(screens):
        narrow = socket.socket()
        narrow.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2_048)
        narrow.connect(("127.0.0.1", screens.server.port))
        async with screen(screens, sock=narrow, local_addr=None) as slow:
            await slow.join(code=screens.code)
            slow.socket.transport.pause_reading()
            session = screens.driver
            async with asyncio.timeout(PATIENT_S):
                while not screens.rows or screens.rows[0].connected:
                    with contextlib.suppress(ConnectionClosed):
                        await slow.send("pick", lane=0, view="pool")
                    session.append(Paused(session.at_ms(), None, True))
                    session.append(Resumed(session.at_ms(), session.at_ms() + 5_000))
                    screens.frame()
                    await asyncio.sleep(0.02)
            slow.socket.transport.abort()

    with hall(limits=small(slow_s=0.3, a_second=1_000.0, picks=10_000)) as screens:
        asyncio.run(play(screens))


def test_wrong_codes_over_the_network_are_shut_out(monkeypatch):
    monkeypatch.setattr("pacer.screens.lockout.FIRST_WAIT_MS", 600_000)

    async def play(screens):
        told = []
        wrong = "000000" if screens.code != "000000" else "000001"
        for _ in range(3):
            async with screen(screens) as one:
                told.append(await one.join(code=wrong))
        return told

    with hall() as screens:
        told = asyncio.run(play(screens))
        assert [one["why"] for one in told] == ["code", "shut", "shut"] and told[0]["wait_ms"] == 600_000


def test_stopped_is_not_said_twice():
    async def play(screens):
        async with screen(screens) as one:
            await helping(screens, one)
            await one.send("act", **one.signed("stop all", at_ms=screens.driver.at_ms()))
            await one.hear("answer")
            await one.send("act", **one.signed("stop all", at_ms=screens.driver.at_ms()))
            return await one.hear("answer")

    with hall() as screens:
        answer, _ = asyncio.run(framed(screens, play(screens)))
        stops = [entry for entry in screens.driver.journal if isinstance(entry, Stopped)]
        assert len(stops) == 1 and answer["says"] == "All lanes are stopped already."
