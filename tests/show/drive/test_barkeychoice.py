"""What stands on the bar: never smaller than a wet thumb needs, never closer than 3 mm, nothing lost behind `More`."""

import itertools
from dataclasses import replace
from functools import partial

import pytest

from pacer.show.drive.barkeychoice import BACK, FIRST, LABELS, LAST, MORE, Key, Moment, keys_for
from pacer.show.measure.keyrows import GAP_MM, TARGET_MM, arrange

on_the_bar = partial(arrange, first=FIRST, last=LAST, back=BACK)
TURNS = {MORE.name, BACK.name}

#: Words that a swimmer reads otherwise, and that no control may be called by itself.
SWIMMING_WORDS = {
    "back",
    "on",
    "free",
    "fly",
    "breast",
    "kick",
    "pull",
    "drill",
    "scull",
    "rest",
    "set",
    "swim",
    "go",
    "im",
    "off",
}

MOMENTS = [
    Moment(),
    Moment(begun=True),
    Moment(begun=True, zero_passed=True),
    Moment(begun=True, zero_passed=True, paused=True),
    Moment(begun=True, paused=True),
    Moment(begun=True, zero_passed=True, paused=True, stopped=True, muted=True),
    Moment(begun=True, zero_passed=True, run_out=True, view="lane", whom="3"),
    Moment(begun=True, zero_passed=True, over=True),
    Moment(begun=True, zero_passed=True, view="lane", whom="10", muted=True),
]
#: Width and height of the keys' room in mm, rows, pixels per mm, by glass.
ROOMS = {
    "7 inch, 1024 x 600": (95, 15, 1, 6.7),
    "10 inch, 1280 x 800": (165, 15, 1, 5.9),
    "10 inch upright": (90, 33, 2, 5.9),
    "a desktop": (260, 18, 1, 3.8),
    "hardly any": (43, 15, 1, 6.7),
    "hardly any, upright": (43, 33, 2, 6.7),
}


def width_of(mm):
    """Widths as B612 Bold has them at the character height of a key's name: about 4 mm a letter."""
    return lambda text: len(text) * 4 * mm


def names(pages):
    return [each.key.name for page in pages for each in page]


@pytest.mark.parametrize("moment", MOMENTS, ids=str)
@pytest.mark.parametrize("room", ROOMS)
def test_every_key_is_somewhere_large_enough_and_apart(moment, room):
    wide, high, rows, mm = ROOMS[room]
    keys = keys_for(moment)
    pages = on_the_bar(keys, MORE, width_of(mm), (wide * mm, high * mm), mm, rows)
    assert sorted(name for name in names(pages) if name not in TURNS) == sorted(key.name for key in keys)
    assert all(page[-1].key is MORE for page in pages[:-1]) and BACK.name not in names(pages[:1])
    if room not in ("7 inch, 1024 x 600", "hardly any"):  # with letters so wide
        assert len(pages) == 1 or (BACK.name in names(pages[-1:]) and MORE.name not in names(pages[-1:]))
    for page in pages:
        for each in page:
            assert each.width >= TARGET_MM * mm - 0.01 and each.height >= TARGET_MM * mm - 0.01
            assert each.x >= 0 and each.x + each.width <= wide * mm + 0.01
            assert each.y >= 0 and each.y + each.height <= high * mm + 0.01
            if "hardly" not in room:
                assert each.width >= width_of(mm)(each.key.label.format(time="23:59"))
        for one, other in itertools.combinations(page, 2):
            across = max(one.x, other.x) - min(one.x + one.width, other.x + other.width)
            above = max(one.y, other.y) - min(one.y + one.height, other.y + other.height)
            assert max(across, above) >= GAP_MM * mm - 0.01


def test_with_room_for_all_there_is_no_more():
    pages = on_the_bar(keys_for(Moment()), MORE, lambda text: 10, (5_000, 100), 4)
    assert len(pages) == 1 and "more" not in names(pages)


@pytest.mark.parametrize("room", [room for room in ROOMS if "hardly" not in room])
def test_what_is_needed_most_is_one_press_away(room):
    wide, high, rows, mm = ROOMS[room]
    first = {
        each.key.name
        for each in on_the_bar(
            keys_for(Moment(begun=True, zero_passed=True)), MORE, width_of(mm), (wide * mm, high * mm), mm, rows
        )[0]
    }
    assert {"pause", "next"} <= first


@pytest.mark.parametrize("moment", [{"whom": "all"}, {"whom": "10", "view": "lane"}, {"view": "dial"}, {"muted": True}])
def test_a_key_for_everything_that_is_put_right_at_once_is_on_the_first_page(moment):
    """Undo and the lock were behind More on an upright tablet and on a small one."""
    for wide, high, rows in ((180, 19.5, 1), (98.9, 33.5, 2), (184, 19.5, 1)):
        for stopped in (False, True):
            keys = keys_for(Moment(begun=True, zero_passed=True, stopped=stopped, **moment))
            (page, *_) = on_the_bar(
                keys, MORE, lambda text: max(map(len, text.split())) * 3.4, (wide, high), 1, rows, back=BACK
            )
            assert {"resume" if stopped else "pause", "take back", "lock"} <= {each.key.name for each in page}
            assert not moment.get("muted") or "mute" in {each.key.name for each in page}


def test_start_over_is_not_beside_the_key_that_resumes_the_session():
    keys = keys_for(Moment(begun=True, zero_passed=True, over=True, reopens=True))
    assert "Close session" in [key.label for key in keys], "the sheet that asks how it went has a Close of its own"
    for wide, high, rows in ((180, 19.5, 1), (98.9, 33.5, 2), (184, 19.5, 1), (400, 19.5, 1)):
        for page in on_the_bar(keys, MORE, lambda text: max(map(len, text.split())) * 3.4, (wide, high), 1, rows):
            found = [each.key.name for each in page]
            assert not {"reopen", "again"} <= set(found) or abs(found.index("reopen") - found.index("again")) > 1


SWUM = Moment(begun=True, zero_passed=True, whom="all")


#: Keys that may be where another is at other times. When muted, that key may take the place of one that records.
SAME_PLACE = {"resume": "pause", "dial": "pool", "lanes": "next", "mute": "mute or record", "record": "mute or record"}


def places(moment, room):
    """Where the keys of the first page stand, by the one of them that stands there at its time."""
    wide, high, rows, mm = ROOMS[room]
    page = on_the_bar(keys_for(moment), MORE, width_of(mm), (wide * mm, high * mm), mm, rows)[0]
    return [(SAME_PLACE.get(each.key.name, each.key.name), each.x, each.y, each.width) for each in page]


@pytest.mark.parametrize("room", ROOMS)
def test_no_key_moves_whatever_the_state(room):
    at_first = places(SWUM, room)
    assert at_first[0][0] == "pause"
    for other in (
        {"paused": True},
        {"paused": True, "going": True},
        {"muted": True},
        {"paused": True, "muted": True},
        {"view": "dial"},
        {"run_out": True},
        {"paused": True, "stopped": True},
    ):
        assert places(replace(SWUM, **other), room) == at_first, other


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize(
    "moment", [SWUM, replace(SWUM, view="lane", whom="3"), replace(SWUM, view="dial"), replace(SWUM, paused=True)]
)
def test_no_key_moves_as_the_count_down_becomes_the_session(room, moment):
    wide, high, rows, mm = ROOMS[room]

    def pages(moment):
        return on_the_bar(keys_for(moment), MORE, width_of(mm), (wide * mm, high * mm), mm, rows)

    swum, before = pages(moment), pages(replace(moment, zero_passed=False))
    for page, same in zip(before, swum):
        assert [each for each in page if each.key.name not in TURNS] == [
            each for each in same if each.key.name not in TURNS
        ]
    others = {each.key.name for page in before[len(swum) :] for each in page}
    assert others - TURNS == {"begin", "top", "time", "earlier", "later"}


def test_the_keys_say_which_lanes_they_mean():
    def labels(**moment):
        return [key.label for key in keys_for(Moment(begun=True, zero_passed=True, **moment))]

    assert labels(whom="all")[:2] == ["Pause all", "Next, all"] and labels(whom="all", paused=True)[0] == "Resume all"
    assert labels(whom="3", view="lane")[:2] == ["Pause 3", "Next, lane 3"]
    assert labels()[:2] == ["Pause", "Next"], "where there is but one lane"
    assert labels(whom="all", stopped=True, paused=True)[0] == "Resume all"
    assert labels(whom="all", paused=True, going=True)[0] == "Pause all", "those that still swim"


@pytest.mark.parametrize("room", ["10 inch, 1280 x 800", "10 inch upright", "a desktop"])
def test_the_dial_is_one_press_from_a_lane(room):
    wide, high, rows, mm = ROOMS[room]
    lane = Moment(begun=True, zero_passed=True, view="lane", whom="3")
    page = on_the_bar(
        keys_for(lane), MORE, lambda text: max(map(len, text.split())) * 3.2 * mm, (wide * mm, high * mm), mm, rows
    )[0]
    assert {"pool", "dial"} <= {each.key.name for each in page}
    assert [
        key.name for key in keys_for(Moment(begun=True, zero_passed=True, view="dial")) if key.name in ("pool", "dial")
    ] == ["pool"]


def test_whatever_changes_the_session_wants_a_held_press():
    harmless = {
        "pool",
        "dial",
        "mute",
        "lock",
        "cautions",
        "earlier",
        "later",
        "close",
        "lanes",
        "more",
        "read on",
        "settings",
        "screens",
        "change",
        "record",
    }
    for moment in MOMENTS:
        for key in keys_for(moment):
            assert key.long_press == (key.name not in harmless), key


@pytest.mark.parametrize(
    ("moment", "there", "not_there"),
    [
        (Moment(), {"begin", "top", "time", "close"}, {"pause", "next", "end"}),
        (Moment(begun=True), {"pause", "next", "begin", "end"}, {"close"}),
        (Moment(begun=True, zero_passed=True), {"pause", "end"}, {"resume", "begin", "close"}),
        (Moment(begun=True, zero_passed=True, paused=True), {"resume"}, {"pause"}),
        (Moment(begun=True, zero_passed=True, over=True), {"again", "close"}, {"pause", "end", "next"}),
    ],
)
def test_keys_of_a_moment(moment, there, not_there):
    found = {key.name for key in keys_for(moment)}
    assert there <= found and not not_there & found


def test_stop_all_is_live_from_the_start_until_an_ended_session_cannot_be_resumed_any_more():
    ended = Moment(begun=True, zero_passed=True, over=True)
    assert not Moment().stops and Moment(begun=True).stops and not ended.stops
    assert replace(ended, reopens=True).stops
    assert keys_for(replace(ended, reopens=True, stopped=True))[0].name == "lanes", "a way back from the screen"


def test_names_never_double_as_swimming_words():
    for labels in LABELS.values():
        for label in labels:
            assert label.lower() not in SWIMMING_WORDS


def test_stop_all_is_no_key_among_others():
    assert all(key.name != "stop" for moment in MOMENTS for key in keys_for(moment))


def test_a_key_knows_its_label():
    assert Key("pause", whom="all").label == "Pause all"
    assert Key("mute", variant=1).label == "Muted"


def test_end_stands_beside_more_away_from_where_a_hand_holds_and_resumes():
    """One habit's press, after More, ended the session."""
    for room in ((1280, 120), (800, 120), (1024, 90)):
        pages = on_the_bar(
            keys_for(Moment(begun=True, zero_passed=True, whom="all")), MORE, lambda label: 12.0 * len(label), room, 5.0
        )
        lead = next(placed for placed in pages[0] if placed.key.name == "pause")
        page = next(page for page in pages if any(placed.key.name == "end" for placed in page))
        end = next(placed for placed in page if placed.key.name == "end")
        assert [placed for placed in page if placed.key.name not in TURNS][-1] is end
        assert end.x >= lead.x + lead.width and end.key.long_press
        swum_out = on_the_bar(
            keys_for(Moment(begun=True, zero_passed=True, run_out=True, whom="all")),
            MORE,
            lambda label: 12.0 * len(label),
            room,
            5.0,
        )
        assert swum_out == pages, "nor once all are out"


def test_a_few_keys_grow_to_a_limit_and_several_pages_fill_the_bar():
    few, many = (Key("lock"), Key("dial")), tuple(map(Key, ("lock", "dial", "pool", "mute", "change", "record")))
    (page,) = on_the_bar(few, MORE, width_of(1), (300, 18), 1, most=60)
    assert [each.width for each in page] == [60, 60] and page[0].x == 0
    (page,) = on_the_bar((Key("close"), Key("cautions")), MORE, width_of(1), (300, 18), 1, most=30)
    assert [each.width for each in page] == [30, 35], "never narrower than its name"
    pages = on_the_bar(many, MORE, width_of(1), (100, 18), 1, most=20)
    assert len(pages) > 1 and all(abs(page[-1].x + page[-1].width - 100) < 0.01 for page in pages[:-1])


def test_only_the_sessions_own_keys_have_places():
    keys = (Key("close"), Key("next"), Key("end"), Key("lock"))
    (page,) = on_the_bar(keys, MORE, width_of(1), (500, 18), 1)
    assert names([page]) == ["next", "lock", "close", "end"]
    (page,) = arrange(keys, MORE, width_of(1), (500, 18), 1)
    assert names([page]) == ["close", "next", "end", "lock"], "a page's keys are in its own order"
