"""Add letters that B612 lacks from DejaVu Sans: `python tests/paper/addletters.py DEJAVU-FOLDER`.

Latin, Greek and Cyrillic, scaled so that capitals are as high; B612's own letters, digits and measures stay as they
are. Run once on the original files; the result is in `assets/fonts`.
"""

from __future__ import annotations

import sys
from pathlib import Path

from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont

FONTS = Path(__file__).parents[2] / "assets" / "fonts"
#: Latin Extended A and B, Latin Extended Additional, Greek, Cyrillic; first and last of each (Unicode blocks).
BLOCKS = ((0x100, 0x17F), (0x1CD, 0x233), (0x1E00, 0x1EFF), (0x370, 0x3FF), (0x400, 0x45F), (0x490, 0x491))
CAP = 0.75  #: height of a capital over the size, in B612


def add(name: str, donor: Path) -> int:
    """Add letters to one of the files; how many."""
    path = FONTS / name
    font, other = TTFont(path), TTFont(donor)
    there, theirs = font.getBestCmap(), other.getBestCmap()
    scale = CAP * font["head"].unitsPerEm / other["glyf"]["H"].yMax
    top = font["CFF "].cff.topDictIndex[0]
    strings, outlines, order = top.CharStrings, other.getGlyphSet(), font.getGlyphOrder()
    added = {}
    for first, last in BLOCKS:
        for code in range(first, last + 1):
            if code in there or code not in theirs:
                continue
            glyph = f"uni{code:04X}"
            wide = round(other["hmtx"][theirs[code]][0] * scale)
            pen = T2CharStringPen(wide, outlines)
            outlines[theirs[code]].draw(TransformPen(pen, (scale, 0, 0, scale, 0, 0)))
            strings.charStringsIndex.append(pen.getCharString(top.Private, top.GlobalSubrs))
            strings.charStrings[glyph] = len(strings.charStringsIndex) - 1
            font["hmtx"].metrics[glyph] = (wide, 0)
            added[code] = glyph
    top.charset = [*order, *added.values()]
    font.setGlyphOrder([*order, *added.values()])
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap.update(added)
    font["maxp"].numGlyphs = len(font.getGlyphOrder())
    font.save(path)
    return len(added)


if __name__ == "__main__":
    for mine, its in (("B612-Regular.otf", "DejaVuSans.ttf"), ("B612-Bold.otf", "DejaVuSans-Bold.ttf")):
        print(mine, add(mine, Path(sys.argv[1]) / its))
