"""The splash lock after an interruption."""

from dataclasses import replace

import pytest

from pacer.session.journal.entries import Begun, Stopped
from tests.face.deck.leaves import EVENING_MS, READ


class Disk:
    """A store that keeps everything at once, under the session's number."""

    def __init__(self, number):
        self.number = number

    def append(self, entry):
        """It is safe."""


BEGUN = Begun(-10_000, 49_980_000, EVENING_MS - 20_000, "+00:00")  # 20 s ago on the deck's clock


def test_the_lock_is_closed_again_over_the_same_session_and_that_is_said(deck):
    locked = deck(store=Disk(7), journal=(BEGUN,))
    locked.press("lock", 60)
    kept = locked.kept[-1]
    assert locked.bar.locked and kept.locked_over == 7
    again = deck(settings=kept, store=Disk(7), journal=(BEGUN,))
    assert again.bar.locked and again.bar.says == "The lock is closed, as it was before the interruption"
    before = again.driver.journal
    again.tap(640, 400, 600)
    assert again.driver.journal == before
    again.open_lock()
    assert not again.bar.locked and again.kept[-1].locked_over is None
    assert not deck(settings=again.kept[-1], store=Disk(7), journal=(BEGUN,)).bar.locked


@pytest.mark.parametrize("journal", [(BEGUN,), (BEGUN, Stopped(10_000))])
def test_what_is_to_be_read_comes_first_and_can_be_closed(deck, journal):
    made = deck(settings=replace(READ, locked_over=7), store=Disk(7), journal=journal, told=("It is running again.",))
    assert made.shell.notices.notice is not None and not made.bar.locked
    made.press("close", 60)
    made.frame(20)
    assert made.shell.notices.notice is None and made.bar.locked


@pytest.mark.parametrize(("number", "journal"), [(8, (BEGUN,)), (7, ()), (None, (BEGUN,))])
def test_not_over_another_session_nor_before_the_start(deck, number, journal):
    assert not deck(settings=replace(READ, locked_over=7), store=Disk(number), journal=journal).bar.locked
