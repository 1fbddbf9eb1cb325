"""Write the lane screens' layout: `python tests/screens/layoutscript.py`, after a change of what it is written from.

What the tablet's views go by to place things, to fit words, and to leave things out when room is short stands in Python
alone; the page has it in JavaScript, in `assets/screens/layout.js`, which this script writes.
"""

from __future__ import annotations

import ast
import re
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.screens.javascript import Writer, called, camel, module

TARGET = ROOT / "assets" / "screens" / "layout.js"

#: Module to the functions and classes that the page has too.
WRITTEN_FROM = {
    "pacer.face.kit.ink": ["Box", "whole", "line_box", "digits_width"],
    "pacer.face.kit.textures": ["font_size"],
    "pacer.show.measure.legibility": ["character_mm", "distance_m", "Glass"],
    "pacer.show.measure.theme": ["rgb", "luminance", "contrast"],
    "pacer.show.wording.timereadings": ["count_down", "count_up", "seconds_to_go"],
    "pacer.timeline.summary.timelinetable": ["clock_reading"],
    "pacer.show.measure.fitting": [
        "lines_height", "fit", "_fit_way", "_largest", "wrapped", "_rows", "shortened", "_cut", "filled",
    ],
    "pacer.show.view.bandpriority": ["placed", "_homes", "without_two_distances"],
    "pacer.show.measure.poolrows": ["_needs", "rows_of", "header_of"],
    "pacer.face.clock.headerlayout": [
        "header_clock", "header_lines", "_one_row", "_two_rows", "_put", "_time_width", "_put_time", "_warning",
        "_spare",
    ],
    "pacer.face.clock.lanelayout": ["lane_boxes", "_landscape", "_portrait", "_capitals"],
    "pacer.face.clock.diallayout": ["dial_boxes", "_clear_of", "chip_boxes", "_sized", "_place", "_touch"],
    "pacer.face.clock.bandlayout": [
        "deck_width", "one_row", "at_width", "number_cap", "number_width", "count_cap", "water_boxes",
        "deck_boxes", "state_boxes",
    ],
}  # fmt: skip
#: Numbers and texts that the page's own scripts go by.
CONSTANTS = {
    "pacer.shippedfiles": ["CAP"],
    "pacer.show.measure.legibility": ["TIER_1_M"],
    "pacer.show.measure.fitting": ["LINE", "PITCH", "FOOT"],
    "pacer.show.view.bandpriority": ["BOLD", "GAP", "MARK"],
    "pacer.face.clock.lanelayout": ["CAPITALS"],
    "pacer.face.clock.bandlayout": ["BAR"],
    "pacer.face.clock.dialview": ["NUMERALS"],
    "pacer.face.clock.poolview": ["ROPE_MM", "ROPE_SHARE", "WALL_MM"],
}
HELPERS = """\
const range = (from, to) => Array.from({ length: Math.max(0, to - from) }, (_, place) => from + place);
const most = (list, key) => list.reduce((best, one) => key(one) > key(best) ? one : best);
const mod = (one, other) => ((one % other) + other) % other;
const two = number => (number < 10 ? "0" : "") + number;
const first = (list, other) => list.length ? list[0] : other;
const zip = (one, other) => Array.from(one).map((each, place) => [each, other[place]]);
const dict = pairs => pairs.reduce((made, [key, value]) => { made[key] = value; return made; }, {});
const but = (one, values) => Object.assign(Object.create(Object.getPrototypeOf(one)), one, values);
"""


def layout_script() -> str:
    """The whole script."""
    rows = []
    for where, names in WRITTEN_FROM.items():
        for name in names:
            node, writer = module(where).defined[name], Writer(where, WRITTEN_FROM)
            if isinstance(node, ast.ClassDef):
                rows += writer.klass(node)
            elif isinstance(node, ast.FunctionDef):
                rows += writer.function(node, f"function {called(where, name)}")
    body = "\n".join(rows)
    named = [(where, name) for where, names in CONSTANTS.items() for name in names]
    for where in WRITTEN_FROM:  # rows of texts, and patterns
        constants = (name for name in module(where).defined if name.strip("_").isupper())
        named += [(where, name) for name in constants if re.search(rf"\b{camel(name)}\b", body)]
    made = {camel(name): Writer(where, WRITTEN_FROM).constant(name) for where, name in named}
    head = "".join(f"const {name} = {value};\n" for name, value in made.items())
    return (
        f"// Written by tests/screens/layoutscript.py from the tablet's layout. Change that.\n\n{HELPERS}{head}{body}\n"
    )


if __name__ == "__main__":
    TARGET.write_text(layout_script(), encoding="utf-8")
    print(f"{TARGET.name}: {TARGET.stat().st_size:,} bytes")
