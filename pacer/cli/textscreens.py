"""Lane screens of a session in the terminal: where they join, who has joined, what helpers did."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import TextIO

from pacer.language import tr
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.screens.lanescreens import LaneScreens
from pacer.screens.pairingcode import can_draw, qr_terminal
from pacer.session.records.entrytext import names_of, said
from pacer.show.drive.driver import Driver
from pacer.show.wording.timereadings import spaced_code

APPROVE = "y"


class TextScreens:
    """Asked in every turn of the terminal's loop; the loop never waits for them."""

    keys_said = tr("{approve} lets the newest screen help", approve=APPROVE)

    def __init__(self, driver: Driver, folder: Path | None, out: TextIO, book: DrillBook = EMPTY_BOOK):
        self.screens = LaneScreens(driver, folder, book=book)
        self._keys = out.isatty()  # else nobody can let a screen help
        self._picture = can_draw(out.encoding)
        self._said: tuple[str, str, str] | None = None
        self._known: set[int] | None = None
        self._trouble = ""

    def lines(self) -> Iterator[str]:
        """The news since the last time."""
        screens = self.screens
        for one in screens.frame():
            yield said(one.entry, names_of(screens.driver.run.timeline))
        if screens.trouble != self._trouble:
            self._trouble = screens.trouble
            yield screens.trouble or tr("Lane screens are back")
        where = (screens.address, screens.code, screens.scanned if self._picture else "")
        if screens.address and where != self._said:
            self._said = where
            yield self._where()
        if self._known is None:
            self._known = {row.number for row in screens.rows}  # from before a restart
        for row in screens.rows:
            if row.number not in self._known:
                self._known.add(row.number)
                yield (
                    tr("screen {number} joined; press {approve} to let it help", number=row.number, approve=APPROVE)
                    if self._keys and row.can_help and not row.helps
                    else tr("screen {number} joined", number=row.number)
                )

    def _where(self) -> str:
        screens = self.screens
        code = (
            tr("code {spaced_code}", spaced_code=spaced_code(screens.code))
            if screens.code
            else tr("too many wrong codes: scan the QR code")
        )
        others = ", ".join(screens.others)
        told = (
            tr("lane screens: {address} (or {others}), {code}", address=screens.address, others=others, code=code)
            if others
            else tr("lane screens: {address}, {code}", address=screens.address, code=code)
        )
        if self._picture:
            drawn = io.StringIO()
            qr_terminal(screens.scanned, drawn)
            scan = tr("scan this to help too:") if self._keys else tr("or scan this:")
            return f"{told}; {scan}\n\n{drawn.getvalue()}"
        return tr("{told}. A terminal in UTF-8 would show the QR code too.", told=told)

    def key(self, key: str) -> str | None:
        """What a key does that the session does not know; None: nothing."""
        if key != APPROVE:
            return None
        waiting = [row.number for row in self.screens.rows if row.connected and row.can_help and not row.helps]
        if not waiting:
            return tr("no scanned screen is waiting to help")
        self.screens.approve(waiting[-1])
        return tr("screen {waiting} helps now", waiting=waiting[-1])

    def close(self) -> None:
        """Turn them off."""
        self.screens.close(3)
