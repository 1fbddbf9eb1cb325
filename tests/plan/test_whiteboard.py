"""What coaches write on whiteboards: it is read as meant, or the first fix of each error gives what was meant.

`whiteboard.toml` has the lines. `whiteboard_unread.toml` lists those that fail so far: it may only get shorter, and a
line that is now read must be struck from it. `python -m tests.plan.test_whiteboard` shows what each line becomes, and
with --strike it strikes those that are now read.
"""

from __future__ import annotations

import json
import sys
import tomllib

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_plan
from tests.plan.whiteboard import (
    ABOVE,
    HERE,
    MENDED,
    MISREAD,
    READ,
    UNREAD,
    Line,
    lines,
    outcome,
)

HEAD = """# Lines of whiteboard.toml that are not read as meant yet, neither as they are nor by the first fix.
# test_whiteboard.py fails for a line on it that is read now:
# python -m tests.plan.test_whiteboard --strike strikes it.
"""

LINES = tuple(lines())
LIST = HERE / "whiteboard_unread.toml"
KNOWN = tomllib.loads(LIST.read_text(encoding="utf-8")) if LIST.exists() else {}
FOUND = {line.name: outcome(line) for line in LINES}


def names(*how: str) -> list[str]:
    """The lines of the corpus with this outcome, in order."""
    return [name for name, found in FOUND.items() if found.how in how]


def test_the_corpus_is_large_and_has_no_line_twice():
    assert len(LINES) == len(FOUND) >= 400
    assert len({line.coach for line in LINES}) >= 6


def test_lines_are_read_or_mended_by_the_first_fix():
    listed = set(KNOWN["unread"])
    assert [name for name in names(UNREAD) if name not in listed] == [], "not read any more"
    assert [name for name in names(READ, MENDED) if name in listed] == [], "read now: strike them (--strike)"
    assert listed <= set(FOUND), "no line of the corpus"


def test_no_line_is_read_as_something_else():
    assert {name: FOUND[name].says for name in names(MISREAD)} == {}


@pytest.mark.parametrize("line", LINES, ids=[line.name for line in LINES])
def test_tidy_is_a_round_trip_and_changes_nothing_twice(line: Line):
    if not (page := FOUND[line.name].page):
        return  # no plan yet, and on the list
    plan = read_plan(page)
    tidy = write_plan(plan)
    assert read_plan(tidy) == plan
    assert write_plan(read_plan(tidy)) == tidy


@pytest.mark.parametrize("line", LINES, ids=[line.name for line in LINES])
def test_the_meaning_can_be_written(line: Line):
    """What a line should become is a plan in canonical form, or a form that the app lacks so far and that is listed."""
    if FOUND[line.name].how in (READ, MENDED):
        return
    indent = "  " if line.place == "set" else ""
    page = ABOVE[line.place] + "".join(f"{indent}{row}\n" for row in line.meant.split("\n"))
    try:
        assert write_plan(read_plan(page)) == page
    except Unreadable:
        assert line.name in KNOWN["unread"]


def strike() -> None:
    """Save the list without the lines that are now read."""
    listed = KNOWN.get("unread", names(UNREAD))
    rows = "".join(f"  {json.dumps(name, ensure_ascii=False)},\n" for name in names(UNREAD) if name in listed)
    LIST.write_text(f"{HEAD}\nunread = [\n{rows}]\n", encoding="utf-8")


if __name__ == "__main__":
    if "--strike" in sys.argv or not LIST.exists():
        strike()
    for how in (MISREAD, UNREAD, MENDED):
        for name in names(how):
            print(f"{how:8} {name!r:60} {FOUND[name].says}")
    print({how: len(names(how)) for how in (READ, MENDED, UNREAD, MISREAD)}, "of", len(LINES))
