"""Times and numbers typed on large keys."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.face.tiles.numberpad import Pad, pressed
from pacer.squad.refusal import Refused


def typed(keys, pad=None):
    pad = pad or Pad("base", 98_000)
    for key in keys:
        pad = pressed(pad, key)
    return pad


@pytest.mark.parametrize(
    ("keys", "shown", "ms"),
    [
        ("", "1:38", 98_000),
        ("5", "0:05", 5_000),
        ("95", "0:95", 95_000),
        ("135", "1:35", 95_000),
        ("1352", "13:52", 832_000),
        ("10000", "100:00", 6_000_000),
        ("128.5", "1:28.5", 88_500),
        ("128.57", "1:28.57", 88_570),
        ("128.579", "1:28.57", 88_570),
        ("1..5", "0:01.5", 1_500),
        (".5", "0:00.5", 500),
        ("0012", "0:12", 12_000),
        ("12345678", "1234:56", 74_096_000),
        (["rub"], "", None),
        (["1", "2", "rub"], "0:01", 1_000),
        (["more"], "1:39", 99_000),
        (["less", "less"], "1:36", 96_000),
        (["1", "more"], "0:02", 2_000),
        (["rub", "more"], "0:01", 1_000),
        (["rub"] + ["less"] * 3, "0:00", 0),
    ],
)
def test_what_is_typed(keys, shown, ms):
    pad = typed(keys)
    assert pad.shown == shown
    if ms is None:
        assert pad.wrong == "nothing typed yet"
        with pytest.raises(Refused):
            pad.number  # noqa: B018
    else:
        assert pad.number == ms and pad.wrong == ""


def test_seconds_beyond_59_are_refused_where_there_are_minutes():
    assert typed("199").wrong == "seconds go from 00 to 59"


def test_whole_numbers():
    pad = typed("012.", Pad("lanes", 6, time=False, step=1))
    assert (pad.shown, pad.number) == ("12", 12)
    assert pressed(pad, "more").number == 13
    assert typed(["rub"], Pad("rounds", 3, time=False, empty=True)).number is None


@given(st.lists(st.sampled_from([*"0123456789.", "rub", "more", "less"]), max_size=30), st.booleans())
def test_no_keys_break_it(keys, time):
    pad = typed(keys, Pad("x", None, time=time))
    assert isinstance(pad.shown, str)
    assert pad.wrong or pad.number >= 0
