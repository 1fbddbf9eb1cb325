"""The app's typeface as a PDF needs it: only the letters used, with outlines in quadratic curves.

All PDF readers handle TrueType outlines well; the bundled files have cubic ones.
"""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from pathlib import Path
from typing import Any

from pacer.shippedfiles import FONTS

REGULAR, BOLD = "B612-Regular.otf", "B612-Bold.otf"
#: How far a curve may be off, in thousandths of the font's size.
ERROR = 1.0


def quadratic(name: str, letters: Iterable[str]) -> bytes:
    """A TrueType file of the font's `letters`."""
    # Imported only when a sheet is made: the app's start must not wait for it.
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    font = TTFont(Path(FONTS) / name)
    subsetter = Subsetter(Options(notdef_outline=True, layout_features=[], name_IDs=[1, 2, 4, 6]))
    subsetter.populate(text="".join({" ", *letters}))
    subsetter.subset(font)
    if "CFF " in font:
        _to_quadratic(font)
    out = BytesIO()
    font.save(out)
    return out.getvalue()


def _to_quadratic(font: Any) -> None:
    from fontTools.pens.cu2quPen import Cu2QuPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen
    from fontTools.ttLib import newTable

    outlines, order, glyphs = font.getGlyphSet(), font.getGlyphOrder(), {}
    for name in order:
        pen = TTGlyphPen(None)
        outlines[name].draw(Cu2QuPen(pen, ERROR, reverse_direction=True))
        glyphs[name] = pen.glyph()
    font["loca"] = newTable("loca")
    font["glyf"] = newTable("glyf")
    font["glyf"].glyphOrder, font["glyf"].glyphs = order, glyphs
    font["maxp"].tableVersion = 0x00010000
    for field in (
        "maxTwilightPoints",
        "maxStorage",
        "maxFunctionDefs",
        "maxInstructionDefs",
        "maxStackElements",
        "maxSizeOfInstructions",
        "maxComponentElements",
        "maxPoints",
        "maxContours",
        "maxCompositePoints",
        "maxCompositeContours",
        "maxComponentDepth",
    ):
        setattr(font["maxp"], field, 0)  # saving counts the fields that matter
    font["maxp"].maxZones = 1
    font["post"].formatType = 2.0
    font["post"].extraNames, font["post"].mapping, font["post"].glyphOrder = [], {}, order
    for table in ("CFF ", "VORG"):
        if table in font:
            del font[table]
    font.sfntVersion = "\x00\x01\x00\x00"
