"""Evenings in the real window, five lanes, by finger: what was read before a press is so after it."""

import os
import random
from contextlib import suppress
from typing import NamedTuple

import pytest

from pacer.show.drive.deckchanges import CHANGES, MOVES
from pacer.timeline.findings import CannotRun
from tests.face.deck.sheet import hand, on_sheet, tile
from tests.show.drive.evenings import TIMELINE, Evening
from tests.show.drive.saidandso import wrongs

BAR = ("pause", "resume", "next", "take back", "pause", "resume", "next", "take back", "end")
LANE = (*CHANGES, *MOVES, "pause", "resume")
LEAVES = ("interval", "interval", "line in", "line out", "section", "swimmers", "swimmers", "with")
SEARCH = int(os.environ.get("PACER_EXAMPLES", "0"))
PRESSES = 70 if SEARCH else 25


class Pressed(NamedTuple):
    """A press: when, which key, what was read on the glass, what was not so."""

    at_ms: int
    name: str
    read: str
    wrong: list[str]


class Coach:
    """Presses keys by finger; `log` has what was read, and whether it was so."""

    def __init__(self, deck, seed):
        self.deck, self.rng = deck, random.Random(seed)
        self.it = Evening(seed, TIMELINE)
        self.it.driver = deck.driver
        self.log = []

    def held(self, at, name, of_bar):
        """Hold down a key there; what was not so."""
        deck, it = self.deck, self.it
        touch = deck.finger(*at)
        deck.go(600)
        sheet = deck.shell.deck.deck
        for _ in range(30):  # let go just when it is asked again, so that the entry holds from the instant looked at
            asked = deck.bar.asked if of_bar else sheet.asked
            if asked is None or asked.entry is None or asked.entry.at_ms == deck.driver.at_ms():
                break
            deck.frame(20)
        if asked is None or asked.entry is None:
            touch.touch_up()
            deck.frame(20)
            return
        waited = it.waits()
        plain, before, promised = it.state(), it.state(waited), it.promised()
        if name == "end":
            it.paused = set(deck.driver.run.paused())
        if deck.driver.ended:
            it.stopped = deck.driver.run.stopped
        deck.frame(0)
        deck.settle()
        head = [line for piece in deck.shell.sheet.head.drawn() for line in piece.fitted.lines] if not of_bar else []
        read = deck.bar.says if of_bar else " ".join(head)
        number = len(deck.driver.journal)
        touch.touch_up()
        deck.frame(0)
        assert len(deck.driver.journal) > number, f"{name} was not done: {read}"
        assert deck.driver.journal[-1].at_ms == it.at_ms
        after = it.state(waited and it.waits())
        if waited and not it.waits():
            before = plain
        if name == "resume":
            before = before._replace(metres=promised)
        wrong = list(wrongs(it, asked.ways, before, after, name.split()[0]))
        self.log.append(Pressed(it.at_ms, name, read, wrong))

    def press(self):
        deck, rng = self.deck, self.rng
        if deck.driver.ended:
            if "reopen" in deck.names():
                self.held(deck.middle("reopen"), "reopen", True)
            return
        if deck.driver.run.stopped and "lanes" in deck.names():
            self.held(deck.middle("resume"), "resume", True)
            return
        deck.bar.show_page(0)
        if rng.random() < 0.25:
            name = rng.choice(BAR)
            try:
                at = deck.middle(name)
            except AssertionError:
                return
            self.held(at, name, True)
            return
        one = rng.random() < 0.8
        if deck.shell.sheet is not None:
            deck.shell.deck.put_away()
        if deck.shell.shown != "pool":
            deck.press("change", 60)
            one = False
        elif one:
            hand(deck, rng.randrange(5))
        else:
            deck.press("change", 60)
        deck.frame(20)
        if deck.shell.sheet is None:
            return
        if rng.random() < 0.6:
            name = rng.choice(LANE)
            try:
                at = tile(deck, name)
            except AssertionError:
                return
            self.held(at, name, False)
            return
        name = rng.choice(LEAVES)
        try:
            on_sheet(deck, name)
            deck.frame(20)
            kind = {"interval": "interval", "line in": "line in", "line out": "line out", "section": "section"}.get(
                name
            )
            if name == "interval":
                for _ in range(rng.randrange(1, 4)):
                    on_sheet(deck, rng.choice(("pad +", "pad -", "pad more", "pad fewer")))
                at = tile(deck, "do")
            elif name == "line in":
                on_sheet(deck, rng.choice(("fewer", "more", "nearer", "farther")))
                at = tile(deck, "do")
            else:
                names = sorted(deck.shell.deck.deck.leaf.long_presses())
                names = [each for each in names if not each.startswith("time")]
                if name == "section":
                    leaf = deck.shell.deck.deck.leaf
                    leaf.section = rng.randrange(len(deck.driver.run.timeline.plan.sections))
                    names = ["now", "top"]
                chosen = rng.choice(names)
                kind = kind or {"swimmers": "swap" if chosen != "out" else "leave", "with": "with"}[name]
                at = tile(deck, chosen)
            self.held(at, kind, False)
        except (AssertionError, IndexError):
            return


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 169.5)])
@pytest.mark.parametrize("seed", range(1 + SEARCH // 1000))
def test_what_is_read_is_so(deck, size, dpi, seed):
    made = deck(size, dpi, made=TIMELINE)
    made.begin(5_000)
    coach = Coach(made, seed)
    for _ in range(PRESSES):
        if made.driver.at_ms() > 2_600_000:
            break
        made.skip_to(made.driver.at_ms() + coach.rng.choice((400, 3_000, 3_000, 15_000, 40_000, 60_000)))
        with suppress(CannotRun):
            coach.press()
    assert len(coach.log) > 5
    assert [row for row in coach.log if row.wrong] == []
