"""What stands over the view for a few seconds: a time on its lane, which a tap corrects, and a change, which a held press takes back."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from pacer.face.bar import PADDING_MM, TARGET_MM
from pacer.face.board import Text, Tile
from pacer.face.faceview import FaceView
from pacer.face.fitting import LINE
from pacer.face.heldboard import HeldBoard
from pacer.face.ink import Box
from pacer.face.legibility import Glass
from pacer.face.readings import count_down
from pacer.face.text import measure
from pacer.face.theme import Theme
from pacer.face.words import nth
from pacer.session.ongoing import Run
from pacer.session.records import Touched
from pacer.session.touches import difference, tenths, told

STANDS_MS = 12_000    #: how long a time stands on its lane
NEXT_MS = 3_000       #: so long a tap on it is the next swimmer's touch, who is seldom farther behind
BACK_MS = 10_000      #: and how long a change can be taken back there
UNDO = "take back"
OFFER = "offer"
HIGH = 2.2            #: height of a tag, in character heights


class Tag(NamedTuple):
    """What stands on a lane until `until_ms` (the driver's clock); `touched` None: only words."""

    ways: tuple[str, ...]
    until_ms: int
    touched: Touched | None = None


class Tags(HeldBoard):
    """The tags, over the view.

    `correct(touched)` is called for a time that is tapped, `take_back()` for a change that is taken back, `accept()` for what is offered.
    """

    def __init__(self, now_ms: Callable[[], int], view: Callable[[], FaceView | None], correct: Callable[[Touched], None],
                 take_back: Callable[[], None], accept: Callable[[], None] = lambda: None, **kwargs):
        super().__init__(self._tapped, lambda _name: self._say_hold(), (UNDO,), now_ms, **kwargs)
        self._view, self._correct, self._take_back, self._accept = view, correct, take_back, accept
        self._beside: tuple | None = None      # what view was laid out how when the tags were
        self._rows: dict[str, Box] = {}        # where a finger means a tag: the height of its lane
        self.offered: tuple[str, ...] = ()
        self.tags: dict[int, Tag] = {}
        self.change: Tag | None = None
        self._touchable: set[int] = set()
        self.narrow = False       #: whether a sheet stands beside the view, which has its own key to take back

    def put(self, lane: int, ways: tuple[str, ...], touched: Touched | None = None) -> None:
        """Something for a lane, in place of what stood there."""
        self.tags[lane] = Tag(ways, self.now_ms() + STANDS_MS, touched)
        self.lay_out()

    def changed(self, ways: tuple[str, ...]) -> None:
        """A change was made: it can be taken back here for a while. () takes that away."""
        self._offer_back(*(f"Take back “{way}”" for way in ways), *(["Take back"] if ways else []))

    def _offer_back(self, *ways: str) -> None:
        self.change = Tag(ways, self.now_ms() + BACK_MS) if ways else None
        self.lay_out()

    def offer(self, ways: tuple[str, ...]) -> None:
        """Offer something, until it is touched or () takes it away."""
        if ways != self.offered:
            self.offered = ways
            self.lay_out()

    def leave_lanes(self) -> None:
        """Take away what stands on lanes."""
        self.tags.clear()
        self.lay_out()

    def _say_hold(self) -> None:
        if self.change is not None:
            self._offer_back("Take back: hold it until it is full", "Take back: hold it")

    def tick(self, now_ms: int) -> None:
        """Let go of what has stood long enough."""
        over = [lane for lane, tag in self.tags.items() if now_ms >= tag.until_ms]
        for lane in over:
            del self.tags[lane]
        gone = self.change is not None and now_ms >= self.change.until_ms and self.pressed != UNDO
        if gone:
            self.change = None
        settled = {lane for lane, tag in self.tags.items() if self._settled(tag)}
        if over or gone or settled != self._touchable or self._beside != self._shown_beside():
            self._touchable = settled
            self.lay_out()

    def _settled(self, tag: Tag) -> bool:
        """Whether a time has stood long enough for a tap on it to mean it, and not the next swimmer who touches."""
        return self.now_ms() >= tag.until_ms - STANDS_MS + NEXT_MS

    def dress(self, theme: Theme, glass: Glass) -> None:
        """Other looks, another size."""
        self.theme, self.glass = theme, glass
        self.lay_out()

    def _shown_beside(self) -> tuple:
        view = self._view()
        return view, getattr(view, "face", None)

    def lay_out(self) -> None:
        """Each in the water of its lane, at the far end; the view says beside them what it has room for."""
        self._beside = view, face = self._shown_beside()
        cap, pad = self.glass.unit_px(self.width, self.height), PADDING_MM * self.glass.px_per_mm
        tiles, self._rows = [], {}
        for lane, tag in self.tags.items():
            mends = tag.touched is not None and self._settled(tag)
            ways = (f"{tag.ways[0]}: put it right", f"{tag.ways[-1]}: put it right", *tag.ways) if mends else tag.ways
            whole, room = self._room(lane)
            way, box = self._fitted(ways, whole, room, cap, min(max(room.height, (LINE + 0.02) * cap), HIGH * cap))
            tiles.append(self._tile(f"tag {lane}" if mends else "", way, box, "lit"))
            self._rows[f"tag {lane}"] = Box(box.x, min(whole.y, box.y), box.width, max(whole.height, box.height))
        ways = self.offered if self.change is None or self.narrow else self.change.ways
        if ways and not (self.narrow and self.change is not None and not self.offered):
            own = self.change is not None and not self.narrow
            target, name = TARGET_MM * self.glass.px_per_mm, UNDO if own else OFFER
            whole, room = self._foot(target)
            way, box = self._fitted(ways, whole, room, cap, room.height)
            tiles.append(self._tile(name, way, box, "key" if own else "main"))
            self._rows[name] = box._replace(height=max(box.height, target))
        if view is not None and face is not None:
            view.keep_clear([Box(self.x + tile.x, self.top - tile.bottom, tile.width, tile.height) for tile in tiles])
        self.show(tiles, cap, pad)

    def _room(self, lane: int) -> tuple[Box, Box]:
        """Where a lane is, and where in it something may stand with no word of what is done giving way."""
        view, face = self._beside
        if hasattr(view, "room_for") and face is not None:
            return view.band_box(lane), view.room_for(lane)
        box = view.band_box(lane) if hasattr(view, "band_box") and face is not None else Box(*self.pos, *self.size)
        return box, box

    def _foot(self, high: float) -> tuple[Box, Box]:
        """The same at the foot of the view, `high` pixels of it: in the last lanes."""
        view, face = self._beside
        pad = PADDING_MM * self.glass.px_per_mm
        foot = view.band_box(0) if hasattr(view, "band_box") and face is not None else Box(self.x, self.y + pad, self.width, high)
        if not hasattr(view, "room_for") or face is None:
            return foot, foot
        whole = view.band_box(len(face.bands) - 1)
        foot = whole._replace(y=whole.y + max(0.0, (whole.height - high) / 2), height=high)
        left = max(view.least_end(index) for index in range(len(face.bands)) if view.band_box(index).y < foot.top)
        return foot, foot._replace(x=left, width=foot.right - left)

    def _fitted(self, ways: tuple[str, ...], whole: Box, room: Box, cap: float, high: float) -> tuple[tuple[str, ...], Box]:
        """What is said, and in which box: at the far end of `room`; where not even the shortest has room there, over `whole`."""
        pad = PADDING_MM * self.glass.px_per_mm
        fits = [way for way in ways if measure(way, cap, True) + 3 * pad <= room.width - pad]
        if fits:
            wide = measure(fits[0], cap, True) + 3 * pad
            box = Box(room.right - wide - pad, room.y + (room.height - high) / 2, wide, high)
        else:
            box = Box(whole.x + pad, room.y + (room.height - high) / 2, whole.width - 2 * pad, high)
        return tuple(fits) or ways, box

    def _tile(self, name: str, ways: tuple[str, ...], box: Box, look: str) -> Tile:
        pad = PADDING_MM * self.glass.px_per_mm
        text = Text(ways, (pad, 0, box.width - 2 * pad, box.height), True, across="middle")
        return Tile(name, box.x - self.x, self.top - box.top, box.width, box.height, (text,), look)

    def _tile_at(self, x: float, y: float) -> Tile | None:
        """A tag is meant by a finger anywhere in its lane's height, a key by one in that of a wet thumb."""
        for tile in self.tiles:
            row = self._rows.get(tile.name)
            if row is not None and row.x <= x < row.right and row.y <= y < row.top:
                return tile
        return super()._tile_at(x, y)

    def show(self, tiles, cap: float, padding: float) -> None:
        """Show tiles on no ground: the view goes on below them."""
        super().show(tiles, cap, padding)
        self.ground = (0, 0, 0, 0)

    def _tapped(self, name: str) -> None:
        if name == UNDO:
            self._take_back()
            return
        if name == OFFER:
            self._accept()
            return
        lane = int(name.removeprefix("tag "))
        touched = self.tags.pop(lane).touched
        self.lay_out()
        if touched is not None:
            self._correct(touched)

    def on_touch_down(self, touch) -> bool:
        """Only tags are touched; all else is the view's."""
        return self._tile_at(*touch.pos) is not None and super().on_touch_down(touch)


def time_ways(run: Run, entry: Touched) -> tuple[str, ...]:
    """A time that was taken: who, the time, what it is above the prediction or `hold`, the rest left."""
    return (*(f"{nth(entry.swimmer)} {way}" for way in value_ways(run, entry)), tenths(entry.time_cs))


def value_ways(run: Run, entry: Touched) -> tuple[str, ...]:
    """The same without who."""
    time = tenths(entry.time_cs)
    said = told(run, entry)
    if said is None:
        return (time,)
    over = difference(said.over_predicted_ms) if said.over_hold_ms is None else f"hold {difference(said.over_hold_ms)}"   # it replaces the prediction
    rest = "" if said.rest_ms is None or said.rest_ms < 0 else f"  rest {count_down(said.rest_ms // 1000)}"
    whole = f"{time}  {over}{rest}"
    return tuple(dict.fromkeys((whole, " ".join(whole.split()), f"{time}  {over}", time)))
