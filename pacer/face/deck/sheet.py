"""The sheet beside the view, which shows the leaves. It covers neither the clock nor any lane."""

from __future__ import annotations

from collections.abc import Hashable
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import ColorProperty
from kivy.uix.widget import Widget

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.kit.textures import measure
from pacer.face.tiles.board import RING_MM, Board, Text, Tile
from pacer.face.tiles.column import Column
from pacer.face.tiles.longpressboard import LongPressBoard
from pacer.face.tiles.morefoot import more_height
from pacer.show.measure.fitting import lines_height
from pacer.show.measure.keyrows import GAP_MM, PADDING_MM, TARGET_MM
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme
from pacer.show.measure.typesizes import SMALL
from pacer.show.wording.commonkeys import CLOSE

if TYPE_CHECKING:
    from pacer.face.deck.sheetline import SheetLine

FIELD_MM = 9.0  #: height of a line to write in: only the keys below it are touched

Builder.load_file(str(Path(__file__).with_suffix(".kv")))


class Sheet(Widget):
    """Draws the leaf on top of `deck`; call `tick` in each frame."""

    ground = ColorProperty((0, 0, 0))
    edge = ColorProperty((1, 1, 1))

    def __init__(self, deck: Deck, **kwargs):
        super().__init__(**kwargs)
        self.deck = deck
        self.head = Board(self._press)
        self.body = LongPressBoard(self._press, self._short, (), deck.driver.now_ms, began=deck.ask)
        self.boards = [self.head, self.body]
        self._stamp: Hashable = None
        self._shown: tuple[Leaf | None, int | None] = (None, None)  # the leaf, and the lane that it is for
        self._asked = ""
        self.field: SheetLine | None = None  #: the line to write in, if the leaf has one
        self._mm = self._cap = 1.0
        for board in self.boards:
            self.add_widget(board)

    def lay_out(self, theme: Theme, glass: Glass, mm: float, upright: bool) -> None:
        """Lay everything out again after size, theme or screen have changed; `mm` is the pixels of a millimetre."""
        self.ground, self.edge = theme.ground, theme.line
        self._mm, self._cap, self._upright = mm, glass.unit_px(self.width, self.height), upright
        for board in self.boards:
            board.theme, board.glass = theme, glass
        self._build()

    def tick(self) -> None:
        """Build the leaf again if what it shows has changed."""
        if self.deck.leaves:
            self.deck.leaf.frame()
            if self.body.pressed in self.body.long_presses:
                self.deck.renew(self.body.pressed)
        if self.deck.leaves and self.deck.stamp() != self._stamp:
            self._build()

    def _build(self) -> None:
        if not self.deck.leaves:
            return
        deck, mm, cap = self.deck, self._mm, self._cap
        self._stamp = deck.stamp()
        leaf = deck.leaf
        gap, target, padding = GAP_MM * mm, TARGET_MM * mm, PADDING_MM * mm
        inner = self.width - 2 * gap
        high = max(target, lines_height(2, cap) + padding)
        wide = max(target, measure(CLOSE, cap, True) + 2 * padding + 1)
        room = inner - wide - gap
        ways, answers = deck.note()
        texts: tuple[Text, ...]
        if answers:
            texts = (Text(ways, (0, 0, room, high), True, lines=3, cap=SMALL),)
        elif ways[0]:
            texts = (
                Text((leaf.title,), (0, 0, room, high / 2), True),
                Text(ways, (0, high / 2, room, high / 2), colour="dim"),
            )
        else:
            texts = (Text((leaf.title,), (0, 0, room, high), True, lines=2),)
        tiles = [
            Tile("", gap, gap, room, high, texts, "plain"),
            Tile("close", self.width - gap - wide, gap, wide, high, (Text((CLOSE,), bold=True, across="middle"),)),
        ]
        high += 2 * gap
        self.head.size, self.head.pos = (self.width, high), (self.x, self.top - high)
        self.head.show(tiles, cap, padding)
        high += self._lay_field(high)
        lip = RING_MM * self.body.glass.px_per_mm  # no board cuts the edge of its first row, or the ring around a key
        self.body.size, self.body.pos = (self.width, max(1, self.height - high + lip)), self.pos
        for room in (self.body.height, self.body.height - more_height(cap)):
            column = Column(inner, cap, padding, gap, target, x=gap, top=lip, room=room)
            leaf.build(column, self._upright)
            if column.top - gap <= room + 1:  # everything is seen
                break
        column.spread()
        self.body.long_presses = leaf.long_presses()
        if (leaf, deck.hand) != self._shown:
            self._shown = leaf, deck.hand
            self.body.scroller.to(0)
        names = [tile.name for tile in self.body.tiles if tile.name]
        place = names.index(self.body.focus) if self.body.focus in names else -1
        self.body.show(column.tiles, cap, padding)
        if (
            place >= 0 and self.body.tile(self.body.focus) is None
        ):  # the key has another name now: the focus stays on it
            names = [tile.name for tile in self.body.tiles if tile.name]
            self.body.set_focus(names[min(place, len(names) - 1)] if names else "")

    # -- a line to write in --------------------------------------------------------------------------------

    @property
    def writing(self) -> bool:
        """Whether the keyboard's keys go to the field."""
        return self.field is not None and self.field.focus

    def _lay_field(self, down: float) -> float:
        """Place the top leaf's line `down` below the sheet's upper edge; returns the height it takes."""
        draft, mm = self.deck.leaf.draft, self._mm
        if self.field is not None and self.field.draft is not draft:
            self._drop_field()
        if draft is None:
            return 0.0
        high, gap = FIELD_MM * mm, GAP_MM * mm
        field, fresh = self.field, self.field is None
        if field is None:
            from pacer.face.deck.sheetline import SheetLine  # not needed before

            field = self.field = SheetLine(
                draft, single=True, done=lambda: self._press("do"), leave=lambda: self._press("close")
            )
            self.add_widget(self.field)
        field.theme, field.glass, field.cap = self.head.theme, self.head.glass, self._cap
        field.size, field.pos = (self.width - 2 * gap, high), (self.x + gap, self.top - down - high)
        field.lay_out()
        if fresh:
            field.focus = True
        return high + gap

    def _drop_field(self) -> None:
        field, self.field = self.field, None
        if field is not None:
            field.focus = False
            self.remove_widget(field)

    def on_parent(self, _instance, parent) -> None:
        """Removed from the screen: release the keyboard."""
        if parent is None and self.field is not None:
            self._drop_field()

    def press_focus(self) -> bool:
        """Press the focused tile.

        A change of the session is said first and done by the second press.
        """
        board = next((board for board in self.boards if board.focus and board.tile(board.focus)), None)
        if board is None:
            return False
        name = board.focus
        if board is self.body and name in self.body.long_presses and (self.deck.asked is None or self._asked != name):
            self._asked = name
            self.deck.ask(name)
        else:
            self._press(name)
        self.tick()
        return True

    def _press(self, name: str) -> None:
        deck = self.deck
        if name == "close":
            deck.back()
        elif name in self.body.long_presses:
            deck.do(name)
        else:
            deck.press(name)
        self.tick()

    def _short(self, name: str) -> None:
        self.deck.let_go(name)
        self.tick()

    def on_touch_down(self, touch) -> bool:
        """The gaps beside the tiles do nothing."""
        return super().on_touch_down(touch) or self.collide_point(*touch.pos)
