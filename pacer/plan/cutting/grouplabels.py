"""Groups in front of their values: `on A 4:00 / B 4:20`."""

from __future__ import annotations

from pacer.plan.cutting.somerepeats import SomeRepeats
from pacer.plan.cutting.token import Token, kinds_of
from pacer.plan.words.labels import WORK_LETTERS
from pacer.plan.words.linepatterns import (
    ANOTHER_GROUP,
    BEFORE_COUNT,
    BEFORE_VALUE,
    COUNT,
    FILLERS,
    LABELLED_TIME,
    LIMITS,
    NUMBERS,
    VALUE,
)
from pacer.plan.words.sayings import SAYINGS

#: Words in front of a number that are not groups.
NO_GROUPS = frozenset(
    {
        "or",
        "no",
        "number",
        "finish",
        "finishing",
        "half",
        "quarter",
        "double",
        "same",
        "about",
        "roughly",
        "first",
        "last",
        "race",
        "racing",
        "lane",
        "lanes",
        "group",
        "groups",
    }
)
ARTICLES = frozenset({"a", "an", "the"})


class GroupLabels(SomeRepeats):
    """Decides which words are groups."""

    def _label(self, type_: str, piece: str, end: int) -> bool:
        """Whether a word is a group before its value."""
        pattern = COUNT if self.before in BEFORE_COUNT else VALUE if self.before in BEFORE_VALUE else None
        if len(piece) == 1 and piece.isupper() and self._in_a_list() and LABELLED_TIME.match(self.text, end):
            return True
        if (
            len(piece) > 1
            and piece.casefold() in FILLERS
            or piece.casefold() in NO_GROUPS | LIMITS
            or piece[:1].isdigit()
            or piece in ARTICLES
        ):
            return False
        if piece in WORK_LETTERS and pattern is COUNT and "LABEL" not in kinds_of(self.tokens):
            return False
        if piece in ("s", "S") and [t.type for t in self.tokens[-2:]] == ["ACTIVITY", "_SLASH"]:
            return False
        if pattern is None or type_ and not (len(piece) == 1 and piece.isupper()):
            return False
        if type_ and self.before in ("_PLUS", "_LEFT") and type_ != "ACTIVITY":
            return False
        if piece.casefold() in self.gear or piece.casefold() in NUMBERS or SAYINGS.match(self.text, end - len(piece)):
            return False
        return self.text[end : end + 1].isspace() and bool(pattern.match(self.text, end))

    def _in_a_list(self) -> bool:
        """Whether values by group may continue here: after `on` or `rest`, or after a group's value and a comma."""
        kinds = [token.type for token in self.tokens[-4:]]
        return kinds[-1:] in (["ON"], ["REST"]) or kinds[-1:] == ["_COMMA"] and "LABEL" in kinds[-4:-2]

    def _group_behind(self, piece: str, type_: str, at: int, end: int) -> bool:
        """`on 1:30 JV / 1:15 V`: groups after their values."""
        kinds = [token.type for token in self.tokens[-2:]]
        if type_ or not piece.isupper() or len(piece) > 4 or kinds[-1:] != ["TIME"]:
            return False
        listed = kinds[0] == "_SLASH" and any(token.type == "LABEL" for token in self.tokens)
        if not listed and not (kinds[0] in ("ON", "REST", "HOLD") and ANOTHER_GROUP.match(self.text, end)):
            return False
        self.at = end
        self.tokens.insert(len(self.tokens) - 1, Token("LABEL", piece, piece, at, end))
        return True
