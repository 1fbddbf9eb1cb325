"""Every key and value of a TOML text is found in its place."""

import random
import tomllib

import pytest

from pacer.squad.files.tomlkeyplaces import places_in
from tests.reference.random_squads import random_squad_toml

TRICKY = '''
title = "a # no comment" # a comment
"quoted key" = 'x' # "quoted"
list = [ "a", [1, 2.5], { "in" = "side", n = 1 } ]
long = """
two "" lines = [ 1 ]
"""
after.the.long = true
literal = \'\'\'it's
over\'\'\'
empty = {}
tests = { "200" = "2:40", "30 min" = "2400 m" }
[one . "two three"]
a = 1
[[lane]]
base = "1:18"
[lane.factors]
"fins kick" = 0.70
[[lane.swimmer]]
[[lane.swimmer]]
name="Zoë"
  [[lane]]
  dates = 2026-11-25T09:00:00
'''


def pairs(value, path=()):
    """Every path in a value, with the value there."""
    yield path, value
    entries = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in entries:
        yield from pairs(inner, path + (key,))


@pytest.mark.parametrize("text", [TRICKY, *(random_squad_toml(random.Random(seed)) for seed in range(20))])
def test_the_text_at_a_place_is_its_value(text):
    lines = text.split("\n")
    places = places_in(text)
    checked = 0
    for path, value in pairs(tomllib.loads(text)):
        if path in places:
            span = places[path].value
            written = lines[span.line - 1][span.column - 1 : span.end_column - 1]
            if written.startswith("["):
                continue  # a header or a list
            if "'''" in written or '"""' in written:
                assert lines[span.line - 1].startswith(f"{path[-1]} = ")
                continue
            assert tomllib.loads(f"x = {written}")["x"] == value, path
            if not isinstance(path[-1], int):
                key = places[path].key
                names = lines[key.line - 1][key.column - 1 : key.end_column - 1]
                assert pairs_of(names) == path[-len(pairs_of(names)) :]
            checked += 1
        else:
            assert path == () or isinstance(value, (dict, list)), path
    assert checked > 2


def pairs_of(names: str) -> tuple[str, ...]:
    inner, path = tomllib.loads(f"{names} = 1"), []
    while inner != 1:
        ((name, inner),) = inner.items()
        path.append(name)
    return tuple(path)


def test_headers_are_found():
    places = places_in(TRICKY)
    assert {path: places[path].key.line for path in [("one", "two three"), ("lane", 0), ("lane", 1),
        ("lane", 0, "swimmer", 1), ("lane", 0, "factors")]} == {
        ("one", "two three"): 13, ("lane", 0): 15, ("lane", 1): 22, ("lane", 0, "swimmer", 1): 20,
        ("lane", 0, "factors"): 17,
    }  # fmt: skip
    assert (places["lane", 1].key.column, places["lane", 1].key.end_column) == (3, 11)


def test_the_place_of_a_value_over_several_lines_is_on_its_first():
    span = places_in(TRICKY)["long",].value
    assert (span.line, span.column, span.end_column) == (5, 8, 11)
    assert places_in(TRICKY)["after", "the", "long"].value.line == 8
