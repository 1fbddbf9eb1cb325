"""Where a board can rest."""

from pacer.face.tiles.morestrip import Stops
from pacer.face.tiles.tile import Text, Tile


def test_the_margin_above_the_first_tile_is_no_stop_of_its_own():
    """The up key once left a page five pixels down."""
    tiles = [Tile(name, 0, top, 100, 50, (Text((name,)),), "key") for name, top in (("a", 11), ("b", 11), ("c", 66))]
    stops = Stops(tiles, padding=6)
    assert stops.offsets == [0, 60]
    assert stops.to(8) == 0 and stops.from_(1) == 60
