"""Times without a word that says what they are: an interval, or a rest?"""

from __future__ import annotations

from pacer.plan.cutting.token import Token

LEAST_PART = 25  #: a smaller number is no distance
#: A time without a word is probably a rest if it is shorter than this. Common practice, no source.
_LONG_REST_MS = 40_000
#: The least time for each metre that can be an interval, and for a short distance that is likely one. No source either.
_FASTEST_MS, _SHORT, _SECOND_MS = 620, 25, 1_000


def is_interval(time: Token, before: list[Token]) -> bool:
    """Whether a time without a word is rather an interval than a rest: it is long, and enough for the distance.

    A short one is only if it has a colon: `30 s` is rather a rest.
    """
    numbers = [token.value for token in before if token.type == "NUMBER"]
    distance = next((number for number in numbers if number >= LEAST_PART), 0)
    if time.value < distance * _FASTEST_MS:
        return False
    short = 0 < distance <= _SHORT and ":" in time.text
    return time.value >= _LONG_REST_MS or short and time.value >= distance * _SECOND_MS


def times_from(tokens: list[Token], place: int) -> list[Token]:
    """The times in a row from a place on: one for each lane."""
    end = place + 1
    while end < len(tokens):
        step = 2 if tokens[end].type in ("_SLASH", "_COMMA") else 1
        last = tokens[end + step - 1] if end + step <= len(tokens) else None
        if last is None or last.type != "TIME" or last.value is None:
            break
        end += step
    return [token for token in tokens[place:end] if token.type == "TIME"]
