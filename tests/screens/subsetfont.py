"""Make the lane screens' font: `python tests/screens/subsetfont.py`, after a change of the app's typeface.

The letters of Western Europe, as WOFF; a device draws all others in a face of its own. Kerned as the app's own windows
set them, so that words have the same width on a screen as on the tablet. The three pairs of line metrics that platforms
choose from become one.
"""

from __future__ import annotations

from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

ROOT = Path(__file__).parents[2]
FACES = {"B612-Regular": "screen-regular.woff", "B612-Bold": "screen-bold.woff"}
MARKS = "‐‑–—‘’“”…′″€−"
LETTERS = (*range(0x20, 0x7F), *range(0xA0, 0x100), *map(ord, MARKS))


def subset(name: str) -> TTFont:
    """A face of the app's typeface with `LETTERS` alone."""
    options = Options()
    options.layout_features = ["kern"]
    options.flavor, options.desubroutinize, options.hinting = "woff", True, False
    options.name_IDs, options.notdef_outline = [0, 13, 14], True  # whose it is, and its licence
    font = TTFont(ROOT / "assets" / "fonts" / f"{name}.otf", recalcTimestamp=False)
    cutter = Subsetter(options)
    cutter.populate(unicodes=LETTERS)
    cutter.subset(font)
    line, win = font["hhea"], font["OS/2"]
    win.sTypoAscender, win.sTypoDescender, win.sTypoLineGap = line.ascent, line.descent, 0
    win.usWinAscent, win.usWinDescent = line.ascent, -line.descent
    font.flavor = "woff"
    return font


if __name__ == "__main__":
    for face, file in FACES.items():
        target = ROOT / "assets" / "screens" / file
        subset(face).save(target)
        print(f"{target.name}: {target.stat().st_size:,} bytes")
