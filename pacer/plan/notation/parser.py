"""Applies the grammar: turns the tokens of one line into a tree, or into the mistake that stops it."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from zlib import crc32

import lark
from lark.lexer import Lexer

from pacer.disk import whole_file
from pacer.plan.cutting.ordermistakes import explain
from pacer.plan.cutting.token import Token

GRAMMAR = Path(__file__).with_name("grammar.lark")
#: The parser's tables as Lark saves them: reading them takes a tenth of the time of computing them.
TABLES = Path(__file__).with_name("grammar.tables")


class TokensAsTheyAre(Lexer):
    """Lark's lexer for tokens that already exist and are fed one by one."""

    def __init__(self, lexer_conf):
        pass

    def lex(self, lexer_state, parser_state):
        return iter(())


def build_parser() -> lark.Lark:
    """The parser, built from the grammar."""
    grammar = GRAMMAR.read_text(encoding="utf-8")
    return lark.Lark(grammar, parser="lalr", lexer=TokensAsTheyAre, start=["line", "section"], maybe_placeholders=False)


def save_tables() -> None:
    """Save the tables again; needed after a change of the grammar or of Lark."""
    with whole_file(TABLES) as file:
        file.write(tables_key())
        build_parser().save(file)


@cache
def parser() -> lark.Lark:
    """The parser, from its tables if they fit the grammar and Lark, else built."""
    try:
        with TABLES.open("rb") as file:
            if file.readline() == tables_key():
                return lark.Lark.load(file)
    except FileNotFoundError:
        pass
    return build_parser()


def tables_key() -> bytes:
    """What the saved tables were made from: a library and a grammar."""
    return f"lark {lark.__version__}, grammar {crc32(GRAMMAR.read_bytes()):08x}\n".encode()


def tree_of(tokens: list[Token], end: int, start: str = "line") -> lark.Tree:
    """The tree of a line's tokens; `end` is where the line ends. Raises Mistake."""
    parsing = parser().parse_interactive(start=start)
    state = parsing.parser_state
    try:
        for place, token in enumerate(tokens):  # noqa: B007 - the place of the one refused is told below
            state.feed_token(token)  # type: ignore[arg-type]  # of our own: Lark asks for its type alone
        token, place = Token("$END", "", None, end, end + 1), len(tokens)
        return state.feed_token(token, True)  # type: ignore[arg-type]
    except lark.UnexpectedToken:
        closing = token.type == "$END" and "_RIGHT" in parsing.accepts()
        raise explain(tokens, place, token, closing, start == "section") from None
