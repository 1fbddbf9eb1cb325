"""Every example in a docstring, but for the modules that open a window."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def shown() -> list[str]:
    names = []
    for path in sorted((ROOT / "pacer").rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if ">>> " in text:
            names.append(".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"))
    return names


@pytest.mark.parametrize("name", shown())
def test_examples(name):
    text = (ROOT / Path(*name.split(".")).with_suffix(".py")).read_text(encoding="utf-8")
    assert "import kivy" not in text and "from kivy" not in text, "an example in a module that opens a window"
    failed, tried = doctest.testmod(importlib.import_module(name))
    assert tried and not failed


def test_the_line_that_developers_follow():
    """DEVELOPERS.md shows a line on its way, with the values that it really has."""
    failed, tried = doctest.testfile(str(ROOT / "DEVELOPERS.md"), module_relative=False, encoding="utf-8")
    assert tried > 10 and not failed


def test_there_are_examples():
    assert len(shown()) > 15
