"""The views in a window.

Whatever they say, at every size, it stays in its box, clear of everything else, and can be read.
"""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from tests.face import extremes
from tests.face.drawing import SIZES, drawn_in, pixels


def views(lanes, moment):
    """Class name to what it shows, for each view."""
    from pacer.show.view.instantview import dial_view, lane_view, pool_view
    from pacer.show.wording.changeovertext import changeover_view

    run, at_ms = extremes.moments(lanes)[moment]
    return {
        "pool": pool_view(run, at_ms),
        "lane": lane_view(run, 0, at_ms),
        "dial": dial_view(run, at_ms),
        "changeover": changeover_view(run, at_ms),
    }


def widgets():
    from pacer.face.clock.changeoverview import ChangeoverView
    from pacer.face.clock.dialview import DialView
    from pacer.face.clock.laneview import LaneView
    from pacer.face.clock.poolview import PoolView

    return {"pool": PoolView, "lane": LaneView, "dial": DialView, "changeover": ChangeoverView}


def faults(widget, size, least):
    """What is wrong with how a widget's words stand: out of the box, out of the screen, over each other, too small."""
    found = []
    pieces = widget.drawn()
    for piece in pieces:
        box = piece.box
        for ink in piece.ink:
            if not (
                box.x - 1 <= ink.x and ink.right <= box.right + 1 and box.y - 1.5 <= ink.y and ink.top <= box.top + 1.5
            ):
                found.append(f"{piece.name} {said(piece)!r} {ink} leaves its box {box}")
            if not (ink.x >= -0.5 and ink.right <= size[0] + 0.5 and ink.y >= -0.5 and ink.top <= size[1] + 0.5):
                found.append(f"{piece.name} {said(piece)!r} {ink} leaves the screen")
        if piece.cap < least - 1.01:
            found.append(f"{piece.name} {said(piece)!r} is {piece.cap:.1f} high, at least {least:.1f}")
    inks = [(piece, ink.inset(0.5, 0.5)) for piece in pieces for ink in piece.ink]
    for (one, a), (other, b) in combinations(inks, 2):
        if a.x < b.right and b.x < a.right and a.y < b.top and b.y < a.top:
            found.append(f"{one.name} {said(one)!r} {a} lies over {other.name} {said(other)!r} {b}")
    return found


def said(piece):
    return piece.text if hasattr(piece, "text") else " ".join(piece.fitted.lines)


@pytest.fixture(scope="module", params=list(SIZES), ids=lambda size: "x".join(map(str, size)))
def size(request):
    return request.param


@pytest.mark.parametrize("name", ["pool", "lane", "dial", "changeover", "lane, keys away", "dial, keys away"])
@pytest.mark.parametrize("stretched", [False, True], ids=["", "stretched"])
def test_everything_fits(window, size, name, stretched):
    """While the keys of the bar are away, nothing is in the corner of STOP ALL either."""
    from pacer.face.bar.stopkey import corner_of
    from pacer.face.clock.diallayout import larger_without_bar
    from pacer.show.measure.keyrows import bar_height
    from pacer.show.measure.legibility import Glass
    from pacer.show.view.instantview import forget
    from pacer.show.wording.viewtext import stretch

    glass = Glass.of_dpi(SIZES[size])
    found = []
    name, _, away = name.partition(", ")
    stretch(stretched)
    forget()
    try:
        widget = widgets()[name](glass=glass)
        if away:
            widget.corner = corner_of(*size, glass)
        gains = larger_without_bar(*size, bar_height(*size, glass.px_per_mm), widget.corner, glass, 6)
        assert gains or max(size) != 1280 or size[0] < size[1], "on a ten-inch tablet the dial needs the room"
        window.add_widget(widget)
        widget.size_hint, widget.pos, widget.size = (None, None), (0, 0), size
        some = (1, 4) if name in ("lane", "changeover") else (1, 3, 4, 7, 10) if stretched else range(1, 11)
        for lanes in () if away and name == "dial" and not gains else some:
            for moment in extremes.moments(lanes):
                widget.show(views(lanes, moment)[name])
                found += [f"{lanes} lanes, {moment}: {fault}" for fault in faults(widget, size, glass.unit_px(*size))]
                for piece in widget.drawn():
                    if any(ink.x < widget.corner[0] - 2 and ink.y < widget.corner[1] - 2 for ink in piece.ink):
                        found.append(f"{lanes} lanes, {moment}: {piece.name} {said(piece)!r} is under STOP ALL")
    finally:
        stretch(False)
        forget()
    assert not found, f"{len(found)} faults\n" + "\n".join(found[:12])


# -- pixels ------------------------------------------------------------------------------------------


def contrasts(widget, image):
    """For each line of words.

    The ratio of the ground around it and the colour in it that is farthest from the ground.
    """
    from pacer.show.measure.theme import contrast

    high = image.height
    for piece in widget.drawn():
        for ink in piece.ink:
            region = image.crop(
                (round(ink.x) - 2, round(high - ink.top) - 1, round(ink.right) + 2, round(high - ink.y) + 1)
            )
            counted = sorted(region.getcolors(region.width * region.height), reverse=True)
            ground = counted[0][1]
            least = 0.01 * region.width * region.height
            solid = [colour for count, colour in counted[1:] if count >= min(least, counted[1][0])]
            yield (
                piece,
                max(contrast(*([part / 255 for part in colour] for colour in (ground, other))) for other in solid),
            )


#: Every state in every colour at two sizes; at the others those that have grounds of their own, few lanes and many.
EVERY_STATE = [
    (lanes, moment) for lanes in (3, 10) for moment in ("talk", "ready", "go", "swim", "rest", "paused", "done")
]
SOME_STATES = [(3, "talk"), (3, "paused"), (10, "ready"), (10, "go"), (10, "swim")]


@pytest.mark.parametrize("theme", ["dark", "bright"])
@pytest.mark.parametrize("name", ["pool", "lane", "dial", "changeover"])
def test_everything_read_has_seven_to_one_on_the_screen(window, size, theme, name):
    """WCAG 2.2, 1.4.6, measured from what the window shows."""
    from pacer.show.measure.legibility import Glass
    from pacer.show.measure.theme import THEMES

    widget = widgets()[name](glass=Glass.of_dpi(SIZES[size]), theme=THEMES[theme])
    for lanes, moment in EVERY_STATE if max(size) == 1280 else SOME_STATES:
        drawn_in(window, widget, views(lanes, moment)[name], size)
        for piece, ratio in contrasts(widget, pixels(size)):
            assert ratio >= 7, f"{lanes} lanes, {moment}: {piece.name} {said(piece)!r} has {ratio:.2f}"


#: Character heights in mm for 20 minutes of arc by metres (ISO 9241-303, worked out in test_legibility), and what is
#: asked of a ten-inch glass.
TABLE = {1: 5.82, 2: 11.64, 6: 34.91}


@pytest.mark.parametrize("name", ["pool", "lane", "dial", "changeover"])
def test_the_smallest_characters_against_the_table(window, size, name):
    """The coach's are read from 1 m.

    A tablet cannot have all that swimmers read large enough for 8 and 3 m: what it gives is held here.
    """
    from pacer.show.measure.legibility import Glass

    glass = Glass.of_dpi(SIZES[size])
    widget = widgets()[name](glass=glass)
    least = {}
    for lanes, moment in EVERY_STATE:
        drawn_in(window, widget, views(lanes, moment)[name], size)
        for piece in widget.drawn():
            least[piece.name] = min(least.get(piece.name, 1e9), piece.cap / glass.px_per_mm)
    small = min(size) / 20 < glass.coach_px  # under seven inches: as large as twenty of them fit
    rounding = 1.01 / glass.px_per_mm
    assert min(least.values()) >= (min(size) / 20 / glass.px_per_mm if small else TABLE[1]) - rounding, least
    if name == "lane" and not small:
        assert least["count-down"] >= TABLE[6] - rounding and least["number"] >= TABLE[2] - rounding, least
        assert least["now"] >= TABLE[2] - rounding and least["leave"] >= TABLE[2] - rounding, least


def test_characters_are_as_high_as_they_say(window):
    """The height of digits in the picture, in mm of a 10.1 inch tablet, and from how far they can be read (table.

    ISO 9241-303).
    """
    from pacer.show.measure.legibility import Glass, character_mm

    size, glass = (1280, 800), Glass.of_dpi(SIZES[1280, 800])
    widget = drawn_in(window, widgets()["lane"](glass=glass), views(4, "rest")["lane"], size)
    image = pixels(size).convert("L").point(lambda value: 255 if value > 128 else 0)
    for piece in (widget.face.hero, widget.face.leave, widget.face.now):
        ink = piece.ink[0]
        box = image.crop((round(ink.x), round(800 - ink.top) - 6, round(ink.right), round(800 - ink.y) + 6)).getbbox()
        assert box[3] - box[1] == pytest.approx(piece.cap, rel=0.011, abs=3.5)  # round digits reach over the line
    reads = widget.reads_at()
    least_mm = min(piece.cap for piece in widget.drawn() if piece.tier == 3) / glass.px_per_mm
    assert least_mm >= character_mm(1) * 0.97 and reads[3] >= 0.97
    hero_mm = widget.face.hero.cap / glass.px_per_mm
    assert hero_mm == pytest.approx(character_mm(glass.read_at_m(widget.face.hero.cap)))
    assert reads[1] <= glass.read_at_m(widget.face.hero.cap)


def test_the_count_down_grows_with_the_glass(window):
    """Tier 1 at 8 m needs 46.5 mm (table): a 24 inch screen has it, a tablet says from where it can be read."""
    from pacer.show.measure.legibility import Glass

    widget = widgets()["lane"](glass=Glass.of_dpi(92.0))
    drawn_in(window, widget, views(4, "rest")["lane"], (1920, 1080))
    assert Glass.of_dpi(92.0).read_at_m(widget.face.hero.cap) >= 8
    widget.glass = Glass.of_dpi(149.5)
    drawn_in(window, widget, views(4, "ready")["lane"], (1280, 800))
    assert widget.reads_at()[1] < 8


@pytest.mark.parametrize("size, dpi", [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
def test_what_is_said_of_a_small_glass_is_what_is_drawn(window, size, dpi):
    """Minutes and seconds to go, with all else that a lane's view can show, while only STOP ALL is beside it."""
    from pacer.face.bar.stopkey import corner_of
    from pacer.face.clock.lanelayout import too_small
    from pacer.show.measure.legibility import Glass

    glass = Glass.of_dpi(dpi)
    widget = widgets()["lane"](glass=glass, corner=corner_of(*size, glass))
    view = views(4, "swim")["lane"]
    assert view.text.cue and view.swum and len(view.leavers) > 1
    drawn_in(window, widget, view._replace(hero="1:23", kind="down"), size)
    reads = glass.read_at_m(widget.face.hero.cap)
    wide = size[0] > size[1]  # held upright, four characters are as wide as the screen
    assert reads >= 8 if wide else 7.5 <= reads < 8
    assert too_small(*size, glass) == ("" if wide else f"readable from {int(reads)} m")
    assert too_small(*size, Glass.of_dpi(dpi, tier_1_m=5)) == ""


@pytest.mark.parametrize("size, dpi", [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
def test_the_seconds_to_go_can_be_read_from_eight_metres_on_a_ten_inch_screen(window, size, dpi):
    """With all else that a lane's view can show, above the bar too: 20 minutes of arc (ISO 9241-303)."""
    from pacer.show.measure.keyrows import bar_height
    from pacer.show.measure.legibility import Glass

    glass = Glass.of_dpi(dpi)
    widget = widgets()["lane"](glass=glass)
    view = views(4, "swim")["lane"]
    above = size[0], round(size[1] - bar_height(*size, glass.px_per_mm))
    drawn_in(window, widget, view._replace(hero="23", kind="down"), above)
    assert glass.read_at_m(widget.face.hero.cap) >= 8


@pytest.mark.parametrize("size, dpi", [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
@pytest.mark.parametrize(
    "word, metres", [("SWIM", (4.0, 4.4)), ("REST", (4.0, 5.0)), ("READY", (3.9, 3.8)), ("LISTEN", (3.6, 3.5))]
)
def test_the_word_of_a_state_is_as_large_as_the_count_down_leaves_room_for(window, size, dpi, word, metres):
    """Ten inches, only STOP ALL beside it, minutes and seconds to go: what is left beside those for the word, from
    its pixels (20 minutes of arc, ISO 9241-303).
    """
    from pacer.face.bar.stopkey import corner_of
    from pacer.show.measure.legibility import Glass

    glass = Glass.of_dpi(dpi)
    widget = widgets()["lane"](glass=glass, corner=corner_of(*size, glass))
    view = views(4, "swim")["lane"]
    view = view._replace(text=view.text._replace(word=word), hero="1:23", kind="down", hero_label="leave in")
    drawn_in(window, widget, view, size)
    ink = widget.face.word.ink[0]
    image = pixels(size).convert("L").point(lambda value: 255 if value > 128 else 0)
    _, top, _, foot = image.crop(
        (round(ink.x), round(size[1] - ink.top) - 6, round(ink.right), round(size[1] - ink.y) + 6)
    ).getbbox()
    assert foot - top == pytest.approx(widget.face.word.cap, rel=0.06, abs=4)  # round letters reach over both lines
    assert glass.read_at_m(widget.face.word.cap) >= metres[size[0] < size[1]]
    assert widget.face.hero_label.ink, "what is counted is still said"


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_the_warning_of_a_tight_lane_and_what_comes_next_are_apart(window, size):
    from pacer.show.measure.legibility import Glass
    from tests.face.shots import views

    widget_class, view = views()["lane-tight"]
    widget = drawn_in(window, widget_class(glass=Glass.of_dpi(SIZES[size])), view(), size)
    warning, *others = (piece for piece in (widget.face.tight, widget.face.foot_right, widget.face.foot_left))
    assert warning.ink
    for other in others:
        for ink in other.ink:
            assert ink.x > warning.ink[0].right or ink.right < warning.ink[0].x, said(other)


@pytest.mark.parametrize("moment", ["ready", "go", "swim"])
def test_on_a_small_phone_words_keep_clear_of_the_frame_around_what_is_swum(window, moment):
    """A lane screen's layout is this one: two lines inside the frame, the time elapsed above it."""
    from pacer.show.measure.legibility import Glass

    glass = Glass(5.2)
    view = views(4, moment)["lane"]
    view = view._replace(
        text=view.text._replace(doing=("300 choice easy",), cue=""), swum="0:25", hero="1:23", kind="down"
    )
    widget = drawn_in(window, widgets()["lane"](glass=glass), view, (320, 568))
    face, segment = widget.face, widget.face.boxes.segment
    edge, least = max(2.0, 0.03 * segment.height), 0.055 * segment.height
    assert face.doing.ink and face.swum_label.ink
    for ink in (*face.doing.ink, *face.tag.ink):
        assert ink.y >= segment.y + edge + least - 1 and ink.top <= segment.top - edge - least + 1, (ink, segment)
    for ink in (*face.swum.ink, *face.swum_label.ink):
        assert ink.y >= segment.top + 0.4 * glass.unit_px(320, 568), (ink, segment)


@pytest.mark.parametrize("size, mm", [((320, 568), 5.2), ((1280, 800), 5.9)])
def test_what_a_lane_swam_is_said_in_whole_figures(window, size, mm):
    """A session was ended early: of how much has no room on a phone, and no figure is cut."""
    from pacer.session.journal.entries import Ended
    from pacer.session.running.replay import apply
    from pacer.show.measure.legibility import Glass
    from pacer.show.view.instantview import lane_view
    from tests.face.shots import demo_run

    run = apply(demo_run(), Ended(600_000))
    view = lane_view(run, 0, 700_000)
    whole, short = view.text.swum
    assert view.text.word == "DONE" and re.fullmatch(r"\d+/[\d,]+ m", whole) and re.fullmatch(r"\d+ m", short)
    widget = drawn_in(window, widgets()["lane"](glass=Glass(mm)), view, size)
    assert said(widget.face.doing) in (whole, short)


def test_digits_stand_still(window):
    """A count-down's digits keep their places while it runs."""
    run, at_ms = extremes.moments(4)["swim"]
    from pacer.show.view.instantview import lane_view

    widget, seen = widgets()["lane"](), set()
    for second in range(8):
        drawn_in(window, widget, lane_view(run, 0, at_ms + second * 1000), (1280, 800))
        corners = widget.face.hero.quads.mesh.vertices
        seen.add((*corners[0::4], *corners[1::4]))
    assert len(seen) == 1


def test_the_dial_counts_down_to_the_start(window, size):
    """What it says of the session joins every second, before the zero and after it, and is said once."""
    from pacer.show.measure.legibility import Glass
    from pacer.show.view.instantview import dial_view

    run, _ = extremes.moments(4)["lead-in"]
    widget, seen = widgets()["dial"](glass=Glass.of_dpi(SIZES[size])), []
    for at_ms in (-34_000, -33_000, -32_000, 0, 1_000):
        drawn_in(window, widget, dial_view(run, at_ms), size)
        seen.append((said(widget.face.label), said(widget.face.session)))
    assert seen[:3] == [("starts in 34", ""), ("starts in 33", ""), ("starts in 32", "")]
    assert [digits for _, digits in seen[3:]] == ["0:00", "0:01"] and "begins" not in seen[3][0]


def test_an_unchanged_view_draws_nothing_anew(window):
    run, at_ms = extremes.moments(10)["swim"]
    from pacer.show.view.instantview import pool_view

    widget = drawn_in(window, widgets()["pool"](), pool_view(run, at_ms), (1280, 800))
    parts = [id(band.count.quads.mesh.vertices) for band in widget.face.bands]
    swimmers = [band.swimmers.drawn for band in widget.face.bands]
    drawn_in(window, widget, pool_view(run, at_ms + 900), (1280, 800))
    assert [id(band.count.quads.mesh.vertices) for band in widget.face.bands] == parts
    assert [band.swimmers.drawn for band in widget.face.bands] != swimmers


# -- fingers ---------------------------------------------------------------------------------------------


class Finger:
    """A touch as widgets see it."""

    def __init__(self, x, y):
        self.x, self.y, self.ox, self.oy = x, y, x, y
        self.grab_current, self.ud = None, {}

    @property
    def pos(self):
        return self.x, self.y


def chosen_by(widget, touch, event="on_lane"):
    lanes = []
    widget.bind(**{event: lambda _, index: lanes.append(index)})
    touch(widget)
    return lanes


def test_a_tap_on_a_band_or_row_chooses_its_lane(window):
    size = (1280, 800)
    pool = drawn_in(window, widgets()["pool"](), views(4, "swim")["pool"], size)
    assert [chosen_by(pool, lambda w, y=y: w.on_touch_down(Finger(60, y)))[:1] for y in (780, 600, 20)] == [
        [],
        [0],
        [3],
    ]
    assert [
        chosen_by(pool, lambda w, y=y: w.on_touch_down(Finger(900, y)), "on_arrival")[:1] for y in (780, 600, 20)
    ] == [[], [0], [3]]
    dial = drawn_in(window, widgets()["dial"](), views(4, "swim")["dial"], size)
    row = dial.face.rows[2].box
    assert chosen_by(dial, lambda w: w.on_touch_down(Finger(row.x + 5, row.y + 5))) == [2]
    assert chosen_by(dial, lambda w: w.on_touch_down(Finger(100, 400))) == []


@pytest.mark.parametrize("dx, dy, lanes", [(-400, 30, [1]), (400, 0, []), (-100, 0, []), (-300, 300, [])])
def test_a_swipe_chooses_the_neighbour(window, dx, dy, lanes):
    lane = drawn_in(window, widgets()["lane"](), views(4, "swim")["lane"], (1280, 800))

    def swipe(widget):
        finger = Finger(700, 300)
        widget.on_touch_down(finger)
        finger.x, finger.y = 700 + dx, 300 + dy
        widget.on_touch_up(finger)

    assert chosen_by(lane, swipe) == lanes
    assert chosen_by(lane, swipe, "on_arrival") == []


@pytest.mark.parametrize(
    "x, event, lanes",
    [
        (1200, "on_lane", [1]),
        (60, "on_lane", []),
        (640, "on_lane", []),
        (640, "on_arrival", [0]),
        (1200, "on_arrival", []),
    ],
)
def test_a_tap_near_a_side_chooses_the_neighbour_any_other_is_a_touch(window, x, event, lanes):
    lane = drawn_in(window, widgets()["lane"](), views(4, "swim")["lane"], (1280, 800))

    def tap(widget):
        finger = Finger(x, 300)
        widget.on_touch_down(finger)
        widget.on_touch_up(finger)

    assert chosen_by(lane, tap, event) == lanes
    assert (
        chosen_by(lane, lambda widget: widget.on_touch_up(Finger(x, 300)), event) == []
    )  # it came down on another view


def test_every_band_says_its_state_and_what_is_done(window, size):
    """Whatever is skipped with ten lanes.

    Number, state in word and shape, count-down, mark, and the distance and work or the drill's own name stay.
    """
    from pacer.show.measure.legibility import Glass

    widget = widgets()["pool"](glass=Glass.of_dpi(SIZES[size]))
    window.add_widget(widget)
    widget.size_hint, widget.pos, widget.size = (None, None), (0, 0), size
    for lanes in range(1, 11):
        for moment in ("ready", "go", "swim", "rest"):
            view = views(lanes, moment)["pool"]
            widget.show(view)
            for band, shown in zip(widget.face.bands, view.bands):
                assert said(band.number) == shown.text.lane
                assert said(band.word) == shown.text.word and band.shape.drawn[0] == shown.text.shape
                assert said(band.count) == shown.count and said(band.mark).endswith(shown.text.clock)
                written = " ".join(said(cell) for cell in band.cells.values() if cell.ink)
                labels = [said(words) for words in band.ribbon.drawn() if words.ink]
                named = bool(shown.text.name) and shown.text.name in written
                assert named or shown.text.distance in written.replace(":", "").split(), (lanes, moment, written)
                assert labels or named or any(word in written for word in ("drill", "back", "free", "kick")), (
                    lanes,
                    moment,
                    written,
                )


@pytest.mark.parametrize("sheet", [False, True], ids=["", "sheet"])
@pytest.mark.parametrize("bar", [0, 0.16], ids=["", "over-a-bar"])
def test_swimmers_keep_clear_of_what_is_written(window, size, bar, sheet):
    """With any number of lanes.

    Where they pass, both ways, stands no word, nor what hangs below its line, nor the ribbon; no word touches a rope.
    """
    from pacer.show.measure.legibility import Glass

    widget = widgets()["pool"](glass=Glass.of_dpi(SIZES[size]))
    across, up = (1, 1) if not sheet else (0.54, 1) if size[0] > size[1] else (1, 0.5)
    room = round(size[0] * across), round(size[1] * (1 - bar) * up)
    for lanes in range(1, 11):
        for moment in ("swim", "ready"):
            drawn_in(window, widget, views(lanes, moment)["pool"], room)
            for band in widget.face.bands:
                swimmers = band.swimmers
                strips = [(low, low + swimmers.size[1]) for low in (swimmers.out_y, swimmers.back_y)]
                things = [ink for cell in band.cells.values() for ink in cell.ink] + (
                    [band.ribbon_box] if band.rows.ribbon else []
                )
                for low, top in strips:
                    assert band.box.y <= low and top <= band.box.top
                    assert all(thing.top <= low + 1 or thing.y >= top - 1 for thing in things), (
                        lanes,
                        moment,
                        low,
                        top,
                        things,
                    )
                assert all(thing.top < band.box.top for thing in things), (lanes, moment, "touches the rope")
                if band.rows.strips == 1:
                    assert swimmers.out_y == swimmers.back_y, "they are told apart by their noses"


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("size", [24, 120, 480])
def test_no_digit_is_cut_off_above_or_below(window, size, bold):
    """Round digits are higher than straight ones.

    The rows at both edges of what is drawn are empty, those inside are not.
    """
    from pacer.face.kit.textures import strip

    cut = strip(size, bold)
    wide, high = cut.texture.size
    pixels, rows = cut.texture.pixels, range(cut.foot, cut.foot + cut.high)
    inked = [any(pixels[4 * wide * row + 3 : 4 * wide * (row + 1) : 4]) for row in range(high)]
    if cut.texture.uvsize[1] < 0:  # rows from the top
        inked.reverse()
    assert not inked[rows[0]] and not inked[rows[-1]] and sum(inked[row] for row in rows) > 0.74 * size


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
@pytest.mark.parametrize("lanes", [2, 4, 10])
def test_what_is_over_the_booking_is_seen_at_once(window, size, dpi, lanes):
    """Both times of day stand on a ground of their own; without that they stand there too."""
    from pacer.face.clock.poolview import PoolView
    from pacer.show.measure.legibility import Glass
    from pacer.show.measure.theme import DARK
    from pacer.show.view.instantview import pool_view
    from tests.face.shots import demo_run

    view = pool_view(demo_run(lanes=lanes), 26 * 60_000)
    for over in (False, True):
        shown = view._replace(
            out="out 19:01",
            spare=("past the booking, 19:00", "past 19:00") if over else ("booked until 19:00", "until 19:00"),
            over=over,
        )
        pool = drawn_in(window, PoolView(theme=DARK, glass=Glass.of_dpi(dpi)), shown, size)
        header = pool.face.header
        out, spare = header.words["out"], header.words["spare"]
        # Ten lanes leave one row: the time in the session matters more than a booking that is kept.
        narrow = lanes == 10 and (not over or size[1] > size[0])
        assert out.ink and (spare.ink or narrow), (said(out), said(spare))
        ground = header.warning.box
        for words in (out, spare):
            if over and words.ink:
                assert (
                    ground.x <= words.ink[0].x
                    and words.ink[0].right <= ground.right
                    and ground.y <= words.ink[0].y
                    and words.ink[0].top <= ground.top
                )
        assert over or not ground.width
        window.remove_widget(pool)


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
@pytest.mark.parametrize("lanes", [2, 4, 10])
def test_in_the_dials_list_the_time_to_go_and_the_reading_to_leave_at_are_two_things(window, size, dpi, lanes):
    from pacer.face.clock.dialview import DialView
    from pacer.show.measure.legibility import Glass
    from pacer.show.measure.theme import DARK
    from pacer.show.view.instantview import dial_view
    from tests.face.shots import demo_run

    dial = drawn_in(
        window, DialView(theme=DARK, glass=Glass.of_dpi(dpi)), dial_view(demo_run(lanes=lanes), 26 * 60_000), size
    )
    for row in dial.face.rows:
        count, mark = row.count.ink[0], row.mark.ink[0]
        between = row.at.ink[0].x if row.at.ink else mark.x
        assert mark.x - count.right >= (1.0 if lanes < 10 else 0.9) * row.unit and between > count.right + 2
    window.remove_widget(dial)


@pytest.mark.parametrize(("size", "dpi"), [((1280, 650), 149.5), ((800, 1050), 149.5), ((1024, 484), 117.5)])
@pytest.mark.parametrize("lanes", [4, 6])
def test_swimmers_are_no_specks_and_a_reading_to_leave_at_does_not_stand_bare(window, size, dpi, lanes):
    from pacer.face.clock.poolview import PoolView
    from pacer.show.measure.legibility import Glass
    from pacer.show.measure.theme import DARK
    from pacer.show.view.instantview import pool_view
    from tests.face.shots import demo_run

    pool = drawn_in(
        window, PoolView(theme=DARK, glass=Glass.of_dpi(dpi)), pool_view(demo_run(lanes=lanes), 26 * 60_000), size
    )
    for band in pool.face.bands:
        assert band.swimmers.size[1] >= 1.7 * dpi / 25.4, "in mm"
        if band.rows.deck_rows == 2 and band.mark.ink:
            assert said(band.leaves) in ("next", "at")
            assert band.leaves.ink[0].x >= band.word.ink[0].right and band.leaves.ink[0].y >= band.mark.ink[0].top - 2
    window.remove_widget(pool)
