"""The totals of a plan as a table: however many lanes, each figure stands below the head that says what it is."""

from __future__ import annotations

import pytest

from pacer.timeline.summary.totals import LaneTotal, Totals


def made(count, *chosen, distance=2_150):
    lanes = tuple(LaneTotal(n + 1, distance, 3_300_000, chosen) for n in range(count))
    return Totals("m", lanes, 3_300_000, 3_600_000)


@pytest.mark.parametrize("distance", [900, 2_150])
@pytest.mark.parametrize("count", [1, 3, 4, 5, 6, 10])
def test_figures_stand_below_their_heads_and_within_the_width(window, count, distance):
    from pacer.face.tiles.totalsboard import totals_tiles

    for width in (380, 560, 740, 980, 1240):
        _heading, *below = totals_tiles(made(count, ("Main set", 3), distance=distance), 0, 10, width, 18)
        assert below[-1].bottom == max(tile.bottom for tile in below), "what comes next is below all lanes"
        heads = [tile for tile in below if not tile.bars]
        rows = [tile for tile in below if tile.bars]
        assert len(rows) == count and len({tile.x for tile in rows}) == len(heads) <= 2
        for head in heads:
            said = [text.ways[0] for text in head.texts]
            assert said[:4] == ["lane", "m", "lasts", "Main set"]
            for tile in rows:
                if tile.x == head.x:
                    assert [text.box[::2] for text in head.texts] == [text.box[::2] for text in tile.texts], "aligned"
        for tile in below:
            assert tile.x >= 10 and tile.x + tile.width <= 10 + width + 0.5
            for text in tile.texts:
                x, _, wide, _ = text.box
                assert x >= 0 and x + wide <= tile.width + 1.5, (count, width, text.ways)


def test_many_counts_are_named_one_by_one_in_the_last_column(window):
    from pacer.face.tiles.totalsboard import lane_tiles

    chosen = ("Main set", 1), ("Rate set of the long evening", 1), ("Technique", 3)
    for width, apart in ((1200, True), (520, False)):
        head, row, *_ = lane_tiles(made(2, *chosen), 0, 0, width, 18)
        words = [text.ways[0] for text in head.texts]
        assert ("Technique" in words) == apart
        if not apart:
            assert words[-1] == "rounds" and "Technique 3" in row.texts[-1].ways[0] and row.height > head.height
