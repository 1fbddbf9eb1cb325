"""Random touching: no exception, no dead end, no loss. Longer in tests/bench/bench_monkey.py."""

import pytest

from pacer.show.drive.settings import Settings
from tests.face.coach import READ, Coach
from tests.face.officepages import PAGES
from tests.face.window.monkey import Monkey


@pytest.fixture
def coach(window, tmp_path, monkeypatch):
    monkeypatch.setattr("pacer.face.pages.filechooser.open_facade", lambda name: None)
    made = []

    def make(**kwargs):
        made.append(Coach(window, tmp_path, **kwargs))
        return made[-1]

    yield make
    for each in made:
        each.leave()


@pytest.mark.parametrize("seed", range(2))
def test_a_monkey_at_the_office(coach, seed):
    coach = coach(settings=Settings() if seed == 0 else READ)
    monkey = Monkey(coach, seed)
    monkey.play(100)
    monkey.go_home()
    monkey.check_kept()


def test_a_monkey_on_every_page(window, tmp_path, monkeypatch):
    """On each page with a home of its own: what it did on one page keeps it from no other."""
    monkeypatch.setattr("pacer.face.pages.filechooser.open_facade", lambda name: None)
    seen = set()
    for place, arrive in enumerate((PAGES["ready"], *PAGES.values())):
        coach = Coach(window, tmp_path / str(place))
        monkey = Monkey(coach, 99 + place)
        arrive(coach)
        coach.frame()
        monkey.look()
        monkey.play(3)
        monkey.go_home()
        monkey.check_kept()
        coach.leave()
        seen |= monkey.pages
    assert {"HomePage", "SquadPage", "TestSwimPage", "SettingsPage", "TextPage", "ReadyPage"} <= seen
