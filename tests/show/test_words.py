"""The words of the deck: one word for one thing, and none of those that another word stands for."""

from __future__ import annotations

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2] / "pacer"
#: What is not said, and what is said for it. Names of keys and of kinds of entry, which nobody reads, are in `NAMES`.
NOT = {
    r"\bset lines?\b|\ba line now\b": "set, quick set",
    r"(?<!the )\bline (in|out)\b": "add a set, skip a set",
    r"\btake[sn]? (it )?back\b|\b(strike|struck) out\b": "undo, delete",
    r"\bput away\b|\boff the squad\b": "hide, delete",
    r"(?<!may )\bbe out by\b|^out by\b": "finish by",
    r"\bthe glass\b|\bthis glass\b": "the screen, the tablet",
    r"\bcarr(y|ies|ied) on\b|\bgone on\b|\bsession goes on\b": "resume, or a verb",
    r"\banew\b": "again",
    r"\bwhoever\b": "who",
    r"\bchange nothing\b|\bnot now\b": "Cancel",
    r"\b(wall clock|clock on the wall|own clock)\b": "pool clock, app clock",
    r"\b(written|taken) down\b": "saved, recorded",
    r"\bput (it )?right\b": "correct",
    r"\bevery lane waits\b|\bwaits for the coach\b": "all lanes paused",
    r"\bfill the (glass|screen)\b": "full screen",
    r"\ball the same\b": "anyway",
    r"\bhold it until\b|\bkept pressed\b|\bkeep pressing\b": "hold down",
    r"\bthe (present )?stretch\b": "what they are swimming now",
    r"\btrembles\b": "vibrates",
    r"\bmistakes?\b": "error",
    r"^(Heard|Seen|What is kept)$": "Sound, Screen, Your data",
    r"\bfrom fast to slow\b|\bwritten is kept\b|\bgo along\b": "see the words around",
    r"\bout \{|\bout …": "finish",
    r"\b(was|were) (swum|taken|saved|run) yet\b": "has been … yet",
    r"\b(top of a plan has|rounds have) no\b": "can't have, can't be there: “has no” reads as missing",
    r"\bif there:|\bamong themselves\b|\bopen and won't release\b": "if any, vary, is using",
}
#: Never read by anybody: kinds of entry in the journal, keys and their names, what a test asks for.
NAMES = {
    "carried on", "line in", "line out", "put away", "take back", "taken back", "take back record", "anew", "glass",
    "not now", "goes on", "out by", "own clock", "wall clock", "put-away", "mistakes",
}  # fmt: skip


@cache
def said() -> list[tuple[str, str]]:
    """Every text in the code but docstrings, with its place; pieces of one text as one."""
    found = []
    for path in sorted(ROOT.rglob("*.py")):
        if path.name == "schema.py":  # speaks SQL
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        told = set()
        for node in ast.walk(tree):
            body = getattr(node, "body", None)
            if isinstance(body, list) and body and isinstance(body[0], ast.Expr):
                told.add(id(body[0].value))
            if isinstance(node, ast.JoinedStr):
                told |= {id(part) for part in node.values}
        for node in ast.walk(tree):
            if id(node) in told:
                continue
            if isinstance(node, ast.JoinedStr):
                parts = [part.value if isinstance(part, ast.Constant) else "…" for part in node.values]
                found.append((f"{path.relative_to(ROOT)}:{node.lineno}", "".join(map(str, parts))))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.append((f"{path.relative_to(ROOT)}:{node.lineno}", node.value))
    return [(place, text) for place, text in found if text not in NAMES]


@pytest.mark.parametrize("word", NOT)
def test_a_word_that_another_stands_for_is_not_said(word):
    asked = re.compile(word, re.IGNORECASE)
    assert [f"{place}: {text}" for place, text in said() if asked.search(text)] == [], f"say: {NOT[word]}"


def test_the_search_reads_texts_in_pieces():
    assert any(text.startswith("keys: ") and "undoes" in text for _, text in said())


#: Words that make a second reading necessary, in docstrings and comments too, and what to write instead.
NOT_IN_PROSE = {
    r"(?<![`\"])\banew\b(?![`\"])": "again",
    r"\bwhoever\b": "who, anybody who",
    r"\b(thereby|whereby|thereof|wherein)\b": "a sentence of its own",
    r"\bstands (once|twice|here)\b": "is given once, is here",
    r"\bof which (none|some|it|there)\b|\bthat which\b": "the usual word order",
    r"\b(written|taken) down\b": "saved, recorded",
    r"\bin (its|their) stead\b": "instead",
    r"\bin the midst\b": "in the middle",
    r"\breckon(s|ed|ing)?\b": "compute, count, expect",
    r"\bto be had\b": "available",
    r"\b(read|serve|make) (them )?no more\b|\b(is|are) (there )?no more(?=[.,]|$)": "stop reading, no longer exists",
    r"\bstands? (behind|in (the )?columns)\b|\bso seldom\b": "is after, is in, this seldom",
    r"\b(goes?|stands?|words?|number|bracket|set) behind (it|its|them|a (set|number|bracket|comma))\b": "after",
}


@cache
def prose() -> tuple[tuple[str, str], ...]:
    """Every docstring's line and every comment in the code and its tests, with its place."""
    return tuple(_prose())


def _prose() -> Iterator[tuple[str, str]]:
    for path in (*sorted(ROOT.rglob("*.py")), *sorted(ROOT.with_name("tests").rglob("*.py"))):
        if path == Path(__file__):
            continue
        source = path.read_text(encoding="utf-8")
        place = path.relative_to(ROOT.parent)
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
                yield from (
                    (f"{place}: {node.body[0].lineno}", row) for row in (ast.get_docstring(node) or "").split("\n")
                )
        for token in tokenize.generate_tokens(io.StringIO(source).readline):
            if token.type == tokenize.COMMENT:
                yield f"{place}:{token.start[0]}", token.string


def test_docstrings_and_comments_need_one_reading():
    asked = re.compile("|".join(NOT_IN_PROSE), re.IGNORECASE)
    found = [f"{place}: {text.strip()}" for place, text in prose() if asked.search(text)]
    assert found == [], f"say instead, in order: {list(NOT_IN_PROSE.values())}"


def test_the_search_reads_docstrings_and_comments():
    read = dict(prose())
    assert any(text.startswith("#: Lanes ") for text in read.values())
    assert "The squad as frozen values: lanes, swimmers, paces and time factors." in read.values()
