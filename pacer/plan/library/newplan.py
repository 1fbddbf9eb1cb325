"""Start a new plan from an empty frame, name the next of a series, and change a page's header lines in place.

All of this works on text that may have errors elsewhere.
"""

from __future__ import annotations

import re
from functools import lru_cache

from pacer.plan.filetext import lines_of
from pacer.plan.notation.pagelines import KEY
from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import HEADER_KEYS

_NUMBER = regex(r"(.*?)(\s*)(\d+)((?![^\W\d_])\D*)")
_FRAME = """\
title: {title}
pool: {pool}
booking: {booking}

Warm-up, easy
  200 choice

Main set

Swim-down, easy
  100 choice
"""


def header_of(text: str) -> dict[str, str]:
    """The header's values as written, by key; the first if a key is repeated.

    >>> header_of("title: Roll 3\\nPool: 25 m\\n\\nMain set\\n  100")
    {'title': 'Roll 3', 'pool': '25 m'}
    """
    found: dict[str, str] = {}
    for line in lines_of(text.removeprefix("\ufeff")):
        code = line.strip()
        match = KEY.match(code)
        if match and match[1].casefold() in HEADER_KEYS:
            found.setdefault(match[1].casefold(), " ".join(code[match.end() :].split()))
        elif code and not code.startswith("#") and not match:
            break
    return found


@lru_cache(maxsize=2_000)  # the shelf asks for all sessions' plans whenever it is shown
def below_header(text: str) -> str:
    """The page without its header, spaces and comments: two pages with the same are the same sets.

    >>> below_header("title: Roll 3\\npool: 25 m\\n\\nMain set  # easy\\n  100") == below_header("Main set\\n 100")
    True
    """
    body, sets = [], False
    for line in lines_of(text.removeprefix("\ufeff")):
        code = " ".join((re.sub(r"(^|\s)#.*", "", line) if "#" in line else line).split())
        if code and not sets:
            match = KEY.match(code)
            sets = not (match and match[1].casefold() in HEADER_KEYS)
        if sets and code:
            body.append(code)
    return "\n".join(body)


def with_header(text: str, key: str, value: str) -> str:
    """Change a header line of the page: add it in its place if it is missing, delete it if `value` is "".

    >>> with_header("pool: 25 m\\n100", "title", "Roll 3")
    'title: Roll 3\\npool: 25 m\\n100'
    """
    lines = lines_of(text)
    place = 0
    for number, line in enumerate(lines):
        match = KEY.match(line.strip())
        word = match[1].casefold() if match else ""
        if word == key:
            lines[number : number + 1] = [f"{key}: {value}"] if value else []
            return "\n".join(lines)
        if word in HEADER_KEYS:
            if HEADER_KEYS.index(word) < HEADER_KEYS.index(key):
                place = number + 1
        elif line.strip() and not line.strip().startswith("#"):
            break
        elif line.strip() and number == place:
            place = number + 1  # below the comments at the top of the page
    if value:
        lines.insert(place, f"{key}: {value}")
    return "\n".join(lines)


def new_plan(title: str, pool: str, booking: str) -> str:
    """A frame to write into, with an empty main set."""
    return _FRAME.format(title=title, pool=pool, booking=booking)


def is_sample(text: str) -> bool:
    """Whether the page's sets are still those that a new plan comes with.

    >>> is_sample(new_plan("Thursday", "50 m", "60 min")), is_sample("pool: 25 m\\n\\nMain set\\n  400")
    (True, False)
    """
    return below_header(text) == below_header(_FRAME)


def next_title(title: str) -> str:
    """The title of the next plan in a series.

    >>> next_title("Long-axis rotation 3"), next_title("Turns"), next_title("Week 9, turns")
    ('Long-axis rotation 4', 'Turns 2', 'Week 10, turns')
    >>> next_title("Turns, 3rd")
    'Turns, 3rd 2'
    """
    match = _NUMBER.fullmatch(title)
    if not match:
        return f"{title} 2"
    before, gap, number, after = match.groups()
    return f"{before}{gap}{int(number) + 1}{after}"
