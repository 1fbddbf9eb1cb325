"""The settings as rows: what is set, the keys that change it, and what that does."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.kit.textures import measure
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.tile import Text, Tile
from pacer.language import tr, tr_n
from pacer.plan.model import POOLS
from pacer.show.drive.settings import Settings
from pacer.show.measure.legibility import Glass, character_mm
from pacer.show.measure.typesizes import TITLE

SAMPLE = "23"
WAYS = {"any": tr("automatic"), "landscape": tr("landscape"), "portrait": tr("portrait")}
THEMES_SAID = {"dark": tr("dark"), "bright": tr("bright")}

#: What each switch does, said right after it was switched: on, off.
SAID = {
    "muted": (tr("Only STOP ALL makes a sound."), tr("Beeps count down to send-offs.")),
    "speech": (tr("Announces each section as it starts."), tr("No speech.")),
    "vibration": (tr("Vibrates at send-offs."), tr("No vibration.")),
    "flash": (tr("Flashes at send-offs."), tr("No flash.")),
    "locked": (
        tr("The screen locks against splashes when a session starts."),
        tr("Lock the screen yourself with the Lock button."),
    ),
}
#: The voice is the device's own; plyer cannot set its language.
VOICE = tr("Uses this tablet's voice and language.")
_LABELS = {
    "muted": (tr("Sound"), tr("Sound")),
    "speech": (tr("Speech"),),
    "vibration": (tr("Vibration"),),
    "flash": (tr("Flash"),),
    "locked": (tr("Lock at the start"), tr("Lock")),
}


class SettingTiles:
    """Puts the settings below one another, one part of the page after the other.

    `touched` is the setting changed last and `said` what that did.
    """

    def __init__(self, settings: Settings, touched: str, said: str):
        self.settings, self.touched, self.said = settings, touched, said

    def _told(self, name: str, column: Column) -> None:
        if self.touched == name and self.said:
            column.say(self.said, colour="dim")
            column.skip(0.4)

    def heard(self, column: Column, lanes: Sequence[int], delays: tuple[int, int], tuning: bool, lit: bool) -> None:
        """Sound: for which of the squad's `lanes`, and how much earlier: now, and as is usual."""
        settings, (latency_ms, usual_ms) = self.settings, delays
        column.say(tr("Sound"), bold=True, scale=TITLE)
        column.skip(0.3)
        _steps(column, "volume", (tr("Volume"),), f"{settings.volume}%")
        self._told("volume", column)
        _switch(column, "muted", not settings.muted)
        self._told("muted", column)
        if len(lanes) > 1:
            column.say(tr("Section starts always beep. Beep every send-off for lanes:"))
            column.skip(0.3)
            across = max(1, min(len(lanes), 10, int((column.width + column.gap) // (column.target + column.gap))))
            column.grid(
                [
                    Cell(f"lane {number}", (str(number),), look="lit" if number in settings.lanes_that_sound else "key")
                    for number in lanes
                ],
                across,
            )
            self._told("lane", column)
        _steps(column, "latency", (tr("Beep sooner by"), tr("Sooner by")), tr("{latency} ms", latency=latency_ms))
        self._told("latency", column)
        if tuning:
            column.row(
                Cell("tune", (tr("Done"),), look="lit" if lit else "key"),
                height=2 * column.target,
            )
            column.say(
                tr(
                    "Done flashes when the beep is due. If you hear the beep late, press + until both come "
                    "together; if early, press –."
                ),
                colour="dim",
            )
            column.skip(0.4)
        else:
            usual = (tr("Reset to {usual} ms", usual=usual_ms), tr("Reset: {usual} ms", usual=usual_ms))
            column.row(
                Cell("tune", (tr("Adjust beep timing"), tr("Adjust"))),
                Cell("usual", usual, able=settings.latency_ms is not None),
            )
            self._told("tune", column)
        for name in ("speech", "vibration"):
            _switch(column, name, getattr(settings, name))
            self._told(name, column)
            if name == "speech" and settings.speech:
                column.say(VOICE, colour="dim")
                column.skip(0.4)

    def seen(self, column: Column, glass: Glass, small: str) -> None:
        """The screen: size, rotation, colours.

        `small` says from how far the screen can be read, "" if it is large enough.
        """
        settings = self.settings
        column.say(tr("Screen"), bold=True, scale=TITLE)
        column.skip(0.3)
        _steps(column, "distance", (tr("Reading distance"), tr("Read at")), f"{settings.reading_distance_m} m")
        if small:
            column.say(tr("Too small for that: the swimmers' count-down is {small}.", small=small), colour="warn")
            column.skip(0.4)
        if self.touched == "distance":
            _sample(settings, glass, column)
        column.say(tr("Rotation"))
        column.skip(0.3)
        column.flow(
            *(
                Cell(f"orientation {way}", (said,), look="lit" if settings.orientation == way else "key")
                for way, said in WAYS.items()
            )
        )
        self._told("orientation", column)
        column.row(
            Cell(ways=(tr("Theme"),), look="plain", across="left", bold=False),
            *(
                Cell(f"theme {name}", (said,), look="lit" if settings.theme == name else "key")
                for name, said in THEMES_SAID.items()
            ),
        )
        for name in ("flash", "locked"):
            _switch(column, name, getattr(settings, name))
            self._told(name, column)

    def kept(self, column: Column, places: Sequence[str], notes: Sequence[str]) -> None:
        """New plans, when drills are due again, where the data is (`places`), what this device lacks (`notes`)."""
        settings = self.settings
        column.say(tr("New plans"), bold=True, scale=TITLE)
        column.skip(0.3)
        column.say(tr("Pool"))
        column.skip(0.3)
        own = () if settings.pool in POOLS else (Cell(f"pool {settings.pool}", (settings.pool,), look="lit"),)
        column.flow(
            *(Cell(f"pool {pool}", (pool,), look="lit" if settings.pool == pool else "key") for pool in POOLS),
            *own,
            Cell("other pool", (tr("Other"),)),
        )
        self._told("pool", column)
        _steps(column, "booking", (tr("Pool booked for"), tr("Booked for")), settings.booking)
        column.skip(0.7)
        column.say(tr("When to swim a skill again"), bold=True, scale=TITLE)
        column.skip(0.3)
        _steps(
            column,
            "revisit",
            (tr("The first time after"), tr("First after")),
            tr_n("{n:,} day", "{n:,} days", settings.revisit_days),
        )
        _steps(column, "growth", (tr("Each wait longer by"), tr("Longer by")), f"{settings.revisit_growth - 100}%")
        column.say(settings.gaps.text, colour="dim")
        column.skip(0.4)
        column.say(tr("Your data"), bold=True, scale=TITLE)
        for text in places:
            column.say(text, colour="dim")
        column.skip(0.4)
        column.row(Cell("copy", (tr("Back up everything"),)))
        self._told("copy", column)
        column.skip(0.7)
        column.say(tr("This tablet"), bold=True, scale=TITLE)
        for note in notes or (tr("Everything works."),):
            column.say(note, colour="dim")


def _steps(column: Column, name: str, label: tuple[str, ...], value: str) -> None:
    """A label, and beside it (below if there is no room) the value between less and more."""
    less, more = (
        Cell(f"{name} {way}", (sign,), width=1.2 * column.target) for way, sign in (("less", "–"), ("more", "+"))
    )
    said = Cell(ways=(value,), look="plain", width=measure(tr("1000 ms"), column.cap, True) + 2 * column.padding)
    room = column.width - less.width - more.width - said.width - 3 * column.gap - 2 * column.padding
    if measure(label[-1], column.cap) > room:
        column.say(label[0])
        column.row(less, said._replace(width=0.0), more)
    else:
        column.row(Cell(ways=label, look="plain", across="left", bold=False), less, said, more)


def _switch(column: Column, name: str, on: bool) -> None:
    column.row(
        Cell(ways=_LABELS[name], look="plain", across="left", bold=False, share=2),
        Cell(name, ("on" if on else "off",), look="lit" if on else "key"),
    )


def _sample(settings: Settings, glass: Glass, column: Column) -> None:
    """Digits as large as that distance needs, if the page has room for them."""
    need = character_mm(settings.reading_distance_m)
    px = glass.px(need)
    column.say(
        tr(
            "From {reading_distance_m} m digits must be {need:.0f} mm high, like these:",
            reading_distance_m=settings.reading_distance_m,
            need=need,
        ),
        colour="dim",
    )
    cap = min(px, 0.72 * column.width, 6 * column.target)
    high = 1.5 * cap
    column.tiles.append(
        Tile(
            "",
            column.x,
            column.top,
            column.width,
            high,
            (Text((SAMPLE,), (0, 0, column.width, high), True, "ink", "middle", cap=cap / column.cap),),
            "plain",
        )
    )
    column.top += high
    if cap < px:
        column.say(tr("This page is too small to show them."), colour="warn")
    column.skip(0.4)
