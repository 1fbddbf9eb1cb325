"""Character heights against the published table, and the font against what is said of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import ImageFont

from pacer.show.measure.legibility import Glass, character_mm, distance_m

FONTS = Path(__file__).parents[3] / "assets" / "fonts"

#: Height in mm by arc minutes and metres, worked out from h = 2·D·tan(α/2). 16 minutes is the least, 20 to 22 are
#: preferred: ISO 9241-303 (16 and 20-22 as in ISO 9241-3) and NUREG-0700 rev. 2, 1.3.1-4.
TABLE = {
    16: {
        0.5: 2.33,
        1: 4.65,
        2: 9.31,
        3: 13.96,
        5: 23.27,
        8: 37.23,
        10: 46.54,
        12.5: 58.18,
        15: 69.81,
        20: 93.08,
        25: 116.36,
    },
    20: {
        0.5: 2.91,
        1: 5.82,
        2: 11.64,
        3: 17.45,
        5: 29.09,
        8: 46.54,
        10: 58.18,
        12.5: 72.72,
        15: 87.27,
        20: 116.36,
        25: 145.44,
    },
    22: {
        0.5: 3.20,
        1: 6.40,
        2: 12.80,
        3: 19.20,
        5: 32.00,
        8: 51.20,
        10: 64.00,
        12.5: 79.99,
        15: 95.99,
        20: 127.99,
        25: 159.99,
    },
}


@pytest.mark.parametrize("minutes", TABLE)
def test_heights_of_the_table(minutes):
    for metres, mm in TABLE[minutes].items():
        assert character_mm(metres, minutes) == pytest.approx(mm, abs=0.0051)
        assert distance_m(mm, minutes) == pytest.approx(metres, rel=0.002)


def test_snellen_letter():
    # 20/20: a letter of 5 minutes at 20 feet is about 9 mm high (common lecture notes on visual acuity).
    assert character_mm(6.096, 5) == pytest.approx(8.866, abs=0.001)


def test_viewing_distance_over_height():
    # ISO 9241-3's working rule: the distance is about 155 to 175 times the height, 22 to 20 minutes.
    assert 1000 / character_mm(1, 22) == pytest.approx(156.26, abs=0.01)
    assert 1000 / character_mm(1, 20) == pytest.approx(171.89, abs=0.01)


def test_glass_turns_distances_into_pixels():
    glass = Glass.of_dpi(149.5, tier_1_m=5)
    assert glass.tier_1_px == pytest.approx(29.09 * 149.5 / 25.4, rel=1e-3)
    assert glass.coach_px == pytest.approx(5.82 * 149.5 / 25.4, rel=1e-3)
    assert glass.read_at_m(glass.tier_2_px) == pytest.approx(3)
    assert glass.px(10) == pytest.approx(10 * 149.5 / 25.4)


@pytest.mark.parametrize("name", ["B612-Regular", "B612-Bold"])
def test_the_font_is_as_high_as_is_reckoned_with(name):
    text = pytest.importorskip("pacer.face.kit.textures")
    font = ImageFont.truetype(str(FONTS / f"{name}.otf"), 1000)
    for char in "0123456789":
        top = font.getbbox(char, anchor="ls")[1]
        assert -top >= 1000 * text.CAP - 0.5  # never lower than assumed
        assert -top <= 1000 * text.CAP + 15
        assert font.getlength(char) == 1000 * text.DIGIT
    assert font.getlength(":") == 1000 * text.COLON
    for char in "BEHX":
        assert -font.getbbox(char, anchor="ls")[1] >= 1000 * text.CAP - 0.5
    for char in "gpqy,":
        assert font.getbbox(char, anchor="ls")[3] <= 1000 * text.DESCENT + 10
    assert font.getmetrics()[1] == round(1000 * text.DESCENT)


def test_fonts_come_with_their_licence():
    assert "SIL OPEN FONT LICENSE" in (FONTS / "LICENCE-B612.txt").read_text(encoding="utf-8").upper()
