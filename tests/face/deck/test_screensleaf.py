"""Lane screens on the tablet: turned on, told of, let help, sent away; what helpers do is on the lane's band."""

from __future__ import annotations

import asyncio

import numpy as np
import pytest
import zxingcpp

from pacer.session.journal.recordentries import Touched
from tests.face.drawing import pixels
from tests.screens.hall import OTHER, PATIENT_S, PHONE, own_ports, screen, until

pytestmark = pytest.mark.real_clock


@pytest.fixture
def glass(deck, monkeypatch):
    """A running session whose lane screens are served to this machine alone."""
    monkeypatch.setattr("pacer.screens.lanescreens.HOST", "127.0.0.1")
    monkeypatch.setattr("pacer.screens.lanescreens.PORT", own_ports())
    made = deck()
    yield made
    made.shell.switch.close()


def turned_on(glass):
    glass.shell.press("screens")
    glass.shell.frame()
    leaf = glass.shell.deck.deck.leaf
    leaf.press("turn on")
    screens = glass.shell.switch.screens
    until(lambda: (glass.shell.frame(), screens.scanned)[1])
    return leaf, screens


async def framed(glass, asked):
    """Frame after frame until that is so."""
    async with asyncio.timeout(PATIENT_S):
        while not asked():
            glass.shell.frame()
            await asyncio.sleep(0.01)


def test_off_until_it_is_turned_on_and_off_again(glass):
    assert glass.shell.switch.screens is None
    _, screens = turned_on(glass)
    assert screens.address.startswith("http://127.0.0.1:") and len(screens.code) == 6
    do(glass, "turn off")
    assert glass.shell.switch.screens is None


def do(glass, name):
    """Keep a key of the sheet pressed until it is full."""
    deck = glass.shell.deck.deck
    assert name in deck.leaf.long_presses()
    deck.ask(name)
    deck.do(name)


def test_what_lets_a_screen_help_or_takes_it_away_is_kept_pressed(glass):
    _, screens = turned_on(glass)
    sheet, deck = glass.shell.deck.sheet, glass.shell.deck.deck
    sheet.tick()
    assert "turn off" in sheet.body.long_presses
    deck.ask("turn off")
    assert deck.note() == (("Turns off all lane screens", "Turn screens off"), True)
    deck.let_go("turn off")
    assert deck.note()[0][0] == "Turns off all lane screens – hold down" and glass.shell.switch.screens is screens


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_the_qr_code_on_the_glass_is_read(glass, size):
    glass.window.size = glass.shell.size = size
    _, screens = turned_on(glass)
    glass.settle()
    found = zxingcpp.read_barcodes(np.array(pixels(size).convert("L")))
    assert [one.text for one in found] == [screens.scanned]


def test_a_helper_is_approved_and_its_touch_is_on_the_lanes_band(glass):
    leaf, screens = turned_on(glass)

    async def play():
        async with screen(screens) as one, screen(screens) as two:
            await one.join(key=screens.scanned.partition("#")[2])
            await two.join(name=OTHER, code=screens.code)
            await one.send("pick", lane=0, view="lane")
            await framed(glass, lambda: len(screens.rows) == 2 and screens.rows[0].lane == 0)
            assert (
                leaf.said(screens.rows[0])[0] == "Screen 1, waits to help"
                and leaf.said(screens.rows[1])[0] == "Screen 2"
            )
            leaf.press("screen 1")
            assert glass.shell.deck.deck.leaf.title == "Screen 1"
            do(glass, "let help")
            await one.hear("role")
            glass.now_ms += 40_000
            at_ms = glass.shell.driver.at_ms()
            await one.send("act", **one.signed("touch", at_ms=at_ms - 500, lane=0))
            await framed(glass, lambda: isinstance(glass.shell.driver.journal[-1], Touched))
            await framed(glass, lambda: leaf.said(screens.rows[0])[0] == "Screen 1, helps")
            do(glass, "send away")
            await one.gone()
            await framed(glass, lambda: len(screens.rows) == 1)

    glass.begin()
    asyncio.run(play())
    entry = glass.shell.driver.journal[-1]
    assert entry.source == "screen 1" and PHONE
    tag = glass.shell.deck.tags.tags[0]
    assert tag.touched == entry and tag.ways[0].startswith("Screen 1: ")


def test_those_that_helped_in_the_session_before_help_again_with_one_press(glass):
    leaf, screens = turned_on(glass)
    leaf_keys = lambda: {tile.name for tile in glass.shell.deck.sheet.body.tiles}  # noqa: E731

    async def play():
        async with screen(screens) as one, screen(screens) as two:
            await one.join(key=screens.scanned.partition("#")[2])
            await one.send("pick", lane=0, view="lane")
            await framed(glass, lambda: len(screens.rows) == 1 and screens.rows[0].lane == 0)
            assert "help again" not in leaf_keys()
            screens.loop.call_soon_threadsafe(lambda: screens.server.change(PHONE, helped_before=True))
            await two.join(name=OTHER, key=screens.scanned.partition("#")[2])
            await framed(glass, lambda: screens.rows[0].helped_before and len(screens.rows) == 2)
            assert [leaf.said(row)[0] for row in screens.rows] == [
                "Screen 1, helped last time",
                "Screen 2, waits to help",
            ]
            glass.shell.deck.sheet.tick()
            assert "help again" in leaf_keys()
            do(glass, "help again")
            assert (await one.hear("role"))["role"] == "helps"
            await framed(glass, lambda: screens.rows[0].helps and not screens.rows[0].helped_before)
            assert not screens.rows[1].helps

    glass.begin()
    asyncio.run(play())


def test_a_helpers_stop_fills_the_screen(glass):
    _, screens = turned_on(glass)

    async def play():
        async with screen(screens) as one:
            await one.join(key=screens.scanned.partition("#")[2])
            screens.approve(1)
            await one.hear("role")
            await one.send("act", **one.signed("stop all", at_ms=glass.shell.driver.at_ms()))
            await framed(glass, lambda: glass.shell.driver.run.stopped)

    glass.begin()
    asyncio.run(play())
    glass.shell.frame()
    assert glass.shell.driver.run.stopped and glass.shell.shown == "stop"


def test_a_server_that_dies_is_a_line_on_the_glass(glass):
    _, screens = turned_on(glass)
    screens.trouble = "Lane screens are off (no memory); trying again"
    said = []
    glass.shell.bar.tell = lambda *ways, **how: said.append(ways)
    glass.shell.frame()
    glass.shell.frame()
    assert [ways[0] for ways in said] == ["Lane screens are off (no memory); trying again"]
