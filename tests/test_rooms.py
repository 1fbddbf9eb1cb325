"""The rooms of the house.

Each may use those above it in this list, no file closes a circle, no folder is crowded, no name is there twice.
"""

from __future__ import annotations

import ast
import re
from collections import Counter
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
#: From the ground up. A room imports from itself and from rooms named before it, type hints included.
ROOMS = [
    "pacer",
    "pacer.plan",
    "pacer.plan.words",
    "pacer.plan.cutting",
    "pacer.plan.notation",
    "pacer.plan.text",
    "pacer.plan.parts",
    "pacer.plan.freewords",
    "pacer.plan.layout",
    "pacer.plan.pasted",
    "pacer.plan.library",
    "pacer.squad",
    "pacer.squad.trials",
    "pacer.squad.files",
    "pacer.squad.register",
    "pacer.timeline",
    "pacer.timeline.fit",
    "pacer.timeline.checks",
    "pacer.timeline.summary",
    "pacer.timeline.rewrite",
    "pacer.session",
    "pacer.session.journal",
    "pacer.session.running",
    "pacer.session.records",
    "pacer.session.storage",
    "pacer.review",
    "pacer.review.swum",
    "pacer.review.learning",
    "pacer.review.season",
    "pacer.review.report",
    "pacer.review.enter",
    "pacer.review.series",
    "pacer.review.exports",
    "pacer.signal",
    "pacer.show",
    "pacer.show.measure",
    "pacer.show.wording",
    "pacer.show.editing",
    "pacer.show.view",
    "pacer.show.drive",
    "pacer.show.figures",
    "pacer.show.after",
    "pacer.paper",
    "pacer.screens",
    "pacer.face",
    "pacer.face.kit",
    "pacer.face.figures",
    "pacer.face.tiles",
    "pacer.face.bar",
    "pacer.face.clock",
    "pacer.face.editor",
    "pacer.face.deck.leaves",
    "pacer.face.deck",
    "pacer.face.pages",
    "pacer.face.review",
    "pacer.face.shelf",
    "pacer.face.window",
    "pacer.face.office",
    "pacer.cli",
]
#: What starts everything stands above everything.
TOP = {"pacer.__main__"}
WITHOUT_KIVY = [room for room in ROOMS if not room.startswith(("pacer.face", "pacer.signal"))]


def dotted(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


FILES = {dotted(path): path for path in sorted((ROOT / "pacer").rglob("*.py"))}
PACKAGES = {name for name, path in FILES.items() if path.stem == "__init__"}


def room_of(name: str) -> str:
    return name if name in PACKAGES else name.rpartition(".")[0]


def imports_of(name: str) -> set[str]:
    """Every module of the project that this one names in an import, within functions and for type checkers too."""
    found = set()
    for node in ast.walk(ast.parse(FILES[name].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found |= {full if (full := f"{node.module}.{alias.name}") in FILES else node.module for alias in node.names}
    return {each for each in found if each in FILES and each != name}


def test_every_folder_is_a_room_of_the_list():
    assert set(ROOMS) == PACKAGES


@pytest.mark.parametrize("room", ROOMS)
def test_imports_point_to_rooms_before(room):
    allowed = set(ROOMS[: ROOMS.index(room) + 1])
    for name in FILES:
        if room_of(name) == room and name not in PACKAGES and name not in TOP:
            up = {each for each in imports_of(name) if room_of(each) not in allowed}
            assert not up, f"{name} imports {up}"


def test_no_imports_close_a_circle():
    graph = {
        name: {each for each in imports_of(name) if each not in PACKAGES} for name in FILES if name not in PACKAGES
    }
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(f"a circle of imports: {' -> '.join(error.args[1])}")


@pytest.mark.parametrize("room", ROOMS)
def test_no_room_is_crowded(room):
    files = [path for path in (ROOT / room.replace(".", "/")).iterdir() if path.is_file() and path.stem != "__init__"]
    assert len(files) <= 20


def test_a_name_stands_in_one_room():
    names = Counter(name.rpartition(".")[2] for name in FILES if name not in PACKAGES)
    assert [name for name, count in names.items() if count > 1] == []


def has_files(room: str) -> bool:
    return any(room_of(name) == room for name in FILES if name not in PACKAGES)


def test_developers_find_every_room_on_the_map():
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = [room.removeprefix("pacer.").replace(".", "/") for room in ROOMS[1:] if has_files(room)]
    assert [row for row in rows if f"\n| `{row}/` |" not in page] == []
    assert len(page.encode()) <= 12_288, "a page that is read in one go"


def test_what_the_map_names_is_there():
    """In a room's row: its files, without `.py` or with `*`, and after a dot a name within; else a path from pacer/.

    A script's name ends with `.js`.
    """
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    lost, named = [], 0
    for room in filter(has_files, ROOMS[1:]):
        row = page.split(f"\n| `{room.removeprefix('pacer.').replace('.', '/')}/` |", 1)[1].split("\n", 1)[0]
        for name in re.findall("`([^`]+)`", row):
            named += 1
            path, _, within = name.partition(".")
            folder = ROOT / ("pacer" if "/" in path else room.replace(".", "/"))
            if within == "js":
                folder, path = ROOT / "assets/screens", path.rpartition("/")[2]
            found = [*folder.glob(f"{path}.*")] if path else []
            if within and not any(within == file.suffix[1:] or within in file.read_text("utf-8") for file in found):
                found = []
            if not found and path not in ("Xcommand", "pacer X", "rounds"):
                lost.append((room, name))
    assert lost == [] and named > 150


def test_no_module_is_longer_than_400_lines():
    lines = {name: len(path.read_text(encoding="utf-8").splitlines()) for name, path in FILES.items()}
    assert {name: count for name, count in lines.items() if count > 400} == {}


#: Sizes within one page or picture are named beside it: no limits that anybody looks for.
DRAWN = ("pacer.face", "pacer.paper", "pacer.show.figures")


def numbers_named(name: str) -> set[str]:
    """The names of a file's own numbers: `LATE_MS = 5 * SECOND_MS`, `SHORT_HZ, SHORT_MS = 880, 200`."""
    found = set()
    for node in ast.parse(FILES[name].read_text(encoding="utf-8")).body:
        if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
            continue
        targets, value = node.targets if isinstance(node, ast.Assign) else [node.target], node.value
        pairs = [(each, value) for each in targets]
        if isinstance(targets[0], ast.Tuple) and isinstance(value, ast.Tuple):
            pairs = [*zip(targets[0].elts, value.elts)]
        for target, made in pairs:
            parts = [*ast.walk(made)]
            values = [each.value for each in parts if isinstance(each, ast.Constant)]
            plain = not any(
                isinstance(each, ast.Tuple | ast.List | ast.Dict | ast.Set | ast.Subscript) for each in parts
            )
            if plain and values and all(type(value) in (int, float) for value in values):
                found |= {target.id} if isinstance(target, ast.Name) and target.id[0] != "_" else set()
    return found


def test_a_limit_s_name_stands_in_one_file():
    """A search for a limit by its name finds the one that is meant."""
    named: dict[str, list[str]] = {}
    for name in FILES:
        for each in () if name.startswith(DRAWN) else numbers_named(name) - {"VERSION"}:
            named.setdefault(each, []).append(name)
    assert {each: files for each, files in named.items() if len(files) > 1} == {} and len(named) > 200
