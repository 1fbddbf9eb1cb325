"""A text in an editor: its lines, the cursor, the selection, and undo and redo of every change.

Lines and columns count from 0 here, columns in characters. Of a plan's page this module knows only
the indentation; `livepage` reads its meaning.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.filetext import lines_of
from pacer.plan.regex import regex
from pacer.plan.text.standardform import INDENT
from pacer.plan.words.labels import SECTION_NAMES, WORK_ALONE

MAX_CHANGES = 1_000  #: that can be undone

_WORD = regex(r"\w+|[^\w\s]+")
#: Lines with others indented below them: a section's name at the left edge, or rounds.
_HEAD = regex(r"[^\W\d_][^:\"“„]*$|\s*(?:[0-9]+\s*(?:/\s*[0-9]+\s*)*rounds?|rounds\s+[\w\s/]+)\s*$", re.IGNORECASE)
#: A section's usual name, alone, with details, or with rounds after it; work that is its name, alone.
_NAMED = regex(rf"(?:{SECTION_NAMES.pattern})(?:,.*|\s+[0-9].*)?|{WORK_ALONE.pattern}", re.IGNORECASE)
#: A section's name followed by details or a cue; a header line would have a colon first.
_SECTION = regex(r"[^\W\d_][^:\"“„]*[,\"“„]")


class Spot(NamedTuple):
    """A place between two characters of a draft."""

    line: int
    column: int


@dataclass(slots=True)
class _Change:
    """From line `at` on, the `old` lines became `new`; the cursor moved from `before` to `after`."""

    at: int
    old: list[str]
    new: list[str]
    before: Spot
    after: Spot
    kind: str


class TextBuffer:
    """A text with a cursor. `edits` counts its changes, including undo and redo.

    >>> draft = TextBuffer("4 x 50 fre")
    >>> draft.go(Spot(0, 10)); draft.write("e")
    >>> draft.text
    '4 x 50 free'
    """

    def __init__(self, text: str = ""):
        self.lines = lines_of(text)
        self.cursor = Spot(0, 0)
        self.anchor: Spot | None = None
        self.edits = 0
        self._done: list[_Change] = []
        self._undone: list[_Change] = []
        self._open = False  # whether the next keystroke may extend the last change

    @property
    def text(self) -> str:
        """The whole text."""
        return "\n".join(self.lines)

    @property
    def end(self) -> Spot:
        """The spot after the last character."""
        return Spot(len(self.lines) - 1, len(self.lines[-1]))

    # -- the cursor ------------------------------------------------------------------------------

    def go(self, spot: Spot, choosing: bool = False) -> None:
        """Move the cursor to `spot`, or as near as there is text; `choosing` selects the text in between."""
        line = min(max(spot.line, 0), len(self.lines) - 1)
        if choosing and self.anchor is None:
            self.anchor = self.cursor
        elif not choosing:
            self.anchor = None
        self.cursor = Spot(line, min(max(spot.column, 0), len(self.lines[line])))
        self._open = False

    def beside(self, step: int, word: bool = False) -> Spot:
        """The spot one character, or one word, before (-1) or after (1) the cursor."""
        line, column = self.cursor
        text = self.lines[line]
        if step < 0 and column == 0:
            return self.cursor if line == 0 else Spot(line - 1, len(self.lines[line - 1]))
        if step > 0 and column == len(text):
            return self.cursor if line == len(self.lines) - 1 else Spot(line + 1, 0)
        if not word:
            return Spot(line, column + step)
        if step < 0:
            return Spot(line, max([m.start() for m in _WORD.finditer(text) if m.start() < column], default=0))
        return Spot(line, min([m.end() for m in _WORD.finditer(text) if m.end() > column], default=len(text)))

    @property
    def chosen(self) -> tuple[Spot, Spot] | None:
        """The start and end of the selection; None if nothing is selected."""
        if self.anchor is None or self.anchor == self.cursor:
            return None
        return min(self.anchor, self.cursor), max(self.anchor, self.cursor)

    @property
    def chosen_text(self) -> str:
        """The selected text, "" if nothing is selected."""
        if self.chosen is None:
            return ""
        (first, start), (last, end) = self.chosen
        if first == last:
            return self.lines[first][start:end]
        return "\n".join([self.lines[first][start:], *self.lines[first + 1 : last], self.lines[last][:end]])

    def choose_word(self, spot: Spot) -> None:
        """Select the word at a spot; between words, the nearest on the line."""
        self.go(spot)
        words = [m.span() for m in _WORD.finditer(self.lines[self.cursor.line])]
        if words:
            column = self.cursor.column
            start, end = min(words, key=lambda word: (max(word[0] - column, column - word[1], 0), -word[1]))
            self.anchor, self.cursor = Spot(self.cursor.line, start), Spot(self.cursor.line, end)

    def choose_all(self) -> None:
        """Select the whole text."""
        self.anchor, self.cursor, self._open = Spot(0, 0), self.end, False

    # -- writing -----------------------------------------------------------------------------------

    def write(self, text: str) -> None:
        """Write at the cursor, replacing the selection; the text may have several lines."""
        text = "\n".join(lines_of(text)).replace("\t", INDENT)
        if not text and self.chosen is None:
            return
        start, end = self.chosen or (self.cursor, self.cursor)
        before = self.lines[start.line][: start.column]
        rows = (before + text + self.lines[end.line][end.column :]).split("\n")
        last = start.line + len(rows) - 1
        column = len(rows[-1]) - (len(self.lines[end.line]) - end.column)
        grows = "\n" not in text and self.chosen is None and not (text[:1].strip() and before[-1:].isspace())
        self._put(start.line, end.line - start.line + 1, rows, Spot(last, column), "write", grows)

    def enter(self) -> None:
        """Start a new line, indented like the one above, or two spaces more below a section's name or rounds.

        If the current line has only its indentation, empty it and start the new line at the left edge. A section's
        usual name moves to the left edge, where it begins one.
        """
        start, end = self.chosen or (self.cursor, self.cursor)
        above = self.lines[start.line][: start.column]
        whole = self.lines[start.line]
        if whole and whole.isspace() and self.chosen is None:
            self._put(start.line, 1, ["", ""], Spot(start.line + 1, 0), "enter", False)
            return
        indent = above[: len(above) - len(above.lstrip())]
        if indent and not whole[start.column :].strip() and _NAMED.fullmatch(above.strip()):
            above, indent = above.strip(), ""
        if _HEAD.match(above) or _SECTION.match(above):
            indent += INDENT
        rest = self.lines[end.line][end.column :].lstrip(" ")
        self._put(
            start.line,
            end.line - start.line + 1,
            [above, indent + rest],
            Spot(start.line + 1, len(indent)),
            "enter",
            False,
        )

    def name_to_edge(self) -> bool:
        """Move a section's usual name on the cursor's line to the left edge, as Enter would; returns whether it did."""
        line, column = self.cursor
        text = self.lines[line]
        name = text.strip()
        moves = text[:1].isspace() and bool(_NAMED.fullmatch(name))
        if moves:
            left = len(text) - len(text.lstrip())
            self._put(line, 1, [name], Spot(line, min(max(0, column - left), len(name))), "lines", False)
        return moves

    def erase(self, step: int = -1, word: bool = False) -> None:
        """Erase the selection, or else a character (or a word) before or after the cursor.

        In indentation, erase two spaces at once.
        """
        if self.chosen is not None:
            self.write("")
            return
        line, column = self.cursor
        other = self.beside(step, word)
        lead = self.lines[line][:column]
        if step < 0 and not word and len(lead) > 1 and lead.endswith(INDENT) and lead.isspace():
            other = Spot(line, column - len(INDENT))
        start, end = sorted((self.cursor, other))
        if start != end:
            row = self.lines[start.line][: start.column] + self.lines[end.line][end.column :]
            self._put(
                start.line,
                end.line - start.line + 1,
                [row],
                start,
                tr("erase{step}", step=step),
                start.line == end.line,
            )

    def replace(self, line: int, start: int, end: int, text: str) -> None:
        """Replace columns `start` to `end` of a line with `text`; the cursor goes after it."""
        old = self.lines[line]
        rows = (old[:start] + text + old[end:]).split("\n")
        self.anchor = None
        self._put(line, 1, rows, Spot(line + len(rows) - 1, len(rows[-1]) - (len(old) - end)), "replace", False)

    def rewrite(self, lines: list[str]) -> None:
        """Make the text these lines, as one change; the cursor stays on its line."""
        old, line = self.lines, min(self.cursor.line, len(lines) - 1)
        shorter = min(len(old), len(lines))
        first = next((at for at in range(shorter) if old[at] != lines[at]), shorter)
        same = next((at for at in range(shorter - first) if old[-1 - at] != lines[-1 - at]), shorter - first)
        cursor = Spot(line, min(self.cursor.column, len(lines[line])))
        self._put(first, len(old) - same - first, lines[first : len(lines) - same], cursor, "replace", False)

    def _lines_chosen(self) -> range:
        start, end = self.chosen or (self.cursor, self.cursor)
        last = end.line - (1 if end.column == 0 and end.line > start.line else 0)
        return range(start.line, last + 1)

    def indent(self, step: int = 1) -> None:
        """Move the selected lines, or the cursor's line, two spaces to the right or (-1) to the left."""

        def moved(text: str) -> str:
            if step > 0:
                return INDENT + text if text else text
            return text.removeprefix(INDENT) if text.startswith(INDENT) else text.lstrip(" ")

        self._each_line(moved)

    def toggle_comment(self) -> None:
        """Turn the selected lines, or the cursor's line, into comments; if all are comments, turn them back."""
        texts = [self.lines[at] for at in self._lines_chosen() if self.lines[at].strip()]
        off = all(text.lstrip().startswith("#") for text in texts)

        def changed(text: str) -> str:
            bare = text.lstrip()
            indent = text[: len(text) - len(bare)]
            if not bare:
                return text
            return indent + (bare[1:].removeprefix(" ") if off else "# " + bare)

        self._each_line(changed)

    def _each_line(self, change) -> None:
        lines = self._lines_chosen()
        rows = [change(self.lines[at]) for at in lines]
        if rows == self.lines[lines.start : lines.stop]:
            return

        def shifted(spot: Spot) -> Spot:
            if spot.line not in lines:
                return spot
            more = len(rows[spot.line - lines.start]) - len(self.lines[spot.line])
            return Spot(spot.line, min(max(0, spot.column + more), len(rows[spot.line - lines.start])))

        anchor, cursor = self.anchor and shifted(self.anchor), shifted(self.cursor)
        self._put(lines.start, len(rows), rows, cursor, "lines", False)
        self.anchor = anchor

    # -- undo and redo ---------------------------------------------------------------------------------

    def _put(self, at: int, count: int, rows: list[str], cursor: Spot, kind: str, grows: bool) -> None:
        """Replace `count` lines from `at` on; a change that `grows` joins the last one of its kind for undo."""
        change = _Change(at, self.lines[at : at + count], rows, self.cursor, cursor, kind)
        last = self._done[-1] if self._done else None
        if (
            last
            and grows
            and self._open
            and last.kind == kind
            and last.at == at
            and len(last.new) == count == len(rows) == 1
        ):
            last.new, last.after = rows, cursor
        else:
            self._done.append(change)
            del self._done[:-MAX_CHANGES]
        self._undone.clear()
        self._swap(at, count, rows, cursor)
        self._open = True

    def _swap(self, at: int, count: int, rows: list[str], cursor: Spot) -> None:
        self.lines[at : at + count] = rows
        self.cursor, self.anchor, self._open = cursor, None, False
        self.edits += 1

    def settle(self) -> None:
        """End the current change: text written from now on has its own undo."""
        self._open = False

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to undo."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether a change was undone and nothing has been written since."""
        return bool(self._undone)

    def undo(self) -> bool:
        """Undo the last change; return whether there was one."""
        if not self._done:
            return False
        change = self._done.pop()
        self._undone.append(change)
        self._swap(change.at, len(change.new), change.old, change.before)
        return True

    def redo(self) -> bool:
        """Redo the change that was undone last; return whether there was one."""
        if not self._undone:
            return False
        change = self._undone.pop()
        self._done.append(change)
        self._swap(change.at, len(change.old), change.new, change.after)
        return True

    def check(self) -> None:
        """Assert all invariants."""
        assert self.lines and not any("\n" in line or "\r" in line for line in self.lines)
        for spot in (self.cursor, self.anchor):
            assert spot is None or 0 <= spot.line < len(self.lines) and 0 <= spot.column <= len(self.lines[spot.line])
