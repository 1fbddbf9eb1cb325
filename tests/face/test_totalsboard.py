"""The totals of a plan as tiles: however many lanes, they stand in the whole width."""

from __future__ import annotations

import pytest

from pacer.timeline.totals import LaneTotal, Totals


@pytest.mark.parametrize("distance", [900, 2_150])
@pytest.mark.parametrize("count", range(1, 11))
def test_lanes_share_the_whole_width(window, count, distance):
    from pacer.face.totalsboard import totals_tiles

    lanes = tuple(LaneTotal(n + 1, distance, 3_300_000, (("Main set", 3),)) for n in range(count))
    for width in (380, 560, 740, 980, 1240):
        heading, *tiles = totals_tiles(Totals("m", lanes, 3_300_000, 3_600_000), 0, width, 18, 8, 1e9)
        assert len(tiles) == count and heading.width == width
        assert max(tile.x + tile.width for tile in tiles) == pytest.approx(width), "nothing is left empty on the right"
        columns = {tile.x for tile in tiles}
        rows = {tile.top for tile in tiles}
        assert len(rows) == -(-count // len(columns)), "no more rows than so many columns need"
        for tile in tiles:
            for text in tile.texts:
                x, _, wide, _ = text.box
                assert x >= 0 and x + wide <= tile.width + 0.5, (count, width, text.ways)
