"""A figure as SVG: shapes and words, no scripts, no other files."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from pacer.paper.letterwidths import width_of
from pacer.shippedfiles import CAP
from pacer.show.figures.drawing import Blob, Block, Drawing, Lettering, Line, drawn
from pacer.show.figures.figure import Figure
from pacer.show.figures.fills import FILLS, PLAIN, Fill
from pacer.show.figures.hatching import hatching
from pacer.show.measure.theme import BRIGHT, Rgb, Theme

TILE = 6  #: side of a pattern, in the figure's units


def svg_text(
    figure: Figure, width: float = 960, height: float = 360, cap: float = 12, theme: Theme = BRIGHT, keys: bool = True
) -> str:
    """The figure as the text of a file: its size in pixels, and the height of capitals."""
    laid = drawn(figure, width, height, cap, width_of, keys=keys)
    fills = FILLS[theme.name]
    used = {block.fill for block in laid.blocks}
    rows = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:g}" '
        f'viewBox="0 0 {width:g} {height:g}" font-family="B612, sans-serif" role="img" '
        'aria-labelledby="title words" xml:lang="en-GB">',
        f'<title id="title">{escape(figure.title or "Figure")}</title>',
        f'<desc id="words">{escape(figure.words)}</desc>',
        "<defs>",
        *(_pattern(name, fills[name]) for name in sorted(used) if fills[name].pattern != PLAIN),
        "</defs>",
        f'<rect width="{width:g}" height="{height:g}" fill="{colour_code(theme.ground)}"/>',
        *_shapes(laid, fills),
        "</svg>",
    ]
    return "\n".join(rows) + "\n"


def colour_code(colour: Rgb) -> str:
    """`#RRGGBB` from three fractions.

    >>> colour_code((1.0, 0.0, 0.2))
    '#ff0033'
    """
    return "#" + "".join(f"{round(255 * part):02x}" for part in colour)


def _pattern(name: str, fill: Fill) -> str:
    lines = "".join(
        f'<path d="M{x0:g} {TILE - y0:g}L{x1:g} {TILE - y1:g}"/>'
        for x0, y0, x1, y1 in hatching(fill.pattern, 0, 0, TILE, TILE, TILE)
    )
    return (
        f'<pattern id="fill-{name}" width="{TILE}" height="{TILE}" patternUnits="userSpaceOnUse">'
        f'<rect width="{TILE}" height="{TILE}" fill="{colour_code(fill.colour)}"/>'
        f'<g stroke="{colour_code(fill.second)}" stroke-width="{TILE / 4:g}" stroke-linecap="round">{lines}</g>'
        "</pattern>"
    )


def _shapes(laid: Drawing, fills) -> Iterator[str]:
    high = laid.height
    for block in laid.blocks:
        yield _rect(block, high, fills[block.fill])
    for line in laid.lines:
        yield _polyline(line, high, fills[line.colour])
    for blob in laid.blobs:
        yield _blob(blob, high, fills[blob.fill])
    for one in laid.letterings:
        yield _text(one, high, fills[one.colour])


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _rect(block: Block, high: float, fill: Fill) -> str:
    paint = colour_code(fill.colour) if fill.pattern == PLAIN else f"url(#fill-{block.fill})"
    place = (
        f'x="{_number(block.x)}" y="{_number(high - block.y - block.height)}" '
        f'width="{_number(block.width)}" height="{_number(block.height)}"'
    )
    kind = f' class="{block.fill}"' if block.mark is not None else ""
    if block.mark is None or not block.mark.said:
        return f'<rect{kind} {place} fill="{paint}"/>'
    return f'<rect{kind} {place} fill="{paint}"><title>{escape(block.mark.said)}</title></rect>'


def _polyline(line: Line, high: float, fill: Fill) -> str:
    points = " ".join(f"{_number(x)},{_number(high - y)}" for x, y in line.points)
    dashes = f' stroke-dasharray="{_number(4 * line.width)}"' if line.dashed else ""
    return (
        f'<polyline class="{line.colour}" points="{points}" fill="none" stroke="{colour_code(fill.colour)}" '
        f'stroke-width="{_number(line.width)}"{dashes}/>'
    )


def _blob(blob: Blob, high: float, fill: Fill) -> str:
    x, y, r = blob.x, high - blob.y, blob.radius
    colour = colour_code(fill.colour)
    title = f"<title>{escape(blob.mark.said)}</title>" if blob.mark is not None and blob.mark.said else ""
    kind = 'class="dot"' if blob.mark is not None else 'class="key"'
    if blob.shape == "open":
        inner = _number(r * 0.75)
        return (
            f'<circle {kind} cx="{_number(x)}" cy="{_number(y)}" r="{inner}" fill="none" stroke="{colour}" '
            f'stroke-width="{_number(r / 2)}">{title}</circle>'
        )
    if blob.shape == "disc":
        return f'<circle {kind} cx="{_number(x)}" cy="{_number(y)}" r="{_number(r)}" fill="{colour}">{title}</circle>'
    points = " ".join(f"{_number(x + dx * r)},{_number(y - dy * r)}" for dx, dy in blob.corners)
    return (
        f'<polygon {kind} data-x="{_number(x)}" data-y="{_number(y)}" points="{points}" fill="{colour}">'
        f"{title}</polygon>"
    )


def _text(one: Lettering, high: float, fill: Fill) -> str:
    anchor = {"left": "start", "middle": "middle", "right": "end"}[one.across]
    weight = ' font-weight="bold"' if one.bold else ""
    wide = width_of(one.text, one.cap, one.bold)
    return (
        f'<text x="{_number(one.x)}" y="{_number(high - one.y)}" font-size="{_number(one.cap / CAP)}" '
        f'text-anchor="{anchor}" textLength="{_number(wide)}" lengthAdjust="spacingAndGlyphs" '
        f"fill={quoteattr(colour_code(fill.colour))}{weight}>{escape(one.text)}</text>"
    )
