"""The form and the types of every source: ruff and mypy, as `pyproject.toml` sets them, have nothing to say."""

from __future__ import annotations

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
