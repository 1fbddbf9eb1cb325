"""A PDF read back by another library: words, fonts, and marks where their data are."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

from pacer.paper.letterwidths import width_of
from pacer.paper.papersize import A4, LETTER, MM_PER_INCH, Page
from pacer.paper.pdffile import pdf_bytes
from pacer.show.figures.drawing import drawn
from pacer.show.figures.planstrip import strip
from tests.show.figures.test_planstrip import DEMOS, session

MM = MM_PER_INCH / 72


def page_of(size=A4):
    page = Page(size)
    laid = drawn(strip(session(DEMOS[2])), 180, 60, 2.2, width_of)
    page.put(laid, 15, 200)
    return page, laid


def read(pages):
    return PdfReader(BytesIO(pdf_bytes(pages, "Long-axis rotation 3")))


@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_size_title_and_language(size):
    reader = read([page_of(size)[0]])
    box = reader.pages[0].mediabox
    assert float(box.width) * MM == pytest.approx(size.width, abs=0.01)
    assert float(box.height) * MM == pytest.approx(size.height, abs=0.01)
    assert reader.metadata.title == "Long-axis rotation 3" and reader.root_object["/Lang"] == "en-GB"
    assert str(reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"]).lower() == "true"


def test_fonts_are_within_and_have_truetype_outlines():
    fonts = [font.get_object() for font in read([page_of()[0]]).pages[0]["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        inner = font["/DescendantFonts"][0].get_object()
        assert "B612" in inner["/BaseFont"] and inner["/Subtype"] == "/CIDFontType2"
        assert inner["/FontDescriptor"]["/FontFile2"].get_object().get_data()[:4] == b"\x00\x01\x00\x00"


def test_words_are_where_they_were_put():
    page, laid = page_of()
    found = {}
    read([page]).pages[0].extract_text(
        visitor_text=lambda text, cm, tm, *_: found.setdefault(text.strip(), (tm[4] * MM, tm[5] * MM))
    )
    for one in laid.letterings:
        wide = width_of(one.text, one.cap, one.bold)
        left = one.x - {"left": 0, "middle": wide / 2, "right": wide}[one.across]
        x, y = found[one.text]
        assert (x, y) == (pytest.approx(left + 15, abs=0.1), pytest.approx(one.y + 200, abs=0.1)), one.text


def test_bars_are_where_their_data_are():
    page, laid = page_of()
    reader, rectangles = read([page]), set()

    def keep(operator, operands, *_):
        if operator == b"re":
            x, y, wide, high = (float(each) * MM for each in operands)
            rectangles.add((round(x, 1), round(min(y, y + high), 1), round(wide, 1)))

    reader.pages[0].extract_text(visitor_operand_before=keep)
    for block in laid.blocks:
        place = round(block.x + 15, 1), round(block.y + 200, 1), round(block.width, 1)
        near = [each for each in rectangles if all(abs(a - b) <= 0.11 for a, b in zip(each, place))]
        assert near, block
