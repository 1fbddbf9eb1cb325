"""The form and the types of every source: ruff and mypy, as `pyproject.toml` sets them, have nothing to say."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
#: Whole folders: what lies beside them (a virtual environment, a build) is not ours.
SOURCES = ["main.py", "pacer", "tests"]


def said_by(*command: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", timeout=300
    )
    return done.stdout + done.stderr if done.returncode else ""


@pytest.mark.parametrize("asked", [("check", "--output-format=concise"), ("format", "--check")], ids=" ".join)
def test_ruff_has_nothing_to_say(asked):
    assert said_by("ruff", *asked, "--no-cache", *SOURCES) == ""


def test_mypy_finds_no_wrong_type(tmp_path):
    assert said_by("mypy", "--no-error-summary", "--cache-dir", str(tmp_path)) == ""


def test_nothing_cites_a_page_that_is_not_here():
    """A rule stands where it is kept to, in words of its own; a page that is named can be opened."""
    paths = [path for folder in ("pacer", "tests", "assets") for path in (ROOT / folder).rglob("*") if path.is_file()]
    named = [
        (path.name, page)
        for path in [*paths, ROOT / "README.md", ROOT / "DEVELOPERS.md"]
        if path.suffix in (".py", ".md", ".toml", ".txt", ".lark", ".kv") and path != Path(__file__)
        for page in re.findall(r"\b[\w/-]+\.md\b|design: section", path.read_text(encoding="utf-8"))
    ]
    there = {path.name for path in (*ROOT.glob("*.md"), *(ROOT / "tests").rglob("*.md"))}
    assert not [(name, page) for name, page in named if Path(page).name not in there]
