"""What a press does is said on the sheet in words that fit there whole, on every glass.

The presses are those of random evenings. `test_saidandso` tests that every way to say it has all that matters.
"""

from __future__ import annotations

import pytest

from tests.face.deck.sheet import GLASSES, hand
from tests.show.drive.saidandso import said_in


@pytest.fixture(scope="module")
def ways():
    return [ways for seed in range(25) for ways in said_in(seed)]


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_it_fits_on_the_sheet(deck, ways, size, dpi):
    from pacer.face.kit.textures import measure
    from pacer.show.measure.fitting import fit

    deck = deck(size, dpi)
    deck.begin(20_000)
    hand(deck, 1)
    sheet = deck.shell.sheet
    sheet.deck.tell("something")
    deck.frame(0)
    text = sheet.head.tiles[0].texts[0]
    cap = sheet.head.cap * text.cap
    room, high = text.box[2], text.box[3]
    wrong = []
    for each in ways:
        found = fit(each, room, high, cap, cap, measure, bold=True, lines=text.lines)
        if found.small or " ".join(found.lines) not in each:
            wrong.append((" ".join(found.lines), each[-1]))
    assert not wrong, wrong
