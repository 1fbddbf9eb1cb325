"""The QR code that a screen is paired by (ISO/IEC 18004, drawn by segno)."""

from __future__ import annotations

from functools import lru_cache
from typing import TextIO

QUIET = 4  #: light squares around it, as the standard wants


@lru_cache(4)
def qr_rows(text: str) -> tuple[str, ...]:
    """Its squares with the light ones around, row by row: `#` dark, `.` light.

    >>> rows = qr_rows("http://10.0.0.1:8080/#" + 32 * "0")
    >>> len(rows) == len(rows[0]), rows[0] == "." * len(rows), rows[4][4:11]
    (True, True, '#######')
    """
    import segno

    made = segno.make(text, error="m", micro=False, boost_error=False)
    return tuple("".join("#" if dark else "." for dark in row) for row in made.matrix_iter(border=QUIET))


_DRAWN = {"##": " ", "#.": "▄", ".#": "▀", "..": "█"}


def can_draw(encoding: str | None) -> bool:
    """Whether an encoding has the letters that it is drawn with.

    >>> can_draw("utf-8"), can_draw("cp437"), can_draw("ascii"), can_draw(None)
    (True, True, False, False)
    """
    try:
        "".join(_DRAWN.values()).encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def qr_terminal(text: str, out: TextIO) -> None:
    """Draw it with letters, light on dark: for a terminal, or a log that is read in one."""
    rows = qr_rows(text)
    for upper, lower in zip(rows[::2], (*rows[1::2], "." * len(rows[0]))):
        out.write("".join(_DRAWN[a + b] for a, b in zip(upper, lower)) + "\n")
