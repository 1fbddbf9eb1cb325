"""A board of tiles: what a page shows beside its text, to touch or to reach with a keyboard.

Tiles count down from the board's upper left corner. A board with more than it has room for scrolls, and a strip along
the foot says which way there is more; at rest no tile and no row of words is cut at an edge. A named tile is pressed
when a finger is let go on it; words stay inside their tile and are never cut off.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.clock import Clock
from kivy.graphics import InstructionGroup, PopMatrix, PushMatrix, ScissorPop, ScissorPush, Translate
from kivy.properties import ColorProperty, ObjectProperty
from kivy.uix.widget import Widget

from pacer.face.figures.figureview import FigureView
from pacer.face.kit.background import keep_ground
from pacer.face.kit.focus import nearest, next_name
from pacer.face.kit.ink import Box, Plate, RoundPlate, StateShape, Words
from pacer.face.kit.qrpicture import draw_squares
from pacer.face.kit.scroller import HIDDEN_MM, Scroller
from pacer.face.tiles.morefoot import Stops, draw_mark, draw_more, more_height
from pacer.face.tiles.tile import Bar, Picture, Text, Tile
from pacer.show.editing.pagecolours import colour_of
from pacer.show.measure.keyrows import FOCUS_MM
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import SMALL

__all__ = ["Bar", "Board", "Picture", "Text", "Tile"]

SLOP_MM = 3.0  #: a finger that moves farther scrolls
CORNER_MM = 2.0
EDGE_MM = 0.25
CLEAR_MM = 0.6  #: of background between ring and tile, so that the ring shows on a lit tile too
RING_MM = CLEAR_MM + FOCUS_MM  #: from a tile's edge to the outer edge of its ring
ASCENDER = 0.15  #: of a row of words: how far letters reach into the row above
REPEATED = "letter rub"  #: the key that is pressed again and again while a finger stays on it
REPEATS_AFTER_S, REPEATS_S = 0.5, 0.08


class Board(Widget):
    """Tiles in a widget.

    `press(name)` is called when one is pressed. `focus` is the name of the tile that Enter would press.
    """

    ground = ColorProperty((0, 0, 0))
    theme: Theme = ObjectProperty(DARK)
    glass: Glass = ObjectProperty(Glass())

    _tapped: tuple[int, str] | None = None  # what the last finger tapped: the board, and the tile on it
    says_more = True  #: whether a strip along the foot says that there is more; else a mark at the side does

    def __init__(self, press: Callable[[str], None] = lambda name: None, **kwargs):
        super().__init__(**kwargs)
        keep_ground(self)
        self.press = press
        self.cap = self.padding = 1.0
        self.tiles: tuple[Tile, ...] = ()
        self.content_height = 0.0  #: down to the foot of the lowest tile
        self._shown: tuple = ()
        self._resting = Stops()  #: where scrolling may come to rest
        self.focus = ""
        self.pressed = ""
        self._down: tuple[float, float] | None = None
        self._before: dict[tuple, FigureView] = {}
        self.scroller = Scroller(lambda: self._draw_later())
        self._frame = InstructionGroup()
        self.words: list[tuple[Tile, Words]] = []
        self._pictures: dict[tuple, FigureView] = {}  #: as drawn last
        self.canvas.add(self._frame)
        self._draw_later = Clock.create_trigger(self._draw, -1)
        self._repeated = False  #: whether the finger on it has pressed the key already
        self.bind(size=lambda *_: self._limit())
        self.bind(pos=lambda *_: self._draw_later(), size=lambda *_: self._draw_later())

    # -- tiles ----------------------------------------------------------------------------------------

    def show(self, tiles: Sequence[Tile], cap: float, padding: float) -> None:
        """Show these tiles with capitals `cap` high and `padding` inside each."""
        tiles = tuple(tiles)
        self.ground = self.theme.ground
        shown = tiles, cap, padding, self.theme, self.glass
        if shown == self._shown:
            return
        self._shown = shown
        self.cap, self.padding = cap, padding
        self.tiles = tiles
        self.content_height = max((tile.bottom for tile in tiles), default=0.0)
        self._resting = Stops(tiles, padding)
        self._limit()
        self._draw_later()

    @property
    def foot(self) -> float:
        """The height of the strip that says that there is more, 0 if everything is seen."""
        high = self.content_height
        return more_height(self.cap) if self.says_more and high > self.height + HIDDEN_MM * self._mm else 0.0

    @property
    def _mm(self) -> float:
        return self.glass.px_per_mm

    @property
    def seen(self) -> float:
        """The height in which tiles are seen."""
        return self.height - self.foot

    def _limit(self) -> None:
        most = max(0.0, self.content_height - self.seen)
        if self.foot:  # at the end, too, stop where nothing is cut at the upper edge
            most = self._resting.from_(most - 1)
        self.scroller.limit(self.seen + most, self.seen)

    def roll(self, by: float) -> None:
        """Scroll by that many pixels and on to the next place to rest; a whole step if that is farther."""
        stops, to = self._resting, self.scroller.offset + by
        self.scroller.to(to if not self.foot else stops.from_(to) if by > 0 else stops.to(to))

    def _settle(self) -> None:
        """At rest nothing is cut at the upper edge."""
        if self.foot and self._down is None and self.scroller.rests:
            offset = self.scroller.offset
            near = self._resting.nearest(offset)
            if abs(near - offset) > 1:
                self.scroller.to(near)

    def scroll_to(self, name: str) -> None:
        """Scroll a tile into view."""
        tile = self.tile(name)
        if tile is not None:
            self.bring(tile, RING_MM * self._mm if name == self.focus else 0)

    def bring(self, tile: Tile, ring: float = 0) -> None:
        """Scroll a tile into view, with a ring around it."""
        if self.tiles:
            self._limit()
            self.scroller.show(tile.top - ring, tile.bottom + ring, self.seen)
            self._settle()
            if tile.bottom - self.scroller.offset > self.seen + 1:
                self.roll(tile.bottom - self.scroller.offset - self.seen)

    def tile(self, name: str) -> Tile | None:
        """The tile of that name."""
        return next((tile for tile in self.tiles if tile.name == name), None)

    def box_of(self, tile: Tile) -> Box:
        """Where a tile is in the window."""
        return Box(self.x + tile.x, self.top - tile.bottom + self.scroller.offset, tile.width, tile.height)

    def placed(self) -> list[tuple[str, Box]]:
        """What can be pressed now and where, as far as it is in view."""
        return [(tile.name, self.box_of(tile)) for tile in self.tiles if tile.name and self._in_view(tile, whole=True)]

    def drawn(self) -> list[Words]:
        """Everything written that is in view."""
        return [words for tile, words in self.words if words.ink and self._in_view(tile, whole=True)]

    def _in_view(self, tile: Tile, whole: bool = False) -> bool:
        box = self.box_of(tile)
        low = self.y + self.foot
        if whole:
            return box.y >= low - 1.5 and box.top <= self.top + 1.5
        return box.top > low and box.y < self.top

    def _draw(self, *_) -> None:
        group = self._frame
        group.clear()
        self.words, before, self._pictures = [], self._pictures, {}
        self._before = before
        self._settle()
        foot = self.foot
        self._clip(self.y + foot, self.top)
        for place, tile in enumerate(self.tiles):
            if self._in_view(tile) and (self._cuts or self._resting.followed(place, self._begins_in_view)):
                if self._cuts or self._in_view(tile, whole=True):
                    self._draw_tile(tile, self.box_of(tile))
                else:
                    self._draw_part(tile)
        if not self.says_more:
            box = Box(self.x, self.y, self.width, self.height)
            draw_mark(group, self.scroller, box, self._more(), self._mm, self.theme)
        group.add(ScissorPop())
        if foot:
            draw_more(group, Box(self.x, self.y, self.width, foot), self._more(), self.cap, self.theme)

    @property
    def _cuts(self) -> bool:
        """Whether tiles may be cut by an edge: while they move, or if no strip says that there is more."""
        return not self.foot or self._down is not None or not self.scroller.rests

    def _begins_in_view(self, tile: Tile) -> bool:
        box, part = self.box_of(tile), tile.texts[0].box if len(tile.texts) == 1 else None
        if tile.look == "plain" and part is not None:
            box = Box(box.x, box.top - part[1] - part[3] / tile.texts[0].lines, box.width, 0)
        return box.y >= self.y + self.foot - 1.5 or tile.height > self.seen

    def _clip(self, low: float, high: float) -> None:
        x, y = self.to_window(self.x, low)
        self._frame.add(
            ScissorPush(x=int(x), y=int(y), width=max(1, int(self.width + 0.5)), height=max(1, int(high - low + 0.5)))
        )

    def _draw_part(self, tile: Tile) -> None:
        """A tile cut by an edge: only its whole rows of words; one higher than the board as far as there is room."""
        box, low = self.box_of(tile), self.y + self.foot
        text = tile.texts[0] if len(tile.texts) == 1 and tile.texts[0].lines > 1 else None
        part = None if text is None else text.box
        if tile.look == "plain" and text is not None and part is not None:
            row = part[3] / text.lines
            under = box.top - part[1]
            high = min(self.top, under if box.top <= self.top + 1 else under - row * -(-(under - self.top - 1) // row))
            foot = max(low, box.y) if box.y >= low else under - row * ((under - low + 1) // row - ASCENDER)
        elif tile.height > self.seen:
            high, foot = self.top, low
        else:
            return
        if high > foot + 1:
            self._clip(foot, high)
            self._draw_tile(tile, box)
            self._frame.add(ScissorPop())

    def _more(self) -> tuple[bool, bool]:
        """Whether there is more above, and below."""
        return self.scroller.offset > 1, self.scroller.offset < self.scroller.most - 1

    def _draw_tile(self, tile: Tile, box: Box) -> None:
        group, theme, mm = self._frame, self.theme, self.glass.px_per_mm
        lit = tile.look == "lit" or (tile.name and tile.name == self.pressed)
        main = tile.look == "main" and tile.able and not lit
        ink, dim = (theme.flip_ink,) * 2 if lit else (theme.on_state,) * 2 if main else (theme.ink, theme.dim)
        if lit or tile.look in ("key", "main", "row"):
            ground = theme.flip if lit else theme.colour("go") if main else theme.water if tile.able else theme.ground
            if tile.look == "row":
                Plate(group).put(box, ground)
            else:
                RoundPlate(group).put(box, ground, CORNER_MM * mm)
        for bar in tile.bars:
            if bar.shape:
                StateShape(group).put(bar.shape, _inside(box, bar.box), theme.colour(bar.colour))
            else:
                Plate(group).put(_inside(box, bar.box), theme.colour(bar.colour))
        for picture in tile.pictures:
            self._draw_picture(picture, _inside(box, picture.box))
        for squares in tile.squares:
            draw_squares(group, squares.rows, _inside(box, squares.box))
        if tile.look in ("key", "main") and not lit and not main:
            RoundPlate(group).put(box, theme.line, CORNER_MM * mm, stroke=max(1, EDGE_MM * mm))
        for number, text in enumerate(tile.texts):
            if not text.ways or not text.ways[0]:
                continue
            place = _inside(box, text.box) if text.box else box.inset(self.padding, 0)
            colour = (
                dim
                if text.colour == "dim" or not tile.able
                else ink
                if text.colour == "ink"
                else colour_of(text.colour, theme)
            )
            cap = self.cap * text.cap
            words = Words(group, f"{tile.name or 'text'} {number}")
            words.put(
                text.ways, place, cap, cap, colour, bold=text.bold, across=text.across, up=text.up, lines=text.lines
            )
            self.words.append((tile, words))
        if tile.name and tile.name == self.focus:
            RoundPlate(group).put(box.inset(-RING_MM * mm), theme.ink, (CORNER_MM + RING_MM) * mm, stroke=FOCUS_MM * mm)

    def _draw_picture(self, picture: Picture, box: Box) -> None:
        """A figure, laid out once and then only moved."""
        size, cap = (round(box.width), round(box.height)), self.cap * SMALL
        key = (id(picture.figure), size, picture.words, self.theme.name, cap)
        view = self._pictures.get(key) or self._before.get(key)
        if view is None:
            view = FigureView(self.theme, cap, bare=not picture.words, pos=(0, 0), size=size)
            view.show(picture.figure)
        self._pictures[key] = view
        for instruction in (PushMatrix(), Translate(round(box.x), round(box.y)), view.canvas, PopMatrix()):
            self._frame.add(instruction)

    # -- fingers ------------------------------------------------------------------------------------------

    def tile_at(self, x: float, y: float) -> Tile | None:
        if y < self.y + self.foot:
            return None
        for place, tile in reversed(list(enumerate(self.tiles))):
            box = self.box_of(tile)
            if tile.name and box.x <= x < box.right and box.y <= y < box.top and self._seen(place, tile):
                return tile
        return None

    def _seen(self, place: int, tile: Tile) -> bool:
        """Whether a tile to touch is drawn: what nobody sees nobody presses."""
        whole = self._in_view(tile, whole=True) or tile.height > self.seen
        return self._cuts or whole and self._resting.followed(place, self._begins_in_view)

    def on_touch_down(self, touch) -> bool:
        """A finger comes down: on a tile, or to scroll."""
        if not self.collide_point(*touch.pos) or self._down is not None:
            return False
        if touch.is_mouse_scrolling:
            self.roll(3 * self.cap * (1 if touch.button == "scrollup" else -1))
            return True
        if touch.y < self.y + self.foot:
            above, below = self._more()
            self.roll(self.seen if below and (touch.x > self.center_x or not above) else -self.seen)
            return True
        touch.grab(self)
        self._down = touch.pos
        tile = self.tile_at(*touch.pos)
        self.pressed = tile.name if tile and not self._bounced(touch, tile.name) else ""
        if self.pressed == REPEATED:
            Clock.schedule_once(self.repeat, REPEATS_AFTER_S)
        self.scroller.start(touch.y)
        self._draw_later()
        return True

    def repeat(self, _dt: float) -> None:
        """Press the key again while the finger stays on it."""
        if self._down is not None and self.pressed == REPEATED:
            self._repeated = True
            self._let_go(REPEATED)
            Clock.schedule_once(self.repeat, REPEATS_S)

    def _bounced(self, touch, name: str) -> bool:
        """Whether a wet finger has bounced.

        Its second tap on the same spot means what the first was on, not what has appeared there since.
        """
        first, Board._tapped = Board._tapped, (id(self), name)
        return touch.is_double_tap and first not in (None, Board._tapped)

    def on_touch_move(self, touch) -> bool:
        """A finger that moves away scrolls, and presses nothing."""
        if touch.grab_current is not self:
            return False
        if self._down is None:
            return True
        slop = SLOP_MM * self.glass.px_per_mm
        if self.scroller.scrolls:
            if abs(touch.y - self._down[1]) > slop:
                self.pressed = ""
            self.scroller.drag(touch.y)
        tile = self.tile_at(*touch.pos)
        if tile is None or tile.name != self.pressed:
            self.pressed = ""
        self._draw_later()
        return True

    def on_touch_up(self, touch) -> bool:
        """A finger is let go on the tile on which it came down."""
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        self.scroller.stop(touch.y)
        name, self.pressed, self._down = "" if self._repeated else self.pressed, "", None
        Clock.unschedule(self.repeat)
        self._repeated = False
        self._limit()
        self._draw_later()
        self._let_go(name)
        return True

    def _let_go(self, name: str) -> None:
        """Press a tile, unless another finger has removed it, or the whole board, meanwhile."""
        if name and self.parent is not None and self.tile(name) is not None:
            self.press(name)

    # -- keys -----------------------------------------------------------------------------------------------

    def step_focus(self, step: int) -> bool:
        """Move to the next tile that can be pressed, or the one before; False if there is none."""
        names = [tile.name for tile in self.tiles if tile.name]
        self.set_focus(next_name(names, self.focus, step))
        return bool(self.focus)

    def move_focus(self, across: int, down: int) -> bool:
        """Move to the nearest tile in a direction; False if there is none."""
        here = self.tile(self.focus)
        there = None if here is None else nearest(here, [tile for tile in self.tiles if tile.name], across, down)
        if there is None:
            return False
        self.set_focus(there.name)
        return True

    def set_focus(self, name: str) -> None:
        """Set the tile that Enter presses, "" for none."""
        self.focus = name
        self.scroll_to(name)
        self._draw_later()


def _inside(box: Box, part: tuple[float, float, float, float]) -> Box:
    """A part of a tile in the window."""
    left, top, width, height = part
    return Box(box.x + left, box.top - top - height, width, height)
