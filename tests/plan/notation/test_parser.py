"""The grammar: no line has two readings, and the saved tables belong to the grammar."""

from __future__ import annotations

import logging
import re
import subprocess
import sys

import lark
import pytest

from pacer.plan.cutting.linecutter import tokens_of
from pacer.plan.notation import parser
from pacer.plan.notation.planreader import read_plan

LINES = (
    "4 x 200 as 50 drill six-kick switch \"six kicks\" / 50 back, on 4:00 / 4:20 / 4:45", "A 10 / B 8 x 100 kick",
    "50 - 100 - 50 free, rest 0:15", "4 x (3 x 100 on 1:30 + 2 x (50 + rest 0:10))",
    "8 x 50 odd (25 drill / 25 free) / even fast",
    "rounds 3 / 2", "rest 1:00", "4 to 8 x 100 on base+0:15 then 1:40 per 100, with fins and ankle band, descend 1-4",
)  # fmt: skip


def test_the_tables_are_those_of_the_grammar():
    key = parser.TABLES.read_bytes().split(b"\n", 1)[0].decode()
    version, grammar = key.split(", ")
    assert grammar == parser.tables_key().decode().strip().split(", ")[1], "save_tables() has not been run"
    if version != f"lark {lark.__version__}":
        pytest.skip(f"the tables are from {version}")
    built = parser.build_parser()
    for text in LINES:
        tokens, mistakes = tokens_of(text, 0)
        assert not mistakes
        state = built.parse_interactive(start="line")
        for token in tokens:
            state.feed_token(token)
        assert state.feed_token(lark.Token("$END", "")).pretty() == parser.tree_of(tokens, len(text)).pretty()


def test_without_tables_the_grammar_is_read(monkeypatch, tmp_path):
    parser.parser.cache_clear()
    monkeypatch.setattr(parser, "TABLES", tmp_path / "none")
    try:
        assert read_plan("pool: 25 m\n4 x 100")
    finally:
        parser.parser.cache_clear()


def test_tables_of_another_grammar_are_left_alone(monkeypatch, tmp_path):
    parser.parser.cache_clear()
    (tmp_path / "old").write_bytes(b"lark 0.1, grammar 00000000\nrubbish")
    monkeypatch.setattr(parser, "TABLES", tmp_path / "old")
    try:
        assert read_plan("pool: 25 m\n4 x 100")
    finally:
        parser.parser.cache_clear()


def test_what_the_grammar_leaves_open_goes_on_with_what_was_begun(caplog, monkeypatch):
    """Work, cues, gear and sets one after the other are read as far as they go; nothing else has two readings."""
    monkeypatch.setattr(lark.logger, "propagate", True)
    caplog.set_level(logging.DEBUG, logger=lark.logger.name)

    def open_at(grammar: str) -> set[str]:
        caplog.clear()
        lark.Lark(grammar, parser="lalr", lexer=parser.TokensAsTheyAre, start=["line", "section"], debug=True)
        told = [re.search(r"conflict for terminal (\w+)", record.getMessage()) for record in caplog.records]
        return {found[1] for found in told if found}

    grammar = parser.GRAMMAR.read_text(encoding="utf-8")
    work = {"ACTIVITY", "STROKE", "EFFORT", "NAME", "NOTE", "CUE"}
    body = {"_AS", "_LEFT", "_ODD", "_IN_TURN", "_REPEATS", "RANGE", "GEAR"}
    assert open_at(grammar) <= work | body | {"_NEXT", "_PLUS", "_X"}
    assert "_SLASH" in open_at(grammar.replace("| CUE)", "| CUE | _SLASH by)")), (
        "a slash with two meanings must be seen"
    )


def test_reading_brings_no_window_along():
    code = (
        "import sys, pacer.plan.notation.planreader as p; p.read_plan('pool: 25 m\\n100'); "
        "print([m for m in sys.modules if m.split('.')[0] in ('kivy', 'plyer')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
