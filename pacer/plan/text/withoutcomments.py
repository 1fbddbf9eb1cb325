"""A plan's text without its comments, which are the coach's own and may name a swimmer."""

from __future__ import annotations

from pacer.plan.filetext import lines_of
from pacer.plan.notation.pagelines import KEY, row_of
from pacer.plan.words.vocabulary import HEADER_KEYS


def without_comments(text: str) -> str:
    """The text as it is written, without comments; a line that is only a comment is left out.

    >>> without_comments("title: Roll #3\\npool: 25 m\\n# Kit is away\\nMain set\\n  100 back  # Kit leads\\n")
    'title: Roll #3\\npool: 25 m\\nMain set\\n  100 back\\n'
    """
    if "#" not in text:
        return text
    made, header = [], True
    for number, line in enumerate(lines_of(text), 1):
        row = row_of(number, line, header)
        match = KEY.match(row.code)
        header = header and (not row.code or bool(match and match[1].casefold() in HEADER_KEYS))
        if row.comment is None:
            made.append(line)
        elif row.code:
            made.append(row.code)
    return "\n".join(made)
