"""A header of one row: its clock is the largest there, and no time is without its label."""

from itertools import pairwise

import pytest

from pacer.show.measure.poollayout import header_of

UNIT = 20


@pytest.mark.parametrize("over", [False, True])
@pytest.mark.parametrize("width", range(300, 1300, 50))
def test_a_time_in_the_session_has_its_label_or_is_left_out(window, width, over):
    from pacer.face.clock.headerlayout import HeaderWords, header_lines
    from pacer.face.kit.ink import Box
    from pacer.face.kit.textures import measure

    header = header_of(width, 480, UNIT, 6)
    assert header.rows == 1
    says = HeaderWords(
        "0:23",
        True,
        "into the session",
        "session",
        "Warm-up",
        "Thursday",
        "finish 17:23",
        ("past the booking, 17:11", "past 17:11"),
        over,
        True,
        ("app clock", "app"),
    )
    laid = header_lines(Box(0, 0, width, header.height), header, UNIT, says)
    labelled = any(line.name == "session label" for line in laid.lines)
    assert (laid.time is not None) == labelled
    assert laid.time is not None or width < 1000, "there is room for it"
    boxes = sorted((line.x, line.x + measure(line.text, UNIT, line.bold)) for line in laid.lines)
    assert all(right <= left + 1 for (_, right), (left, _) in pairwise(boxes)), boxes


def test_the_clock_of_one_row_is_larger_than_its_words(window):
    from pacer.face.clock.headerlayout import header_clock
    from pacer.face.kit.ink import Box

    header = header_of(1024, 480, UNIT, 6)
    clock = header_clock(Box(0, 0, 1024, header.height), header, UNIT)
    assert clock.height >= 1.4 * UNIT and clock.top <= header.height
