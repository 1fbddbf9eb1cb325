"""What the views are drawn with.

Plates, words, digits, the shapes of the states. All on a canvas, updated only where they change.

Everything drawn remembers the box it must stay in, so that tests can compare the two.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from kivy.graphics import Color, InstructionGroup, Mesh, Rectangle

from pacer.face.kit.quads import Quads, rounded, rounded_vertices
from pacer.face.kit.stateshapes import SHAPE_PARTS
from pacer.face.kit.textures import COLON, DIGIT, STORE, below_base, font_size, measure, strip
from pacer.shippedfiles import CAP
from pacer.show.measure.fitting import FOOT, LINE, PITCH, Fit, fit
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Rgb


class Box(NamedTuple):
    """A rectangle in pixels, from its lower left corner."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.width

    @property
    def top(self) -> float:
        """Its upper edge."""
        return self.y + self.height

    def inset(self, dx: float, dy: float | None = None) -> Box:
        """Smaller by `dx` on the left and right and `dy` above and below."""
        dy = dx if dy is None else dy
        return Box(self.x + dx, self.y + dy, max(0, self.width - 2 * dx), max(0, self.height - 2 * dy))

    def part(self, left: float, right: float) -> Box:
        """From share `left` to share `right` of its width."""
        return Box(self.x + left * self.width, self.y, (right - left) * self.width, self.height)

    def row(self, below: float, above: float) -> Box:
        """From share `below` to share `above` of its height."""
        return Box(self.x, self.y + below * self.height, self.width, (above - below) * self.height)


NOWHERE = Box(0, 0, 0, 0)
HANGING = frozenset("gjpqyQ,;()[]{}/|_@$")  #: characters that reach below the base line


class Plate:
    """A filled rectangle."""

    def __init__(self, group: InstructionGroup):
        self.colour = Color(0, 0, 0, 0)
        self.shape = Rectangle(pos=(0, 0), size=(0, 0))
        self.box = NOWHERE
        self.name: tuple[float, ...] | None = None
        group.add(self.colour)
        group.add(self.shape)

    def put(self, box: Box, colour: Rgb, opacity: float = 1.0) -> None:
        """Fill `box`."""
        box = whole(box)
        if box != self.box:
            self.box = box
            self.shape.pos = (box.x, box.y)
            self.shape.size = (box.width, box.height)
        self.tint(colour, opacity)

    def tint(self, colour: Rgb, opacity: float = 1.0) -> None:
        """Set another colour."""
        wanted = (*colour, opacity)
        if wanted != self.name:
            self.name = wanted
            self.colour.rgba = wanted

    def hide(self) -> None:
        """Fill nothing: something merely transparent would still be drawn."""
        if self.box is not NOWHERE:
            self.box = NOWHERE
            self.shape.size = (0, 0)


def whole(box: Box) -> Box:
    """The box in whole pixels."""
    x, y = round(box.x), round(box.y)
    return Box(x, y, round(box.right) - x, round(box.top) - y)


class RoundPlate:
    """A filled rectangle with round corners, or its outline.

    A texture stretched over nine parts: Kivy's own smooth round shapes cost three times as much to draw.
    """

    def __init__(self, group: InstructionGroup):
        self.quads = Quads(group)
        self.box = NOWHERE

    def put(self, box: Box, colour: Rgb, radius: float, stroke: float = 0) -> None:
        """Fill `box`; or, with a `stroke`, draw an outline of that many pixels inside it."""
        self.box = box = whole(box)
        corner = int(min(max(1, round(radius)), box.width / 2, box.height / 2))
        if corner < 1:
            self.hide()
            return
        self.quads.put(
            rounded_vertices(box.x, box.y, box.right, box.top, corner, hollow=bool(stroke)),
            rounded(corner, stroke),
            colour,
        )

    def hide(self) -> None:
        """Draw nothing."""
        self.box = NOWHERE
        self.quads.move([])


class Arrow:
    """A filled triangle that points up or down."""

    def __init__(self, group: InstructionGroup):
        self.colour = Color(0, 0, 0, 0)
        self.mesh = Mesh(mode="triangles", indices=[0, 1, 2])
        group.add(self.colour)
        group.add(self.mesh)

    def put(self, box: Box, colour: Rgb, up: bool) -> None:
        """Fill `box` with it."""
        self.colour.rgba = (*colour, 1)
        foot, tip = (box.y, box.top) if up else (box.top, box.y)
        middle = box.x + box.width / 2
        self.mesh.vertices = [box.x, foot, 0, 0, box.right, foot, 0, 0, middle, tip, 0, 0]


class Frame:
    """The outline of a rectangle, drawn inside it."""

    def __init__(self, group: InstructionGroup):
        # A mesh: Kivy's line clears the stencil for every outline that is not opaque, which is most of a frame's cost
        # without a graphics chip.
        self.colour = Color(0, 0, 0, 0)
        self.mesh = Mesh(mode="triangle_strip", indices=[])
        self.drawn: tuple | None = None
        group.add(self.colour)
        group.add(self.mesh)

    def put(self, box: Box, colour: Rgb, width: float) -> None:
        """Outline `box`, `width` pixels wide."""
        if (box, width) != self.drawn:
            self.drawn = (box, width)
            inner = box.inset(width)
            corners = [
                (box.x, box.y, inner.x, inner.y),
                (box.right, box.y, inner.right, inner.y),
                (box.right, box.top, inner.right, inner.top),
                (box.x, box.top, inner.x, inner.top),
            ]
            self.mesh.vertices = [
                value for x, y, near_x, near_y in (*corners, corners[0]) for value in (x, y, 0, 0, near_x, near_y, 0, 0)
            ]
            self.mesh.indices = list(range(10))
        self.colour.rgba = (*colour, 1)

    def hide(self) -> None:
        """Draw nothing."""
        if self.drawn is not None:
            self.drawn, self.mesh.indices = None, []


class Words:
    """Lines of text that fit a box.

    `name` tells tests what it is, `tier` who reads it (1 and 2 swimmers, 3 the coach). `fitted` is what was drawn,
    `ink` the box of the drawn lines, from the top of the capitals to the foot of a `g`.
    """

    def __init__(self, group: InstructionGroup, name: str, tier: int = 3):
        self.name = name
        self.tier = tier
        self.group = InstructionGroup()
        group.add(self.group)
        self.colour = Color(0, 0, 0, 0)
        self.group.add(self.colour)
        self.lines: list[Rectangle] = []
        self.box = NOWHERE
        self.ink: list[Box] = []
        self.fitted = Fit((), 0.0)
        self.rgb: Rgb = (0, 0, 0)
        self._asked: tuple | None = None

    def put(
        self,
        ways: Sequence[str] | str,
        box: Box,
        cap: float,
        floor: float,
        colour: Rgb,
        *,
        bold: bool = False,
        across: str = "left",
        up: str = "middle",
        lines: int = 1,
    ) -> Fit:
        """Write the longest of `ways` that fits. `across`: left, middle, right; `up`: top, middle, bottom."""
        ways = (ways,) if isinstance(ways, str) else tuple(ways)
        asked = (ways, box, cap, floor, bold, across, up, lines)
        if asked != self._asked:
            self._asked = asked
            self.box = box
            if not ways or not ways[0]:
                self.fitted = Fit((), 0.0)
            else:
                self.fitted = fit(ways, box.width, box.height, cap, floor, measure, bold=bold, lines=lines)
            self._place(box, bold, across, up)
        self.tint(colour)
        return self.fitted

    def _place(self, box: Box, bold: bool, across: str, up: str) -> None:
        texts, cap = self.fitted.lines, self.fitted.cap
        while len(self.lines) < len(texts):
            self.lines.append(Rectangle(size=(0, 0)))
            self.group.add(self.lines[-1])
        high = (LINE + (len(texts) - 1) * PITCH) * cap
        # The middle is that of the capitals, if a `g` has room below them. Words side by side keep one base line; of
        # several lines, only the last one's letters matter.
        hanging = 0 if len(texts) > 1 and not HANGING & set(texts[-1]) else FOOT * cap
        middle = min(box.top, max(box.y + high - FOOT * cap + hanging, box.y + (box.height + high - FOOT * cap) / 2))
        top = {"top": box.top, "middle": middle, "bottom": box.y + high}[up]
        size = font_size(cap) if texts else 1
        self.ink = []
        for place, rectangle in enumerate(self.lines):
            if place >= len(texts):
                rectangle.size = (0, 0)
                continue
            texture = STORE.texture(texts[place], size, bold)
            width = texture.width
            x = {"left": box.x, "middle": box.x + (box.width - width) / 2, "right": box.right - width}[across]
            base = round(top - (LINE - FOOT) * cap - place * PITCH * cap)
            rectangle.texture = texture
            rectangle.size = texture.size
            rectangle.pos = (round(x), base - below_base(size))
            foot = FOOT * cap if HANGING & set(texts[place]) else 0.03 * cap
            self.ink.append(Box(round(x), base - foot, width, (LINE - FOOT) * cap + foot))

    def tint(self, colour: Rgb) -> None:
        """Set another colour."""
        if colour != self.rgb or self.colour.a != 1:
            self.rgb = colour
            self.colour.rgba = (*colour, 1)

    def clear(self) -> None:
        """Write nothing."""
        self.put("", NOWHERE, 1, 1, self.rgb)

    @property
    def cap(self) -> float:
        """The character height in pixels."""
        return int(self.fitted.cap / CAP) * CAP

    @property
    def width(self) -> float:
        """Width of the widest line."""
        return max((box.width for box in self.ink), default=0)


def line_box(x: float, base: float, width: float, cap: float) -> Box:
    """The box of one line of text with its base line at `base`."""
    return Box(x, base - FOOT * cap, width, LINE * cap)


def digits_width(text: str, size: int) -> float:
    """Width of digits and colons at a font size."""
    return sum(COLON if char == ":" else DIGIT for char in text) * size


class Digits:
    """Digits and colons at a fixed pitch, cut from one strip: changing them costs next to nothing."""

    def __init__(self, group: InstructionGroup, name: str, tier: int = 3, bold: bool = True):
        self.name = name
        self.tier = tier
        self.bold = bold
        self.quads = Quads(group)
        self.text: str | None = ""
        self.box = NOWHERE
        self.ink: list[Box] = []
        self.size = 1
        self.across, self.up = "left", "middle"
        self.rgb: Rgb = (0, 0, 0)
        self.limit = 0.0

    @property
    def cap(self) -> float:
        """The height of a digit in pixels."""
        return self.size * CAP

    def lay(self, box: Box, cap: float, colour: Rgb, across: str = "left", up: str = "middle") -> None:
        """Set where digits go from now on and their greatest height; a text that is too wide is drawn smaller.

        `up`: middle of the box, or bottom for a fixed base line.
        """
        if (box, min(cap, box.height), across, up) == (self.box, self.limit, self.across, self.up):
            self.tint(colour)
            return
        self.box, self.limit, self.across, self.up = box, min(cap, box.height), across, up
        text, self.text = self.text, None
        self.tint(colour)
        self.show(text or "")

    def show(self, text: str) -> None:
        """Write `text`, made of digits and colons."""
        if text == self.text:
            return
        self.text = text
        box = self.box
        size = font_size(self.limit)
        wide = digits_width(text, size)
        if wide > box.width > 0:
            size = max(1, int(size * box.width / wide))
            wide = digits_width(text, size)
        self.size = size
        x = {"left": box.x, "middle": box.x + (box.width - wide) / 2, "right": box.right - wide}[self.across]
        y = round(box.y + (0 if self.up == "bottom" else (box.height - self.cap) / 2))
        self.ink = [Box(x, y, wide, self.cap)] if text else []
        vertices: list[float] = []
        if text:
            cut = strip(size, self.bold)
            if self.quads.mesh.texture is not cut.texture:
                self.quads.mesh.texture = cut.texture
            y -= cut.over
            top = y + cut.high
            for char in text:
                width, (near, far, low, high) = cut.cell(char)
                left = round(x)
                right = left + width
                vertices += (left, y, near, low, right, y, far, low, right, top, far, high, left, top, near, high)
                x += (COLON if char == ":" else DIGIT) * size
        self.quads.move(vertices)

    def tint(self, colour: Rgb) -> None:
        """Set another colour."""
        if colour != self.rgb or self.quads.colour.a != 1:
            self.rgb = colour
            self.quads.colour.rgba = (*colour, 1)


class StateShape:
    """The shape of a state, for eyes that can't tell the colours apart: drawn into a square."""

    def __init__(self, group: InstructionGroup):
        self.group = InstructionGroup()
        group.add(self.group)
        self.drawn: tuple | None = None
        self.box = NOWHERE
        self.colour: Color | None = None

    def hide(self) -> None:
        """Draw nothing."""
        if self.drawn is not None:
            self.drawn, self.box = None, NOWHERE
            self.group.clear()

    def put(self, name: str, box: Box, colour: Rgb) -> None:
        """Draw the shape called `name` into the middle of `box`."""
        if self.drawn == (name, box):
            if self.colour is not None and tuple(self.colour.rgb) != colour:
                self.colour.rgb = colour
            return
        self.drawn, self.box = (name, box), box
        self.group.clear()
        self.colour = Color(*colour)
        self.group.add(self.colour)
        side = min(box.width, box.height)
        if side >= 2:
            x, y = box.x + (box.width - side) / 2, box.y + (box.height - side) / 2
            for instruction in SHAPE_PARTS[name](x, y, side):
                self.group.add(instruction)


def reads_at(drawn: Sequence[Words | Digits], glass: Glass) -> dict[int, float]:
    """For each tier: from how far its smallest character can be read, in metres."""
    found: dict[int, float] = {}
    for piece in drawn:
        if piece.ink:
            found[piece.tier] = min(found.get(piece.tier, 1e9), glass.read_at_m(piece.cap))
    return found
