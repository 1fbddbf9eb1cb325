"""Lane screens: where they join, and what the coach does with each. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.tile import Squares, Text, Tile
from pacer.language import tr
from pacer.plan.decimals import decimals
from pacer.plan.times import text_from_ms
from pacer.screens.pairingcode import qr_rows
from pacer.show.drive.pressproposal import Proposal

if TYPE_CHECKING:
    from pacer.screens.lanescreens import LaneScreens
    from pacer.screens.screenlist import Row

OFF = tr(
    "Use old phones or tablets as lane screens, in sync with this tablet. They connect over the pool's "
    "network or this tablet's hot spot. No internet needed."
)
SURE_MS = 100.0  #: a clock that may be off by more than this is marked as unsure
QR_ROOM = 0.5  #: the QR code's share of the height seen at once
QR_CAPS = 9.0  #: its least height, in character heights
#: Keys to keep pressed, and what they do.
_ASKED = {
    "turn off": (tr("turns off all lane screens"), tr("turn screens off")),
    "let help": (tr("it can take times and press STOP ALL"), tr("let it help")),
    "send away": (tr("disconnects this screen"), tr("disconnect it")),
    "help again": (tr("they can take times and press STOP ALL"), tr("let them help")),
}


class ScreensLeaf(Leaf):
    """On or off, the QR code with the address and the code, and the screens that have joined."""

    title = tr("Lane screens")

    @property
    def about(self) -> int | None:
        """No lane is framed."""
        return None

    @property
    def _screens(self) -> LaneScreens | None:
        return self.deck.acts.switch.screens

    def stamp(self) -> Hashable:
        """All that is shown."""
        screens = self._screens
        if screens is None:
            return None
        return screens.scanned, screens.code, screens.trouble, tuple(self.said(row) for row in screens.rows)

    def build(self, column: Column, upright: bool) -> None:
        """The key that turns them on; or everything about them."""
        screens = self._screens
        if screens is None:
            column.say(OFF)
            column.skip()
            column.row(Cell("turn on", (tr("Turn on"),), look="main"))
            return
        if screens.trouble:
            column.say(screens.trouble, bold=True)
            column.skip()
        if screens.scanned:
            self._where(column, screens)
        elif not screens.trouble:
            column.say(tr("Starting"), colour="dim")
        for row in screens.rows:
            name, ways = self.said(row)
            column.row(Cell(str(TileAction("screen", row.number)), ways, label=(name,), across="left"))
        if not screens.rows:
            column.say(tr("No screen has joined yet."), colour="dim")
            column.skip()
        if again := len(self._helped(screens)):
            ways = (
                (tr("Let last time's helper help"),)
                if again == 1
                else (tr("Let last time's {again} helpers help", again=again), tr("Let helpers help"))
            )
            column.row(Cell("help again", ways))
        column.row(Cell("new code", (tr("New code"),)), Cell("turn off", (tr("Turn off"),)))

    @staticmethod
    def _helped(screens: LaneScreens) -> tuple[int, ...]:
        """The screens that helped in the session before, and may again."""
        return tuple(row.number for row in screens.rows if row.helped_before and row.connected and not row.helps)

    def _where(self, column: Column, screens: LaneScreens) -> None:
        """The address, the QR code of screens that may help, and beside it the code with which it only shows."""
        address = screens.address.removeprefix("http://")
        column.say(tr("In the browser: {address}", address=address), bold=True)
        if screens.others:
            others = ", ".join(each.removeprefix("http://").partition(":")[0] for each in screens.others)
            column.say(tr("or {others}", others=others), colour="dim")
        column.skip(0.5)
        rows = qr_rows(screens.scanned)
        side = min(0.55 * column.width, max(QR_ROOM * column.room, QR_CAPS * column.cap))
        side = max(len(rows), side // len(rows) * len(rows))  # whole pixels: a reader wants sharp edges
        left = side + column.gap
        wide, texts, top = column.width - left, [], 0.0
        words = [*_in_threes(screens.code)] if screens.code else [tr("none")]
        for ways, colour, scale, bold in (
            ((tr("Scan to view and help,"), tr("Scan to help,")), "dim", 1.0, False),
            ((tr("or type this code to view only:"), tr("or type to view:")), "dim", 1.0, False),
            *(((word,), "ink", 1.6, True) for word in words),
        ):
            lines = len(rows_of(ways[-1], wide, column.cap * scale, bold))
            high = lines * 1.7 * column.cap * scale
            texts.append(Text(ways, (left, top, wide, high), bold, colour, lines=lines, cap=scale))
            top += high
        squares = Squares((0, 0, side, side), rows)
        high = max(side, top)
        column.tiles.append(
            Tile("", column.x, column.top, column.width, high, tuple(texts), "plain", squares=(squares,))
        )
        column.top += high + column.gap

    def said(self, row: Row) -> tuple[str, tuple[str, ...]]:
        """A screen's name and whether it helps, and its state, the longest way first."""
        lanes = self.driver.run.timeline.lanes
        known = row.lane is not None and row.lane < len(lanes)
        where = (
            tr("no lane yet")
            if not known
            else row.view
            if row.view != "lane"
            else tr("lane {number}", number=lanes[row.lane or 0].number)
        )
        how = ""
        if not row.connected:
            gone_s = None if self._screens is None else self._screens.gone_s(row)
            how = tr("offline") if gone_s is None else tr("offline {gone_s}", gone_s=text_from_ms(gone_s * 1000))
        elif row.bound_ms is not None:
            how = (
                tr("in sync within {bound} s", bound=decimals(row.bound_ms / 1000, 2))
                if row.bound_ms <= SURE_MS
                else tr("not in sync yet")
            )
        if row.connected and self.driver.run.ended_ms is not None:
            how = tr("session over")
        may = (
            tr("Screen {number}, helps", number=row.number)
            if row.helps
            else tr("Screen {number}, helped last time", number=row.number)
            if row.helped_before
            else tr("Screen {number}, waits to help", number=row.number)
            if row.can_help
            else tr("Screen {number}", number=row.number)
        )
        return may, (f"{where}, {how}", where) if how else (where,)

    def long_presses(self) -> frozenset[str]:
        """What takes screens from their swimmers, or lets one change the session."""
        return frozenset(_ASKED)

    def is_beside(self, name: str) -> bool:
        """All of them: the journal has what helpers do, not who they are."""
        return name in _ASKED

    def ask(self, name: str) -> Proposal:
        """What a key would do."""
        return Proposal(None, _ASKED[name])

    def press(self, name: str) -> None:
        """Turn on or off, make another code, or open a screen."""
        switch, screens = self.deck.acts.switch, self._screens
        if name == "turn on":
            switch.turn_on()
        elif name == "turn off":
            switch.turn_off()
        elif name == "new code" and screens is not None:
            screens.renew_code()
        elif name == "help again" and screens is not None:
            for number in self._helped(screens):
                screens.approve(number)
            self.deck.tell(tr("they help now"))
        elif name.startswith("screen "):
            self.deck.open(OneScreenLeaf(self.deck, action_of(name).first))


class OneScreenLeaf(ScreensLeaf):
    """What can be done with one screen."""

    def __init__(self, deck: Deck, number: int):
        super().__init__(deck)
        self.number = number
        self.title = tr("Screen {number}", number=number)

    @property
    def _row(self) -> Row | None:
        return next((row for row in self._screens.rows if row.number == self.number), None) if self._screens else None

    def note(self) -> tuple[str, ...]:
        """How it is."""
        return (tr("disconnected"),) if self._row is None else self.said(self._row)[1]

    def stamp(self) -> Hashable:
        """Its state."""
        row = self._row
        return None if row is None else (row.helps, row.can_help, row.connected, self.said(row))

    def build(self, column: Column, upright: bool) -> None:
        """Its keys; a screen that joined by typed code can't be allowed to help."""
        row = self._row
        if row is None:
            return
        help_ = (
            Cell("show only", (tr("View only"),))
            if row.helps
            else Cell("let help", (tr("Let it help"),), able=row.can_help)
        )
        column.row(Cell("show number", (tr("Show its number"), tr("Show number")), able=row.connected, lines=2), help_)
        column.row(Cell("send away", (tr("Disconnect"),)))
        if not row.can_help:
            column.say(
                tr(
                    "It joined with the typed code, so it is view only. To let it help, scan this tablet's QR code "
                    "with that device."
                )
            )
        elif not row.helps:
            column.say(
                tr("A helper's screen can take times and stroke rates and press STOP ALL. The review marks its times.")
            )

    def press(self, name: str) -> None:
        """Do it."""
        screens, row = self._screens, self._row
        if screens is None or row is None:
            return
        match name:
            case "show number":
                screens.show_number(self.number)
                self.deck.tell(tr("screen {number} shows its number", number=self.number))
            case "let help" if row.can_help:
                screens.approve(self.number)
                self.deck.tell(tr("screen {number} helps now", number=self.number))
            case "let help":
                self.deck.tell(tr("Scan the QR code with it first"))
            case "show only":
                screens.approve(self.number, False)
                self.deck.tell(tr("screen {number} is view only now", number=self.number))
            case "send away":
                screens.send_away(self.number)
                self.deck.back()
                self.deck.tell(tr("screen {number} is disconnected", number=self.number))


def _in_threes(code: str) -> tuple[str, ...]:
    return code[:3], code[3:]
