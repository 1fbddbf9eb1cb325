"""Imports point one way, and the engine never brings the screen along."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
#: Each package and those it may import from.
BELOW = {
    "plan": set(),
    "squad": {"plan"},
    "timeline": {"plan", "squad"},
    "session": {"plan", "squad", "timeline"},
    "review": {"plan", "squad", "timeline", "session"},
    "signal": set(),
    "show": {"plan", "squad", "timeline", "session", "review", "signal"},
    "paper": {"plan", "squad", "timeline", "session", "review", "show"},
    "screens": {"plan", "squad", "timeline", "session", "review", "signal", "show"},
    "face": {"plan", "squad", "timeline", "session", "review", "signal", "show", "paper", "screens"},
    "cli": {"plan", "squad", "timeline", "session", "review", "signal", "show", "paper", "screens", "face"},
}
KIVY_ONLY_IN = {"face", "signal"}


def imported(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module or "")
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("package", BELOW)
def test_imports_point_down(package):
    allowed = BELOW[package] | {
        package,
        "shippedfiles",
        "disk",
        "errorlog",
        "language",
        "threadswitching",
    }  # the app's own files, files written, the log, translations, and the turns of threads: everywhere
    files = sorted((ROOT / "pacer" / package).rglob("*.py"))
    assert files
    for path in files:
        for name in imported(path):
            parts = name.split(".")
            if parts[0] == "pacer" and len(parts) > 1:
                assert parts[1] in allowed, f"{path.name} imports {name}"
            if parts[0] in ("kivy", "plyer"):
                assert package in KIVY_ONLY_IN, f"{path.name} imports {name}"


def test_the_engine_comes_without_kivy_and_plyer():
    modules = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for package in ("plan", "squad", "timeline", "session", "review", "show", "paper")
        for path in sorted((ROOT / "pacer" / package).rglob("*.py"))
        if path.stem != "__init__"
    ]
    assert len(modules) > 20
    script = (
        f"import sys, {', '.join(modules)}\nprint([m for m in sys.modules if m.split('.')[0] in ('kivy', 'plyer')])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"


def test_ci_runs_the_readmes_test_command_word_for_word():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    command = next(line for line in readme.splitlines() if "-m pytest" in line and line.startswith("python3"))
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_readme_names_every_command_and_no_other(capsys):
    from pacer.cli.commands import main

    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    with pytest.raises(SystemExit):
        main(["--help"])
    there = set(re.findall(r"^    ([a-z]+) ", capsys.readouterr().out, re.MULTILINE))
    told = set(re.findall(r"^\|.*?`pacer ([a-z]+)", readme, re.MULTILINE))
    assert len(there) > 10 and told == there


def test_the_readmes_plan_is_the_demo_plan():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    plan = (ROOT / "assets" / "plans" / "long-axis-rotation-3.txt").read_text(encoding="utf-8")
    shown = "\n".join(line for line in plan.splitlines() if not line.startswith("#"))
    assert shown.strip() in readme


def test_the_readme_shows_what_timeline_prints_and_every_caution(capsys):
    from pacer.cli.commands import main
    from pacer.session.cautions import CAUTIONS

    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = readme.split("$ pacer timeline ", 1)[1].split("```", 1)[0].splitlines()[1:]
    assert (
        main(
            [
                "timeline",
                str(ROOT / "assets/plans/long-axis-rotation-3.txt"),
                "--squad",
                str(ROOT / "assets/squads/thursday.toml"),
            ]
        )
        == 0
    )
    printed = capsys.readouterr().out.splitlines()
    assert len(shown) > 10
    assert not [row for row in shown if row and row != "…" and row not in printed]
    assert not [caution for caution in CAUTIONS if f"**{caution.about}.** {caution.text}" not in readme]


#: What tests read that is private to somebody else, who has no public name for it: the frame rate of Kivy's clock,
#: how plyer's chooser finds the path behind a URI, the end of a process without a farewell in Python.
PRIVATE: dict[str, set[str]] = {
    "face/clock/session_child.py": {"_max_fps"},
    "session/storage/killed.py": {"_exit"},
    "signal/test_documents.py": {"_resolve_uri"},
}

OF_TUPLES = {"_replace", "_asdict", "_fields", "_make"}


def private_reads(path: Path) -> set[str]:
    """Private names of something else than the file's own that it reads or imports."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    own = {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)} | OF_TUPLES
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and not (
            isinstance(node.value, ast.Name) and node.value.id in ("self", "cls")
        ):
            found.add(node.attr)
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("pacer"):
            found |= {alias.name for alias in node.names}
    return {name for name in found - own if name.startswith("_") and not name.startswith("__")}


def test_tests_read_nothing_private():
    found = {str(path.relative_to(ROOT / "tests")): private_reads(path) for path in (ROOT / "tests").rglob("*.py")}
    assert {name: names for name, names in found.items() if names - PRIVATE.get(name, set())} == {}
    assert {name: names for name, names in PRIVATE.items() if names - found.get(name, set())} == {}, "not read any more"
