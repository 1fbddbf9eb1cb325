"""Keys above the keyboard: what plans need often and a phone's keyboard makes hard. No Kivy."""

from __future__ import annotations

from typing import NamedTuple

from pacer.language import tr
from pacer.plan.library.newplan import below_header
from pacer.plan.model import Activity, Effort, Stroke
from pacer.plan.text.textbuffer import Spot, TextBuffer

PREFIX = "put "

#: What coaches write most: these keys come first, then digits.
FIRST = ("x", "on", "rest", "descend", "with", "rounds", ":", "/")
DIGITS = tuple("1234567890")
#: Marks with their key's label; words are their own labels.
MARKS = {"x": "x", ":": ":", "/": "/", '"': "“ ”", ",": ",", "-": "-", "(": "( )"}
WORDS = (
    "base+",
    "as",
    *(stroke.value for stroke in Stroke if stroke is not Stroke.IM_ORDER),
    *(activity.value for activity in Activity if activity is not Activity.SWIM),
    *(effort.value for effort in Effort if effort is not Effort.THRESHOLD),
    "rate",
    "hold",
    "ascend",
)

#: What a key is for that says too little, said when it is pressed for the first time; the longest way first.
HINTS = {
    "base+": (
        tr("base+0:15: the lane's base pace plus 15 seconds, such as “on base+0:15”"),
        tr("such as “on base+0:15”"),
    ),
    "as": (
        tr("as: how each repeat is swum, such as “4 x 100 as 50 kick / 50 swim”"),
        tr("such as “4 x 100 as 50 kick / 50 swim”"),
    ),
    "(": (
        tr("( ): sets that belong together, such as “3 x (4 x 50 on 1:00, 100 easy)”"),
        tr("such as “3 x (4 x 50 on 1:00, 100 easy)”"),
    ),
}


class WordKey(NamedTuple):
    """A key that writes: its name and its label."""

    name: str
    label: str


def word_keys(drills: tuple[str, ...] = ()) -> tuple[WordKey, ...]:
    """All of them, the most used first; the coach's drills come after the words for work.

    >>> [key.label for key in word_keys()][:10]
    ['x', 'on', 'rest', 'descend', 'with', 'rounds', ':', '/', '1', '2']
    """
    cut = WORDS.index("rate")
    words = (*WORDS[:cut], *(f"drill {name}" for name in drills), *WORDS[cut:])
    marks = tuple(mark for mark in MARKS if mark not in FIRST)
    return tuple(WordKey(PREFIX + text, MARKS.get(text, text)) for text in (*FIRST, *DIGITS, *marks, *words))


def is_stray(text: str, drills: tuple[str, ...] = ()) -> bool:
    """Whether a page has nothing but what one key writes: touched by mistake, rather than written.

    >>> is_stray("pool: 25 m\\n\\ndescend "), is_stray("pool: 25 m\\n\\n4 x"), is_stray("pool: 25 m\\n\\nTurns")
    (True, False, False)
    """
    body = below_header(text)
    keys = (key.name.removeprefix(PREFIX) for key in word_keys(drills))
    return len(body) <= 1 or body in ('""', "()", *keys)


def put(draft: TextBuffer, text: str) -> None:
    """Write a mark or a word at the cursor, with the spaces that belong around it: one change, with its own undo.

    >>> draft = TextBuffer("4"); draft.go(draft.end); put(draft, "x")
    >>> draft.text
    '4 x '
    """
    draft.settle()
    _write(draft, text)
    draft.settle()


def _write(draft: TextBuffer, text: str) -> None:
    if text in ('"', "("):
        _pair(draft, text, {'"': '"', "(": ")"}[text])
        return
    line, column = draft.cursor if draft.chosen is None else draft.chosen[0]
    before = draft.lines[line][:column]
    if text in (":", "-") or text in DIGITS:
        draft.write(text)
    elif text == ",":
        spaces = len(before) - len(before.rstrip(" "))
        if before.strip() and spaces and draft.chosen is None:
            draft.replace(line, column - spaces, column, ", ")
        else:
            draft.write(", ")
    else:
        lead = "" if not before or before[-1] in ' ("“\t' else " "
        after = draft.lines[line][draft.cursor.column :] if draft.chosen is None else ""
        tail = "" if text.endswith("+") or after.startswith(" ") else " "
        draft.write(lead + text + tail)
        if after.startswith(" ") and not text.endswith("+"):
            draft.go(Spot(draft.cursor.line, draft.cursor.column + 1))


def _pair(draft: TextBuffer, opens: str, closes: str) -> None:
    """Write a pair of marks around the selection or the cursor; if the closing one is next, step over it."""
    if draft.chosen is not None:
        draft.write(opens + draft.chosen_text + closes)
        return
    line, column = draft.cursor
    text = draft.lines[line]
    if text[column : column + 1] == closes and opens in text[:column]:
        draft.go(Spot(line, column + 1))
        return
    lead = "" if not text[:column] or text[column - 1] in " (\t" else " "
    draft.write(lead + opens + closes)
    draft.go(Spot(draft.cursor.line, draft.cursor.column - 1))
