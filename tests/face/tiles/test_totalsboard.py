"""The totals of a plan as tiles: however many lanes, they stand in the whole width."""

from __future__ import annotations

import pytest

from pacer.timeline.summary.totals import LaneTotal, Totals


@pytest.mark.parametrize("distance", [900, 2_150])
@pytest.mark.parametrize("count", range(1, 11))
def test_lanes_share_the_whole_width(window, count, distance):
    from pacer.face.tiles.totalsboard import totals_tiles

    lanes = tuple(LaneTotal(n + 1, distance, 3_300_000, (("Main set", 3),)) for n in range(count))
    for width in (380, 560, 740, 980, 1240):
        heading, *below = totals_tiles(Totals("m", lanes, 3_300_000, 3_600_000), 0, width, 18, 8, 1e9)
        heads, tiles = [tile for tile in below if not tile.bars], [tile for tile in below if tile.bars]
        assert len(tiles) == count and heading.width == width
        assert max(tile.x + tile.width for tile in tiles) == pytest.approx(width), "nothing is left empty on the right"
        columns = {tile.x for tile in tiles}
        rows = {tile.top for tile in tiles}
        assert len(rows) == -(-count // len(columns)), "no more rows than so many columns need"
        assert [[text.ways[0] for text in head.texts] for head in heads] == [["lane", "m", "out"]] * len(columns)
        assert {head.x for head in heads} == columns and {head.bottom for head in heads} == {min(rows)}
        for head, text in zip(heads[0].texts, tiles[0].texts):
            assert head.box[:1] + head.box[2:3] == text.box[:1] + text.box[2:3], "above its figures"
        for tile in tiles:
            for text in tile.texts:
                x, _, wide, _ = text.box
                assert x >= 0 and x + wide <= tile.width + 0.5, (count, width, text.ways)


def test_where_there_is_little_room_lanes_go_without_heads_before_they_go_into_the_heading(window):
    from pacer.face.tiles.totalsboard import totals_tiles

    lanes = tuple(LaneTotal(n + 1, 2_150, 3_300_000, (("Main set", 3),)) for n in range(6))
    high = [
        max(tile.bottom for tile in totals_tiles(Totals("m", lanes, 3_300_000, 3_600_000), 0, 740, 18, 8, most))
        for most in (1e9, 120, 60)
    ]
    assert high[0] > high[1] > high[2] and high[1] <= 120 and high[2] <= 60
