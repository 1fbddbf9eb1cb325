"""Pages as a PDF file with its fonts, title, language and outline."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pacer.disk import whole_file
from pacer.paper.papersize import MM_PER_INCH, Page
from pacer.paper.typeface import BOLD, REGULAR, quadratic
from pacer.shippedfiles import CAP
from pacer.show.figures.drawing import Blob, Block, Lettering, Line
from pacer.show.figures.fills import DOTTED, PAPER, PLAIN
from pacer.show.figures.hatching import hatching
from pacer.show.measure.theme import Rgb

LANGUAGE = "en-GB"
PITCH_MM = 1.5  #: of patterns
POINTS_PER_MM = 72 / MM_PER_INCH


def pdf_bytes(pages: Sequence[Page], title: str) -> bytes:
    """The file."""
    # Imported only when a sheet is made: the app's start must not wait for it.
    from fpdf import FPDF
    from fpdf.prefs import ViewerPreferences

    pdf = FPDF(unit="mm")
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.c_margin = 0
    pdf.set_title(title)
    pdf.set_lang(LANGUAGE)
    pdf.set_display_mode("fullpage")
    pdf.viewer_preferences = ViewerPreferences(display_doc_title=True)
    pdf.set_creator("pacer")
    _add_fonts(pdf, pages)
    for page in pages:
        pdf.add_page(format=(page.size.width, page.size.height))
        _draw(pdf, page)
    return bytes(pdf.output())


def _add_fonts(pdf: Any, pages: Sequence[Page]) -> None:
    for style, name in (("", REGULAR), ("B", BOLD)):
        written = (one.text for page in pages for one in page.letterings if one.bold is bool(style))
        letters: set[str] = set().union(*written)
        if letters:
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / name.replace(".otf", ".ttf")
                with whole_file(path, sure=False) as file:
                    file.write(quadratic(name, letters))
                pdf.add_font("B612", style, path)


def _draw(pdf: Any, page: Page) -> None:
    high = page.size.height
    for mark in page.bookmarks:
        pdf.set_y(high - mark.y)
        pdf.start_section(mark.text)
    for block in page.blocks:
        _block(pdf, block, high)
    for line in page.lines:
        _line(pdf, line, high)
    for blob in page.blobs:
        _blob(pdf, blob, high)
    for one in page.letterings:
        _letters(pdf, one, high)


def _ink(colour: Rgb) -> tuple[int, int, int]:
    red, green, blue = (round(255 * part) for part in colour)
    return red, green, blue


def _block(pdf: Any, block: Block, high: float) -> None:
    fill = PAPER[block.fill]
    pdf.set_fill_color(*_ink(fill.colour))
    pdf.rect(block.x, high - block.y - block.height, block.width, block.height, style="F")
    if fill.pattern == PLAIN:
        return
    wide = PITCH_MM / 3
    pdf.set_draw_color(*_ink(fill.second))
    pdf.set_fill_color(*_ink(fill.second))
    pdf.set_line_width(wide)
    inner = (block.x + wide / 2, block.y + wide / 2, block.width - wide, block.height - wide)
    if min(inner[2:]) <= 0:
        return
    for x0, y0, x1, y1 in hatching(fill.pattern, *inner, PITCH_MM):
        if fill.pattern == DOTTED:
            pdf.rect(x0 - wide / 2, high - y0 - wide / 2, wide, wide, style="F")
        else:
            pdf.line(x0, high - y0, x1, high - y1)


def _line(pdf: Any, line: Line, high: float) -> None:
    pdf.set_draw_color(*_ink(PAPER[line.colour].colour))
    pdf.set_line_width(line.width)
    if line.dashed:
        pdf.set_dash_pattern(dash=4 * line.width, gap=4 * line.width)
    pdf.polyline([(x, high - y) for x, y in line.points])
    if line.dashed:
        pdf.set_dash_pattern()


def _blob(pdf: Any, blob: Blob, high: float) -> None:
    x, y, r = blob.x, high - blob.y, blob.radius
    pdf.set_fill_color(*_ink(PAPER[blob.fill].colour))
    pdf.set_draw_color(*_ink(PAPER[blob.fill].colour))
    if blob.shape == "open":
        pdf.set_line_width(r / 2)
        pdf.ellipse(x - 0.75 * r, y - 0.75 * r, 1.5 * r, 1.5 * r, style="D")
    elif blob.corners:
        pdf.polygon([(x + dx * r, y - dy * r) for dx, dy in blob.corners], style="F")
    else:
        pdf.ellipse(x - r, y - r, 2 * r, 2 * r, style="F")


def _letters(pdf: Any, one: Lettering, high: float) -> None:
    pdf.set_font("B612", "B" if one.bold else "", one.cap / CAP * POINTS_PER_MM)
    pdf.set_text_color(*_ink(PAPER[one.colour].colour))
    wide = pdf.get_string_width(one.text)
    left = one.x - {"left": 0, "middle": wide / 2, "right": wide}[one.across]
    pdf.text(left, high - one.y, one.text)
