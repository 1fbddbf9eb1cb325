"""A monkey at the office.

Random touches, drags, keys and turns, seeded, with what must always hold looked at after each.
"""

from __future__ import annotations

import random

from kivy.tests.common import UnitTestTouch

from pacer.session.storage.store import StoreTrouble
from tests.face.coach import ESCAPE, RETURN, TAB

SIZES = [(1280, 800), (800, 1280), (1024, 600), (640, 800)]
KEYS = [ESCAPE, TAB, RETURN, 32, 8, 49, 50, 97, 120, 273, 274, 275, 276]


class Monkey:
    """Plays with `coach`'s tablet; `did` is what it did, for when something breaks."""

    def __init__(self, coach, seed):
        self.coach, self.random, self.did = coach, random.Random(seed), []
        self.pages = set()

    def place(self):
        """Mostly something that can be touched; sometimes anywhere."""
        width, height = self.coach.size
        places = []
        if self.random.random() < 0.85:
            if self.coach.shell is not None:
                places = [(x + w / 2, y + h / 2) for _, (x, y, w, h) in self.coach.shell.bar.placed()]
            else:
                places = [
                    (box.x + box.width / 2, box.y + box.height / 2)
                    for board in self.coach.boards()
                    for _, box in board.placed()
                ]
        return self.random.choice(places) if places else (self.random.uniform(0, width), self.random.uniform(0, height))

    def act(self):
        """One thing."""
        coach, chance = self.coach, self.random.random()
        if chance < 0.62:
            place, ms = self.place(), self.random.choice((40, 40, 40, 520))
            self.did.append(("touch", place, ms))
            coach.finger(*place, ms)
        elif chance < 0.74:
            start, end = self.place(), self.place()
            self.did.append(("drag", start, end))
            coach.drag(start, end, 4)
        elif chance < 0.78:
            places = [self.place() for _ in range(3)]
            self.did.append(("fingers", places))
            touches = [UnitTestTouch(*place) for place in places]
            for touch in touches:
                touch.touch_down()
            coach.frame(40)
            for touch in touches:
                touch.touch_up()
            coach.frame(20)
        elif chance < 0.92:
            key = self.random.choice(KEYS)
            self.did.append(("key", key))
            coach.key(key, chr(key) if 32 <= key < 127 else "")
        elif chance < 0.95:
            size = self.random.choice(SIZES)
            self.did.append(("turn", size))
            coach.turn(size)
        else:
            ms = self.random.choice((500, 5_000, 60_000))
            self.did.append(("wait", ms))
            coach.frame(ms)

    def look(self):
        """What must hold whatever was done."""
        coach = self.coach
        office = coach.office
        self.pages.add(type(office.page).__name__)
        assert office.page is not None and office.page.parent is office and office.children == [office.page]
        squads = office.squads
        assert squads.current and squads.cards()
        if coach.shell is not None:
            driver, keeper = coach.shell.driver, office.opened.keeper
            assert len(driver.journal) == len(keeper.rows) and not keeper.trouble
        else:
            assert any(able for _, able, _ in coach.written())  # there is always something to press

    def play(self, acts):
        """So many things, one after another."""
        for _ in range(acts):
            self.act()
            self.look()

    def go_home(self):
        """There is a way home from everywhere: end what runs, then step back."""
        coach = self.coach
        for _ in range(80):
            if coach.shell is not None:
                if coach.shell.bar.locked:
                    coach.shell.unlock()
                if coach.shell.notices.notice is not None:
                    coach.shell.notices.close()
                driver = coach.shell.driver
                if driver.running or (driver.run.begun is not None and not driver.ended):
                    assert driver.do(driver.end()) == ()
                    coach.frame(20)
            elif coach.office.busy:
                coach.page.asked = ""
                coach.page.press("break")
                coach.page.press("broken")
            if (
                type(coach.page).__name__ == "HomePage"
                and coach.page.card is None
                and not coach.page.away
                and not coach.page.searching
            ):
                return
            coach.key(ESCAPE)
            if type(coach.page).__name__ == "TextPage" and any(name == "over" for name, *_ in coach.page.ways):
                coach.page.press("over")
            elif type(coach.page).__name__ == "ResumePage":
                coach.page.on_over()
        raise AssertionError(f"no way home from {type(coach.page).__name__}")

    def check_kept(self):
        """Nothing that was kept is lost: every plan, squad and session can be read."""
        from pacer.plan.library.shelf import Shelf
        from pacer.session.storage.store import Store
        from pacer.squad.register.squadfolder import SquadFolder

        home = self.coach.home
        shelf = Shelf(home)
        assert len(shelf.cards()) + len(shelf.cards(away=True)) >= 4
        squads = SquadFolder(home)
        assert squads.told == () and squads.cards()
        try:
            for listed in Store(home).sessions():
                assert Store(home).session(listed.number).lost == ()
        except StoreTrouble as trouble:
            raise AssertionError(str(trouble)) from trouble
