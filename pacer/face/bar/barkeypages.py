"""The keys on the session's bar, on one page or several."""

from __future__ import annotations

from typing import NamedTuple

from kivy.uix.widget import Widget

from pacer.face.bar.barmessage import words_for
from pacer.face.bar.keyface import KeyFace
from pacer.face.kit.textures import measure
from pacer.show.drive.barkeychoice import BACK, FIRST, LAST, MORE, NEVER_COVERED, Key
from pacer.show.measure.fitting import lines_height
from pacer.show.measure.keyrows import FOCUS_MM, GAP_MM, PADDING_MM, Placed, arrange
from pacer.show.measure.legibility import KEY_M, character_mm
from pacer.show.measure.theme import Theme


class KeyLook(NamedTuple):
    """How keys look: their colours, the pixels of a millimetre."""

    theme: Theme
    mm: float

    @property
    def cap(self) -> float:
        """The character height of their names in pixels."""
        return character_mm(KEY_M) * self.mm

    def dress(self, face: KeyFace) -> None:
        """Draw a key that nobody presses."""
        theme = self.theme
        face.ground, face.edge, face.ink, face.fill = theme.water, theme.line, theme.ink, theme.flip
        face.track = theme.dim
        face.corner, face.stroke, face.filled = 2 * self.mm, max(1, 0.2 * self.mm), 0

    def width_of(self, text: str) -> float:
        """The width of a name on one line."""
        return measure(text, self.cap, True)

    def narrowest(self, text: str) -> float:
        """The width of a name that may take two lines."""
        words = text.split(" ")
        return min(
            max(self.width_of(" ".join(words[:n])), self.width_of(" ".join(words[n:]))) for n in range(len(words))
        )


class BarKeys:
    """Keys on `bar`, which does the layout and passes touches on."""

    def __init__(self, bar: Widget):
        self.bar = bar
        self.faces: list[KeyFace] = []
        self.pages: tuple[tuple[Placed[Key], ...], ...] = ()
        self.page = 0
        self.focus = ""  #: the name of the key that Enter presses
        self._names: list[str] = []

    @property
    def shown(self) -> tuple[Placed[Key], ...]:
        """The keys of the page in front, each with its place."""
        return self.pages[self.page] if self.pages else ()

    def share_out(
        self,
        keys: tuple[Key, ...],
        look: KeyLook,
        pos: tuple[float, float],
        room: tuple[float, float],
        rows: int,
        time: str,
    ) -> None:
        """Put `keys` in rows into the room at `pos`. An unchanged page stays under the finger."""
        self._look, self._pos, self._time = look, pos, time
        names, before = [key.name for key in keys], self._names_on(self.page)
        changed, self._names = names != self._names, names
        two = room[1] / rows - GAP_MM * look.mm * (rows - 1) / rows >= lines_height(2, look.cap)
        self.pages = arrange(
            keys,
            MORE,
            look.narrowest if two else look.width_of,
            room,
            look.mm,
            rows,
            time,
            first=FIRST,
            last=LAST,
            back=BACK,
        )
        self.page = min(self.page, max(0, len(self.pages) - 1))
        if changed and self._names_on(self.page) != before:
            self.page = 0
        self._show()

    def _names_on(self, page: int) -> list[str]:
        page_keys = self.pages[page] if page < len(self.pages) else ()
        return [each.key.name for each in page_keys if each.key is not MORE]  # whatever follows

    def turn(self, page: int) -> None:
        """Show another page."""
        self.page = page % max(1, len(self.pages))
        self._show()

    def take_away(self) -> None:
        """Remove all keys from the bar."""
        for face in self.faces:
            self.bar.remove_widget(face)

    def _show(self) -> None:
        self.take_away()
        while len(self.faces) < len(self.shown):
            self.faces.append(KeyFace())
        look = self._look
        for index, (face, each) in enumerate(zip(self.faces, self.shown)):
            self.dress(index)
            face.long_press = each.key.long_press
            if each.key.name == "mute" and each.key.variant == 1:  # show what can't be heard
                face.ground, face.ink = look.theme.flip, look.theme.flip_ink
            elif each.key.name == "mute" and each.key.variant:  # nothing can be done about it here
                face.ground, face.ink = look.theme.ground, look.theme.dim
            inner = each.width - PADDING_MM * look.mm
            label = each.key.label.format(time=self._time)
            face.text, face.font_size = words_for((label,), inner, each.height, look.cap)
            face.pos = (self._pos[0] + each.x, self._pos[1] + each.y)
            face.size = (each.width, each.height)
            self.bar.add_widget(face)
        if self.focus:
            self.set_focus(self.focus)

    def dress(self, index: int) -> None:
        """Draw a key that nobody presses."""
        self._look.dress(self.faces[index])

    def set_focus(self, name: str) -> None:
        """Set the key that Enter presses, "" for none; its edge can't be overlooked."""
        self.focus, look = name, self._look
        for face, each in zip(self.faces, self.shown):
            face.edge, face.stroke = (
                (look.theme.flip, max(3, FOCUS_MM * look.mm))
                if each.key.name == name
                else (look.theme.line, max(1, 0.2 * look.mm))
            )

    def at(self, touch) -> int | None:
        """The key that a finger is on."""
        for index, face in enumerate(self.faces[: len(self.shown)]):
            if face.collide_point(*touch.pos):
                return index
        return None

    def never_covered(self) -> list[KeyFace]:
        """The keys that stay in sight whatever is said."""
        return [face for face, each in zip(self.faces, self.shown) if each.key.name in NEVER_COVERED]

    def place(self, index: int) -> tuple | None:
        """Which key has that number, and where it is; None if no key of the page in front has it."""
        if index >= len(self.shown):
            return None
        face = self.faces[index]
        return self.shown[index].key.name, *face.pos, *face.size

    def key(self, index: int) -> Key:
        """One of the page in front."""
        return self.shown[index].key
