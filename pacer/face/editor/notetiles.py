"""Notes about the current line, as tiles below the text: each sentence with the fixes it offers.

They have a place of their own, so that no line of the text ever moves for them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.board import Bar, Text, Tile
from pacer.face.tiles.column import ROW
from pacer.face.tiles.page import Page
from pacer.plan.model import Plan
from pacer.plan.problem import Problem
from pacer.plan.text.fixes import Fix
from pacer.plan.text.linename import line_said
from pacer.plan.text.livepage import PageReading
from pacer.show.editing.fewerrounds import overrun_said
from pacer.show.editing.lanevalues import entries_said
from pacer.show.editing.missingparts import is_missing
from pacer.show.editing.pagelayout import Note
from pacer.squad.lanenumbers import lane_numbers
from pacer.squad.squad import Squad
from pacer.timeline.findings import Finding, Severity

MARK = 0.3  #: width of the mark beside a sentence, in character heights
BESIDE_SHARE = 0.55  #: greatest share of the width for fixes beside their sentence


def room_for_one(page: Page) -> float:
    """The height of a sentence of two rows with its fixes."""
    rows = 2 * round(ROW * page.cap)
    return max(rows, page.target) + page.gap if not page.upright else rows + page.target + 2 * page.gap


def said_height(page: Page) -> float:
    """The height of the place for notes: a sentence with its fixes, and one more row."""
    row = round(ROW * page.cap)
    return page.target + (2 if page.upright else 1) * row + 1.4 * page.gap


def fitting(tiles: Sequence[Tile], high: float) -> list[Tile]:
    """The tiles that fit or begin within that height; all of the first sentence in any case."""
    ends = [tile.bottom for tile in tiles if tile.bottom <= high + 1]
    return [tile for tile in tiles if tile.bottom <= max([*ends, tiles[0].bottom])] if tiles else []


def who_gets_what(plan: Plan | None, line: int, squad: Squad) -> tuple[Note, ...]:
    """Which lane has which value of the current line (from 0), if it has several: information, not a check."""
    said = "" if squad.assumed else entries_said(plan, line + 1, squad.lanes)
    return (Note(int(Severity.REMARK), said),) if said else ()


def notes_now(
    here: Sequence[Note],
    reading: PageReading,
    lines: Sequence[str],
    over_ms: int,
    fixes_of: Callable[[Problem | Finding], tuple[Fix, ...] | None],
    worst: Finding | None = None,
    lanes: int = 1,
    shorter: tuple[Fix, ...] = (),
) -> Sequence[Note]:
    """The notes of the current line, and how a plan that overruns by `over_ms` could end in time: `shorter`.

    If there are none, what keeps the whole plan from running: its first error or the worst check of its `lanes`, with
    the fixes that `fixes_of` knows (None: don't show it yet). What the head of the page says is not said again.
    """
    if shorter:
        return *here, Note(int(Severity.WRONG), overrun_said(over_ms, len(shorter)), "", shorter)
    if here:
        return here
    wrong = [each for each in reading.problems if not is_missing(each)]
    for problem in wrong:
        if (fixes := fixes_of(problem)) is not None:
            said = f"{line_said(lines, problem.line)}: {problem.message}"
            return (Note(-1, said, problem.hint, fixes, mistake=True),)
    if worst is not None and worst.line and not wrong:
        whom = lane_numbers(worst.lanes, lanes)
        said = f"{line_said(lines, worst.line)}, {whom}: {worst.message}" if whom else worst.message
        return (Note(int(worst.severity), said, "", fixes_of(worst) or ()),)
    return ()


def said_tiles(notes: Sequence[Note], page: Page, width: float) -> tuple[list[Tile], dict[str, Fix]]:
    """The tiles of `notes`, `width` across in the sizes of `page`, and the fix that each key among them makes."""
    left = page.gap + page.cap
    inner, top = width - left - page.gap, 0.4 * page.gap
    tiles, fixes = [], {}
    for place, note in enumerate(notes):
        wide = [max(page.target, measure(fix.says, page.cap, True) + 2 * page.inset + 1) for fix in note.fixes]
        keys = sum(wide) + page.gap * len(wide)
        beside = 0 < keys <= BESIDE_SHARE * inner
        said = _sentence_tile(note, left, top, inner - keys if beside else inner, page)
        if beside:
            down = max(0.0, page.target - said.height) / 2
            texts = tuple(_lowered(text, down) for text in said.texts)
            said = said._replace(height=said.height + 2 * down, texts=texts)
            x, down, right = left + inner - keys + page.gap, top, left + inner
        else:
            x, down, right = left, said.bottom + 0.4 * page.gap, left + inner
        colour = "float_" if note.mistake or note.weight <= 2 else "line"
        tiles.append(
            said._replace(
                bars=(Bar((-0.8 * page.cap, 0.2 * page.cap, MARK * page.cap, said.height - 0.4 * page.cap), colour),)
            )
        )
        first, tall = x, 0.0
        for number, (fix, room) in enumerate(zip(note.fixes, wide)):
            room = min(room, right - first)
            if x > first and x + room > right + 1:
                x, down, tall = first, down + tall + page.gap, 0.0
            rows = len(rows_of(fix.says, room - 2 * page.padding, page.cap, True))
            high = max(page.target, (rows + 0.4) * round(ROW * page.cap))
            tall = max(tall, high)
            name = f"fix {place} {number} {fix.says}"
            tiles.append(
                Tile(name, x, down, room, high, (Text((fix.says,), bold=True, across="middle", lines=rows),), "key")
            )
            fixes[name] = fix
            x += room + page.gap
        top = max(tile.bottom for tile in tiles) + 0.6 * page.gap
    return tiles, fixes


def _sentence_tile(note: Note, x: float, top: float, width: float, page: Page) -> Tile:
    """A note's sentence, and its hint if no key does what the hint says."""
    row, texts, down = round(ROW * page.cap), [], 0.0
    for words, colour in ((note.said, "ink"), ("" if note.fixes and note.mistake else note.hint, "dim")):
        if words:
            rows = len(rows_of(words, width, page.cap))
            texts.append(Text((words,), (0, down, width, rows * row), colour=colour, up="top", lines=rows))
            down += rows * row
    return Tile("", x, top, width, down, tuple(texts), "plain")


def _lowered(text: Text, down: float) -> Text:
    """The text of a tile, further down in it."""
    return text if text.box is None else text._replace(box=(text.box[0], text.box[1] + down, *text.box[2:]))
