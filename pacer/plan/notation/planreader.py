"""Turns a written page into a `Plan`, or reports everything that is wrong with it at once."""

from __future__ import annotations

from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.filetext import check_page, text_from_bytes
from pacer.plan.model import Plan, Pool
from pacer.plan.notation.headerline import Header, pool_of
from pacer.plan.notation.pagelines import Row
from pacer.plan.notation.pagereader import PageReader
from pacer.plan.problem import Unreadable
from pacer.plan.words.ownwords import NO_WORDS, OwnWords, own_words


def read_plan(text: str, own: OwnWords | tuple[str, ...] = NO_WORDS) -> Plan:
    """The plan that a page says; `own` holds the words that the squad adds, or is a tuple of words for gear.

    Raises Unreadable with everything that is wrong.

    >>> plan = read_plan("pool: 25 m\\nWarm-up\\n  4 x 50 free on 1:00")
    >>> plan.sections[0].items[0].count
    ByLane(entries=(4,), labels=None)
    """
    check_page(text)
    return PageReader(own_words(own), Header()).read(text)


def plan_from_bytes(data: bytes, own: OwnWords | tuple[str, ...] = NO_WORDS) -> Plan:
    """The plan in a file's bytes: UTF-8, with or without a byte order mark. Raises Unreadable."""
    return read_plan(text_from_bytes(data), own)


def read_line(text: str, pool: Pool, own: OwnWords | tuple[str, ...] = NO_WORDS) -> Plan:
    """A plan of one set line or several, without a header, for a pool. Raises Unreadable.

    >>> read_line("10 x 100 free on 1:40", pool_from_text("25 m")).sections[0].name
    ''
    """
    check_page(text)
    return PageReader(own_words(own), None, pool).read(text)


def pool_from_text(text: str) -> Pool:
    """The pool that `25 m`, `25 yd` or `33 1/3 m` names. Raises Unreadable.

    >>> str(pool_from_text("33 1/3 m"))
    '33 1/3 m'
    """
    try:
        return pool_of(text.strip())
    except Mistake as mistake:
        raise Unreadable([Row(1, text.strip(), text.strip(), "").problem(mistake)]) from None
