"""Contrast, and states that stay apart for every eye and through every goggle."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from pacer.show.measure.theme import BRIGHT, DARK, STATE_COLOURS, contrast, luminance, rgb
from pacer.show.view.viewvalues import SHAPES
from pacer.show.wording.viewtext import WORDS

#: Pairs with the ratio that W3C and others publish for them; the source stands beside each.
PUBLISHED = [
    ("#000000", "#FFFFFF", 21.0, 0.001),  # WCAG 2.2, definition of contrast ratio: 1 to 21
    ("#767676", "#FFFFFF", 4.54, 0.005),  # used by W3C as the border of passing at 4.5
    ("#595959", "#FFFFFF", 7.0, 0.05),  # used as the border of passing at 7
    ("#888888", "#FFFFFF", 3.54, 0.005),  # audit pages on WCAG
    ("#999999", "#FFFFFF", 2.85, 0.005),
    ("#9D9D9D", "#FFFFFF", 2.7, 0.05),  # W3C, Understanding SC 1.4.3
    ("#FFF000", "#FFFFFF", 1.2, 0.05),  # W3C, Understanding SC 1.4.3
    ("#0000FF", "#FFFFFF", 8.59, 0.005),  # Manning, on WCAG ratios
    ("#0000FF", "#FF0000", 2.15, 0.005),  # Manning
]

#: Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color vision deficiency",
#: severity 1.0, on linear RGB. The numbers are from memory.
DEFICIENCIES = {
    "protanopia": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deuteranopia": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritanopia": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
#: Goggles let through so much of red, green and blue: our assumption, no source.
GOGGLES = {"amber": np.diag([1.0, 0.7, 0.1]), "blue": np.diag([0.35, 0.6, 1.0])}
SIGHTS = {"full colour": np.eye(3), **{name: np.array(matrix) for name, matrix in DEFICIENCIES.items()}, **GOGGLES}

#: What a difference in CIE 1976 L*a*b* must at least be; about 2.3 is just noticed (Mahy and others 1994, from memory).
APART = 10


def linear(colour):
    channels = np.array(colour)
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def lab(light):
    """CIE L*a*b* under D65 of linear sRGB (IEC 61966-2-1 primaries)."""
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ np.clip(
        light, 0, 1
    )
    xyz = xyz / np.array([0.9505, 1.0, 1.089])
    f = np.where(xyz > 216 / 24389, np.cbrt(xyz), (24389 / 27 * xyz + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("one, other, ratio, within", PUBLISHED)
def test_contrast_as_published(one, other, ratio, within):
    assert contrast(rgb(one), rgb(other)) == pytest.approx(ratio, abs=within)
    assert contrast(rgb(other), rgb(one)) == contrast(rgb(one), rgb(other))


def test_luminance_of_the_palette_the_states_come_from():
    # Okabe and Ito 2002; luminances worked out from the WCAG formula.
    for code, value in {
        "#E69F00": 0.4162,
        "#56B4E9": 0.4050,
        "#009E73": 0.2569,
        "#F0E442": 0.7441,
        "#CC79A7": 0.2930,
    }.items():
        assert luminance(rgb(code)) == pytest.approx(value, abs=5e-5)


def test_simulated_deficiencies_leave_greys_alone():
    for matrix in DEFICIENCIES.values():
        assert np.array(matrix).sum(axis=1) == pytest.approx([1, 1, 1], abs=2e-5)


@pytest.mark.parametrize("theme", [DARK, BRIGHT], ids=lambda theme: theme.name)
def test_everything_read_reaches_seven_to_one(theme):
    for ink in (theme.ink, theme.dim):
        for ground in (theme.ground, theme.deck, theme.water):
            assert contrast(ink, ground) >= 7
    for colour in STATE_COLOURS.values():
        assert contrast(theme.on_state, colour) >= 7  # words on a state's colour
        assert contrast(theme.on_state if theme.name == "dark" else theme.flip, colour) >= 7  # the inverted screen
    assert contrast(theme.flip_ink, theme.flip) >= 7


@pytest.mark.parametrize("theme", [DARK, BRIGHT], ids=lambda theme: theme.name)
def test_what_is_no_text_reaches_three_to_one(theme):
    """WCAG 2.2, 1.4.11: swimmers, ropes and the ribbon's frame against what they lie on, edges of keys against both."""
    for thing in (theme.swimmer, theme.rope, theme.float_):
        assert contrast(thing, theme.water) >= 3
    for beside in (theme.ground, theme.deck, theme.water):
        assert contrast(theme.line, beside) >= 3


@pytest.mark.parametrize("sight", SIGHTS)
def test_states_stay_apart(sight):
    seen = {name: lab(SIGHTS[sight] @ linear(colour)) for name, colour in STATE_COLOURS.items()}
    apart = {pair: float(np.linalg.norm(seen[pair[0]] - seen[pair[1]])) for pair in combinations(seen, 2)}
    assert min(apart.values()) >= APART, min(apart, key=apart.get)


@pytest.mark.parametrize("sight", SIGHTS)
def test_words_stay_readable_through_goggles_and_for_every_eye(sight):
    """4.5:1 of what is left of the contrast (WCAG 1.4.3), on grounds that are read through goggles."""
    for theme in (DARK, BRIGHT):
        for ink, ground in ((theme.ink, theme.ground), (theme.ink, theme.water), (theme.flip_ink, theme.flip)):
            light, dark = sorted(
                (float(np.clip(SIGHTS[sight] @ linear(c), 0, 1) @ [0.2126, 0.7152, 0.0722]) for c in (ink, ground)),
                reverse=True,
            )
            assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_states_need_no_colour():
    assert set(SHAPES) == set(STATE_COLOURS)
    assert len(set(SHAPES.values())) == len(SHAPES)
    assert len({WORDS[name] for name in SHAPES}) == len(SHAPES)
