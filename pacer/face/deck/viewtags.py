"""What is over the view for a few seconds: times on their lanes, which a tap corrects; the record that a long press
undoes. The bar has the key that undoes changes.

While anybody of a lane is due, a tap on its water is a time, whatever is shown there.
"""

from __future__ import annotations

from typing import Any, NamedTuple, Protocol

from pacer.face.clock.runningview import RunningView
from pacer.face.deck.leaves.tileaction import action_of
from pacer.face.kit.ink import Box
from pacer.face.kit.textures import measure
from pacer.face.tiles.board import Text, Tile
from pacer.face.tiles.longpressboard import TRACK_MM, LongPressBoard
from pacer.language import tr
from pacer.plan.sentence import capitals
from pacer.session.journal.recordentries import Touched
from pacer.session.records.touches import Swim
from pacer.show.measure.fitting import LINE, lines_height, wrapped
from pacer.show.measure.keyrows import GAP_MM, PADDING_MM, TARGET_MM
from pacer.show.measure.legibility import Glass
from pacer.show.measure.messagetime import TIME_MS, UNDO_MS
from pacer.show.measure.presstime import TAG_MS
from pacer.show.measure.theme import Theme

UNDO = "take back"
OFFER = "offer"
HIGH = 2.2  #: height of a tag, in character heights


class Tag(NamedTuple):
    """Something shown on a lane until `until_ms` (the driver's clock); `touched` None: only words."""

    ways: tuple[str, ...]
    until_ms: int
    touched: Touched | None = None


class TagActs(Protocol):
    """What tags ask of the session's face, and have it do."""

    @property
    def view(self) -> RunningView | None:
        """The view that they lie over."""

    def now_ms(self) -> int:
        """The driver's clock."""

    def due(self, lane: int) -> Swim | None:
        """The swim that a tap on a lane would end now; None if nobody is due."""

    def arrival(self, lane: int) -> None:
        """A tap on a lane where somebody is due."""

    def meant_for_sheet(self, x: float, y: float) -> bool:
        """Whether a tap there was aimed at the sheet that has just closed; the coach is told."""

    def correct(self, entry: Touched) -> None:
        """A tap on a time."""

    def undo(self) -> None:
        """Undo the last change."""

    def would_undo(self) -> tuple[str, ...]:
        """What that would do."""

    def tell_undo(self) -> None:
        """Say on the bar what that would do: the key is held down, and each lane says what becomes of it."""

    def sum_up(self) -> None:
        """Accept what is offered."""


class Tags(LongPressBoard):
    """The tags, over the view."""

    says_more = False  # they never scroll

    def __init__(self, acts: TagActs, **kwargs):
        super().__init__(
            self._press_tag, self._short, (UNDO,), acts.now_ms, began=lambda _name: self._tell_what_follows(), **kwargs
        )
        self.acts, self.now_ms = acts, acts.now_ms
        #: the view, its layout and its forecasts when the tags were laid out
        self._beside: tuple[Any, Any, Any] = (None, None, None)
        self._rows: dict[str, Box] = {}  # where a finger means a tag: over the whole height of its lane
        self._water: dict[int, Box] = {}  # tags that are not keys, by lane: a tap there is one on the water
        self.offered: tuple[str, ...] = ()
        self.strip = 0  #: height of the room for that, below the view
        self._crowded = False  # whether Undo has found no place over the view
        self.tags: dict[int, Tag] = {}
        self.change: Tag | None = None
        self._changed_lane: int | None = None  # the lane it is about; None: several, or all
        self._foot_lane: int | None = None  # where a tag for several lanes is
        self._down_at: tuple[float, float] = (0.0, 0.0)
        self._touchable: set[int] = set()
        self.narrow = False  #: whether a sheet is beside the view, which has its own Undo key

    def put(self, lane: int, ways: tuple[str, ...], touched: Touched | None = None) -> None:
        """Show something on a lane, replacing what was there."""
        self.tags[lane] = Tag(capitals(ways), self.now_ms() + TIME_MS, touched)
        self._touchable.discard(lane)
        self.lay_out()

    def changed(self, ways: tuple[str, ...], lane: int | None = None) -> None:
        """Something was recorded of one lane or of several (None).

        It can be undone here for a while. () removes it.
        """
        if ways or self.change is not None:
            self.change = Tag(capitals(ways), self.now_ms() + UNDO_MS) if ways else None
            self._changed_lane, self._foot_lane = lane, None
            self.lay_out()

    def offer(self, ways: tuple[str, ...]) -> None:
        """Offer something below the view, until it is tapped or () removes it."""
        self.offered = capitals(ways)

    @property
    def wants_strip(self) -> bool:
        """Whether something has to be below the view: an offer, or Undo if it would cover words."""
        return bool(self.offered) or self._crowded

    @property
    def waits(self) -> bool:
        """Whether something here waits for a press: Undo, or an offer."""
        return self.change is not None or bool(self.offered)

    def leave_lanes(self, entry: object = None) -> None:
        """Remove what is shown on lanes; `entry`: only that time."""
        self.tags = {lane: tag for lane, tag in self.tags.items() if entry is not None and tag.touched is not entry}
        self.lay_out()

    def _short(self, name: str) -> None:
        """The key was let go too soon: it times a swimmer who is due there, or says to hold it down."""
        lane = self._lane_at(self._down_at[1]) if name else None
        if lane is not None and self.acts.due(lane) is not None:
            self.acts.arrival(lane)
        elif self.change is not None:
            follows = self.acts.would_undo()
            ways = (*(tr("{way} – hold down", way=way) for way in follows), tr("Hold down"))
            self.change = Tag(capitals((*ways, tr("Hold down"))), self.now_ms() + UNDO_MS)
            self.lay_out()

    def _tell_what_follows(self) -> None:
        """The Undo key is pressed: say what comes back; over lanes the key stays as it is, below the finger."""
        if self.change is not None and self._has_lanes():
            self.acts.tell_undo()
        elif self.change is not None:
            self.change = Tag(capitals((*self.acts.would_undo(), *self.change.ways[-1:])), self.now_ms() + UNDO_MS)
            self.lay_out()

    def _lane_at(self, y: float) -> int | None:
        """Whose water that is."""
        view, face, _ = self._beside
        if isinstance(getattr(face, "index", None), int):
            return face.index
        for index in range(len(getattr(face, "bands", ()))) if hasattr(view, "band_box") else ():
            box = view.band_box(index)
            if box.y <= y < box.top:
                return index
        return None

    def tick(self, now_ms: int) -> None:
        """Remove what has been shown long enough."""
        over = [lane for lane, tag in self.tags.items() if now_ms >= tag.until_ms]
        for lane in over:
            del self.tags[lane]
        gone = self.change is not None and now_ms >= self.change.until_ms and self.pressed != UNDO
        if gone:
            self.change = None
        settled = {lane for lane, tag in self.tags.items() if self._mends(lane, tag)}
        if over or gone or settled != self._touchable or self._beside != self._shown_beside():
            self._touchable = settled
            self.lay_out()

    def _mends(self, lane: int, tag: Tag) -> bool:
        """Whether a tap on a time corrects it.

        It does if nobody else of the lane is due, and the tap that took it is long over.
        """
        return (
            tag.touched is not None and self.now_ms() >= tag.until_ms - TIME_MS + TAG_MS and self.acts.due(lane) is None
        )

    def dress(self, theme: Theme, glass: Glass) -> None:
        """Other looks, another size."""
        self.theme, self.glass = theme, glass
        self.lay_out()

    def _shown_beside(self) -> tuple:
        view = self.acts.view
        face = getattr(view, "face", None)
        said = tuple(band.text for band in getattr(face, "bands", ())) if self.change is not None else ()
        return view, face, None if view is None else (getattr(view, "foretold", None), said)

    def lay_out(self) -> None:
        """Each in the water of its lane, at the far end; the view writes beside them what there is room for."""
        self._beside = view, face, _ = self._shown_beside()
        cap, pad = self.glass.unit_px(self.width, self.height), PADDING_MM * self.glass.px_per_mm
        tiles, self._rows, self._water = [], {}, {}
        alone = getattr(face, "index", None)  # the lane that has the view to itself
        for lane, tag in self.tags.items():
            if alone not in (None, lane):
                continue
            mends, ways = lane in self._touchable, tag.ways
            if mends:
                both = (tr("{way}: tap to correct", way=way) for way in (ways[0], ways[-1]))
                ways = (*both, tr("Tap to correct"), *ways)
            whole, room = self._room(lane)
            way, box = self._fitted(ways, whole, room, cap, min(max(room.height, (LINE + 0.02) * cap), HIGH * cap))
            box = box._replace(y=max(whole.y, min(box.y, whole.top - box.height)))
            tiles.append(self._tile(f"tag {lane}" if mends else "", way, box, "lit"))
            if mends:
                self._rows[f"tag {lane}"] = Box(box.x, min(whole.y, box.y), box.width, max(whole.height, box.height))
            else:
                self._water[lane] = box
        ways = () if self.change is None or self.narrow else self.change.ways
        if not ways:
            self._crowded = False
        else:
            target, about = TARGET_MM * self.glass.px_per_mm, self._changed_lane
            whole, room = self._foot(target) if about is None or not self._has_lanes() else self._own(about, target)
            way, box = self._fitted(ways, whole, room, cap, room.height)
            self._crowded = self._crowded or (self._has_lanes() and box.x < room.x - 1)
            if self._crowded and self.strip:
                way, box = ways, self._in_strip(0.0, 0.5 if self.offered else 1.0)
            held = self.tile(UNDO) if self.pressed == UNDO and self._has_lanes() else None
            if held is not None:  # nothing moves below the finger
                way, box = held.texts[0].ways, self.box_of(held)
            tiles.append(self._tile(UNDO, way, box, "key"))
            self._rows[UNDO] = box if self._has_lanes() else box._replace(height=max(box.height, target))
        if view is not None and face is not None:
            view.keep_clear([Box(self.x + tile.x, self.top - tile.bottom, tile.width, tile.height) for tile in tiles])
        if self.strip and self.offered:
            box = self._in_strip(0.5 if self._crowded else 0.0, 1.0)
            tiles.append(self._tile(OFFER, self.offered, box, "main"))
            self._rows[OFFER] = box
        self.show(tiles, cap, pad)

    def _in_strip(self, left: float, right: float) -> Box:
        """A part of the strip below the view."""
        gap = self.strip * GAP_MM / (TARGET_MM + GAP_MM)
        box = Box(self.x + gap / 2, self.y, self.width - gap, self.strip - gap).part(left, right)
        return box._replace(x=box.x + gap / 2, width=box.width - gap)

    def _room(self, lane: int) -> tuple[Box, Box]:
        """Where a lane is, and where something may cover it without taking room from what is done."""
        view, face, _ = self._beside
        if hasattr(view, "room_for") and face is not None:
            return view.band_box(lane), view.room_for(lane)
        box = view.band_box(lane) if hasattr(view, "band_box") and face is not None else Box(*self.pos, *self.size)
        return box, box

    def _has_lanes(self) -> bool:
        view, face, _ = self._beside
        return hasattr(view, "room_for") and face is not None

    def _own(self, lane: int, high: float) -> tuple[Box, Box]:
        """The same for a key of `high` pixels in a lane, or of the lane's height if that is less.

        The water beside it is another lane's.
        """
        view, _, _ = self._beside
        whole = view.band_box(lane)
        foot = whole._replace(y=whole.y + max(0.0, (whole.height - high) / 2), height=min(high, whole.height))
        left = view.words_end(lane)
        return foot, foot._replace(x=left, width=foot.right - left)

    def _foot(self, high: float) -> tuple[Box, Box]:
        """The same for several lanes: where it covers least; at the foot of a view without lanes."""
        view, face, _ = self._beside
        pad = PADDING_MM * self.glass.px_per_mm
        if not self._has_lanes():
            foot = (
                view.band_box(0)
                if hasattr(view, "band_box") and face is not None
                else Box(self.x, self.y + self.strip + pad, self.width, high)
            )
            return foot, foot
        waters = [view.band_box(index) for index in range(len(face.bands))]

        def place(lane: int) -> tuple[Box, float]:
            y = max(waters[-1].y, waters[lane].y + (waters[lane].height - high) / 2)
            over = [index for index, water in enumerate(waters) if water.y < y + high and y < water.top]
            return waters[lane]._replace(y=y, height=high), max(view.words_end(index) for index in over)

        if self._foot_lane is None:
            self._foot_lane = min(range(len(waters)), key=lambda lane: (round(place(lane)[1]), -lane))
        foot, left = place(min(self._foot_lane, len(waters) - 1))
        return foot, foot._replace(x=left, width=foot.right - left)

    def _fitted(
        self, ways: tuple[str, ...], whole: Box, room: Box, cap: float, high: float
    ) -> tuple[tuple[str, ...], Box]:
        """The words, in one line or two, and their box.

        At the far end of `room`; if not even the shortest fits there, over `whole`.
        """
        pad = PADDING_MM * self.glass.px_per_mm
        most = 2 if high >= lines_height(2, cap) + TRACK_MM * self.glass.px_per_mm * 2 else 1
        for number, way in enumerate(ways):
            for lines in range(1, most + 1):
                rows = wrapped(way, lines, measure, True)
                wide = max(measure(row, cap, True) for row in rows) + 3 * pad if rows else room.width
                if wide <= room.width - pad and (rows or lines == 1):
                    return ways[number:], Box(room.right - wide - pad, room.y + (room.height - high) / 2, wide, high)
        return ways, Box(whole.x + pad, room.y + (room.height - high) / 2, whole.width - 2 * pad, high)

    def _tile(self, name: str, ways: tuple[str, ...], box: Box, look: str) -> Tile:
        pad = PADDING_MM * self.glass.px_per_mm
        lines = 2 if box.height >= lines_height(2, self.glass.unit_px(self.width, self.height)) else 1
        text = Text(ways, (pad, 0, box.width - 2 * pad, box.height), True, across="middle", lines=lines)
        return Tile(name, box.x - self.x, self.top - box.top, box.width, box.height, (text,), look)

    def tile_at(self, x: float, y: float) -> Tile | None:
        """A tag is meant by a finger anywhere in its lane's height, a key by one within a wet thumb's height."""
        for tile in self.tiles:
            row = self._rows.get(tile.name)
            if row is not None and row.x <= x < row.right and row.y <= y < row.top:
                return tile
        return super().tile_at(x, y)

    def show(self, tiles, cap: float, padding: float) -> None:
        """Show tiles without a background: the view goes on below them."""
        super().show(tiles, cap, padding)
        self.ground = (0, 0, 0, 0)

    def _press_tag(self, name: str) -> None:
        if name == UNDO:
            self.acts.undo()
            return
        if name == OFFER:
            self.acts.sum_up()
            return
        lane = action_of(name).first
        touched = self.tags.pop(lane).touched
        self.lay_out()
        if touched is not None:
            self.acts.correct(touched)

    def on_touch_down(self, touch) -> bool:
        """Only tags are touched; all else is the view's. A tag that is not a key counts as its lane's water."""
        self._down_at = touch.pos
        if self.acts.meant_for_sheet(*touch.pos):
            return True
        if self.tile_at(*touch.pos) is not None:
            return super().on_touch_down(touch)
        for lane, box in self._water.items():
            if box.x <= touch.x < box.right and box.y <= touch.y < box.top:
                self.acts.arrival(lane)
                return True
        return False
