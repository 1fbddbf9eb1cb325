"""A header of one row: its clock is the largest there, and no time is without its label."""

from itertools import pairwise

import pytest

from pacer.show.measure.poolrows import header_of

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


def test_where_its_bands_need_the_room_the_clock_is_as_high_as_its_words(window):
    from pacer.face.clock.headerlayout import header_clock
    from pacer.face.kit.ink import Box

    header = header_of(1024, 340, UNIT, 9)
    assert header.rows == 1
    assert header_clock(Box(0, 0, 1024, header.height), header, UNIT).height == UNIT


@pytest.mark.parametrize("over", [False, True])
def test_a_time_that_is_left_out_is_not_drawn(window, over):
    """Where it stood before, finish and booking stand now."""
    from pacer.face.clock.poolview import PoolView
    from pacer.show.measure.legibility import Glass
    from pacer.show.view.instantview import pool_view
    from tests.face.drawing import drawn_in
    from tests.face.shots import demo_run

    run = demo_run(lanes=10)
    pool = drawn_in(window, PoolView(glass=Glass.of_dpi(149.5)), pool_view(run, 26 * 60_000), (800, 1280))
    for minutes in (26, 27):
        spare = ("past the booking, 19:00", "past 19:00") if over else ("booked until 19:00", "until 19:00")
        view = pool_view(run, minutes * 60_000)._replace(out="out 19:01", spare=spare, over=over)
        header = drawn_in(window, pool, view, (800, 1280)).face.header
        assert header.words["out"].ink and header.words["spare"].ink
        assert not header.session.ink and not header.words["session label"].ink
