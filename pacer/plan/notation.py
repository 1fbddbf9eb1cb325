"""The grammar at work: the tokens of one line to a tree, or to the mistake that stops it."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from lark import Lark, Tree, UnexpectedToken
from lark.lexer import Lexer

from pacer.plan.mistakes import explain
from pacer.plan.tokens import Token

STARTS = ("line", "section")


class _Tokens(Lexer):
    """Lark's lexer where the tokens are there already."""

    def __init__(self, lexer_conf):
        pass

    def lex(self, lexer_state, parser_state):
        raise NotImplementedError("tokens are fed one by one")


@cache
def parser() -> Lark:
    """The parser, built when it is first needed."""
    grammar = files("pacer.plan").joinpath("grammar.lark").read_text(encoding="utf-8")
    return Lark(grammar, parser="lalr", lexer=_Tokens, start=list(STARTS), maybe_placeholders=False)


def tree_of(tokens: list[Token], end: int, start: str = "line") -> Tree:
    """The tree of a line's tokens; `end` is where the line ends. Raises Mistake."""
    parsing = parser().parse_interactive(start=start)
    state = parsing.parser_state
    try:
        for place, token in enumerate(tokens):
            state.feed_token(token)
        token, place = Token("$END", "", None, end, end + 1), len(tokens)
        return state.feed_token(token, True)
    except UnexpectedToken:
        before = tokens[place - 1] if place else None
        raise explain(before, token, "_RIGHT" in parsing.accepts(), start == "section") from None
