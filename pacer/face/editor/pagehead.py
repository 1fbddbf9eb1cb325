"""The head of a page being written: the chosen lane, the headings of the margin, and the session's totals."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.editor.pagepainter import Margin
from pacer.face.kit.textures import measure
from pacer.face.tiles.board import Text, Tile
from pacer.face.tiles.column import ROW
from pacer.face.tiles.page import Page
from pacer.language import tr
from pacer.plan.sentence import capitals
from pacer.plan.text.fixes import Fix
from pacer.plan.times import whole_up
from pacer.show.wording.totalstext import lane_and_slowest, span, summary, too_late
from pacer.squad.squad import Squad
from pacer.timeline.summary.totals import LaneTotal, Totals

BEGINS, TAKES = tr("starts"), tr("lasts")  #: headings of the margin's columns


def head_height(page: Page, compact: bool) -> float:
    """Its height; `compact` on a screen partly covered by a keyboard."""
    return page.gap + (0 if compact else page.target) + round(ROW * page.cap)


def margin_of(page: Page) -> Margin:
    """The margin's columns on that page: as wide as the longest times and the lane's key above them."""
    cap = page.cap
    wide = max(measure("0:00:00", cap), measure(TAKES, cap))
    marks = 1.4 * cap
    begins = marks + wide
    takes = begins + 0.8 * cap + max(measure("00:00", cap, True), measure(TAKES, cap))
    return Margin(marks, begins, max(takes, measure(tr("Lane 10"), cap, True) + 2 * page.padding + page.gap))


def head_tiles(
    page: Page,
    margin: Margin,
    gutter: float,
    squad: Squad,
    lane: int,
    totals: Totals | None,
    unread: int,
    stale: bool,
    missing: tuple[str, ...],
    fixes: Sequence[Fix],
    compact: bool,
    gets: tuple[str, ...] = (),
) -> list[Tile]:
    """Its tiles: `lane` chooses the next lane, `missing 0` and so on add what the plan still needs.

    `gets`: the values of the current line, if its lanes have different ones, or how often each leaves; without it, what
    the chosen lane swims.
    """
    cap, gap, row = page.cap, page.gap, round(ROW * page.cap)
    tiles, high = [], head_height(page, compact)
    for caption, right in ((BEGINS, margin.begins), (TAKES, margin.takes)):
        wide = measure(caption, cap) + 2
        text = Text((caption,), (0, 0, wide, row), colour="dim", across="right")
        tiles.append(Tile("", right - wide, high - row, wide, row, (text,), "plain"))
    if not compact:
        words = (tr("Lane {number}", number=squad.lanes[lane].number),)
        look = "key" if len(squad.lanes) > 1 else "plain"
        name = "lane" if len(squad.lanes) > 1 else ""
        wide = max(page.target, margin.takes - gap)
        tiles.append(Tile(name, gap, gap, wide, page.target, (Text(words, bold=True, across="middle"),), look))
    left, right = gutter, page.width - gap
    if missing:
        said_wide = min(measure(way, cap, True) for way in missing) + gap
        for place, fix in enumerate(fixes):  # as many as leave room for the sentence
            wide = max(page.target, measure(fix.says, cap, True) + 2 * page.inset + 1)
            if place and right - wide - left < said_wide:
                break
            tall = high - gap if compact else page.target
            text = Text((fix.says,), bold=True, across="middle")
            tiles.append(Tile(f"missing {place}", right - wide, gap, wide, tall, (text,), "key"))
            right -= wide + gap
        place_said = (0.0, 0.0, max(1.0, right - left), high - gap)
        said = Text(capitals(missing), place_said, True, lines=3)
        tiles.append(Tile("", left, gap, *place_said[2:], (said,), "plain"))
        return tiles
    over = totals is not None and (totals.over_ms > 0 or totals.stops)
    waits = totals is None and unread == 0
    ways = summary(totals, -1 if waits else unread)
    swum = totals is not None and lane < len(totals.lanes)
    if compact and len(squad.lanes) > 1 and totals is not None and swum:  # no key says whose times are in the margin
        ways = lane_and_slowest(totals, lane, unread)
    elif over and totals is not None and (late := too_late(totals)):
        ways = (f"{ways[0]}; {late}", *ways)
    colour = "dim" if stale else "warn" if over else "ink"
    width = right - left
    texts = [Text(capitals(ways), (0, 0, width, row), True, colour)]
    of_lane = _lane_ways(totals.lanes[lane], totals) if totals is not None and swum else ()
    if not compact and (gets or of_lane):
        ways = gets or of_lane
        texts.append(Text(capitals(ways), (0, row, width, row), colour="ink" if gets else "dim"))
    tall, room = len(texts) * row, high - gap
    pressed = totals is not None and not compact  # it opens the checks
    whole = max(tall, page.target) if pressed else tall
    down = (whole - tall) / 2
    texts = [text._replace(box=(text.box[0], text.box[1] + down, *text.box[2:])) for text in texts if text.box]
    tiles.append(
        Tile("totals" if pressed else "", left, gap + max(0.0, room - whole) / 2, width, whole, tuple(texts), "plain")
    )
    return tiles


def _lane_ways(lane: LaneTotal, totals: Totals) -> tuple[str, ...]:
    """What the chosen lane swims, how long it takes, and its rounds; the longest way first."""
    swims = tr(
        "lane {lane}: {distance:,} {unit} in {end}",
        lane=lane.lane,
        distance=lane.distance,
        unit=totals.unit,
        end=whole_up(lane.end_ms),
    )
    chosen = ", ".join(f"{what} {count}" if what.startswith("x") else f"{what} ×{count}" for what, count in lane.chosen)
    whole = (f"{swims}, {chosen}",) if chosen else ()
    return (*whole, swims, span(totals))
