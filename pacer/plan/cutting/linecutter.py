"""Cuts one line of a plan into tokens: numbers, times, words, cues.

What a word means can depend on the words around it: `D` is drill, but a group in
`on D 1:50`; the words after `drill` are its name unless they open a detail. That is settled
here, so that the grammar sees one kind of token for each.
"""

from __future__ import annotations

import re
from fractions import Fraction

from pacer.plan.cutting.ambiguouswords import TIME_TO, asked, one_of_two_times, percent, which
from pacer.plan.cutting.linemistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.cutting.tokenorder import settled
from pacer.plan.cutting.wordmistakes import NAME_FIRST, bad_time, near_work, strange
from pacer.plan.cutting.wordreader import WordReader
from pacer.plan.model import MAX_SESSION_MS, Pool
from pacer.plan.problem import Edit
from pacer.plan.times import BadTime, ms_from_text
from pacer.plan.words.linepatterns import (
    EACH_STROKE,
    FASTER_BASE,
    FILLERS,
    GEAR_NEXT,
    MARKS,
    MINUTES_GLUED,
    NEXT_WORD,
    NUMBERS,
    PIECES,
    REST_BEHIND,
    SECONDS,
    WORK,
)
from pacer.plan.words.ownwords import NO_WORDS, OwnWords
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import UNITS


def tokens_of(
    text: str, start: int, own: OwnWords = NO_WORDS, section: bool = False, pool: Pool | None = None
) -> tuple[list[Token], list[Mistake]]:
    """The tokens of `text` from `start` on, and what is wrong with single ones.

    Stops at the first thing that is not a word of the notation. A value written before its word, as in `15 s rest`,
    comes after it among the tokens.
    """
    lexer = Lexer(text, own, section, pool)
    lexer.read(start)
    lexer.tokens += lexer.behind
    return settled(lexer.tokens, section), lexer.mistakes


class Lexer(WordReader):
    """Cuts one line."""

    def read(self, start: int) -> None:
        """Cut the whole line, or up to something that is not a word of the notation."""
        self.at = start
        while not self.stopped and (match := PIECES.match(self.text, self.at)):
            self.at = match.end()
            kind = match.lastgroup or ""
            getattr(self, "_" + kind)(match[kind], match.start(kind), self.at)

    def _number(self, piece: str, at: int, end: int) -> None:
        digits = piece.lstrip("#")
        while not digits.isdigit():
            digits = digits[:-1]
        number = int(digits)
        if not self.section and (self._saying(at) or self.tokens and (self._each_stroke(at) or self._listed(at))):
            return
        if (
            self.ranging == self.depth
            and self.before in ("_REPEATS", "_SLASH", "_COMMA")
            or piece[0] == "#"
            and self.tokens
        ):
            self.add("RANGE", piece, (number, number), at, end)
            self.ranging = self.depth
            return
        unit = piece.lstrip("#").removeprefix(digits).strip().casefold()
        self.add("NUMBER", piece, number, at, end)
        self.tokens[-1].unit = UNITS.get(unit, "") if unit else ""

    def _many(self, piece: str, at: int, end: int) -> None:
        """`50s`, `50's`."""
        digits = piece.rstrip("sS'’ ")
        if self.before in ("ON", "REST", "HOLD", "APART") or int(digits) < 25 or self._rest_behind(end):
            try:
                self._timed(piece, ms_from_text(f"{digits} s"), at, end)
            except BadTime as bad:
                self.mistakes.append(bad_time(piece, at, end, bad, self.before))
                self._timed(piece, 1, at, end)
        else:
            if self.before == "NUMBER":  # four 25s
                self.add("_X", "", None, at, at)
            self.add("NUMBER", piece, int(digits), at, end)

    def _rest_behind(self, end: int) -> bool:
        return bool(REST_BEHIND.match(self.text, end))

    def _thousands(self, piece: str, at: int, end: int) -> None:
        if re.search(r"k", piece, re.IGNORECASE):
            number = Fraction(re.sub(r"[^0-9.]", "", piece)) * 1000
        else:
            number = Fraction(re.sub(r"[^0-9]", "", piece))
        self.add("NUMBER", piece, int(number), at, end)
        unit = re.search(r"[^\W\d_]+$", piece)
        self.tokens[-1].unit = UNITS.get(unit[0].casefold(), "") if unit else ""

    def _time(self, piece: str, at: int, end: int) -> None:
        if self.before == "TREND" and piece.rstrip("s").isdigit():
            self.add("NUMBER", piece, int(piece.rstrip("s")), at, end)  # desc in 3s
            return
        value = None
        try:
            value = ms_from_text(piece.replace(" ", "") if ":" in piece else MINUTES_GLUED.sub(":", piece))
            if value > MAX_SESSION_MS:
                raise BadTime(f"{piece} is longer than a day", "a session lasts up to 24 hours")
        except BadTime as bad:
            self.mistakes.append(bad_time(piece, at, end, bad, self.before))
        self._timed(piece, value, at, end)

    def _timed(self, piece: str, value: int | None, at: int, end: int) -> None:
        self.timed = self.timed or self.before in (None, "_X", "_LEFT", "_PLUS")
        self.add("TIME", piece, value, at, end)

    def _dashed(self, piece: str, at: int, end: int) -> None:
        numbers = [int(digits) for digits in re.findall("[0-9]+", piece)]
        last = end - len(str(numbers[-1]))
        if len(numbers) == 2 and piece[0].isdigit() and EACH_STROKE.match(self.text, last):
            self.add("NUMBER", str(numbers[0]), numbers[0], at, at + len(str(numbers[0])))
            self.at = last  # 8 x 25 - 2 of each stroke
            return
        if len(numbers) == 2 and self.before in ("ON", "REST", "HOLD"):
            unit = SECONDS.match(self.text, end)
            self.stop(one_of_two_times(at, str(numbers[0]), str(numbers[1]), unit.end() if unit else end))
            return
        if self.naming or self.before == "NAME" and len(numbers) > 2:
            self.add("NAME", piece, piece, at, end)
            return
        if (
            len(numbers) > 2
            and (
                self.before in ("NUMBER", "TIME")
                or self.before in WORK
                or [t.type for t in self.tokens[-2:]] == ["NAME", "_COMMA"]
            )
            and max(numbers) < 25
            and self._saying(at)
        ):
            return
        behind = self._next_word(end)
        if (
            len(numbers) == 2
            and self.tokens
            and self.before not in ("TREND", "RATE", "_X", "_LEFT", "_PLUS", "ON", "REST", "HOLD")
            and (piece[0] == "#" or self.ranging == self.depth or self.words.get(behind, ("",))[0] in WORK)
        ):
            self.ranging = self.depth
            self.add("RANGE", piece, (numbers[0], numbers[1]), at, end)
            return
        for part in re.finditer(r"[0-9]+|[-–‒]", piece):
            number = int(part[0]) if part[0].isdigit() else None
            self.add("_DASH" if number is None else "NUMBER", part[0], number, at + part.start(), at + part.end())

    def _percent(self, piece: str, at: int, end: int) -> None:
        self.stop(percent(self.text, piece, at, end))

    def _times(self, piece: str, at: int, end: int) -> None:
        if self.before in ("NUMBER", "_RIGHT", None) or not self.naming:
            self.add("_X", piece, None, at, end)
        else:
            self.add("NAME", piece, piece, at, end)

    def _base(self, piece: str, at: int, end: int) -> None:
        faster = FASTER_BASE.match(self.text, at)
        if faster and self.before not in ("ON", "HOLD"):
            self.stop(which(self.text, at, faster.end(), f"how hard is “{faster[0]}”?", ["fast", "threshold"]))
            return
        self.add("BASE", piece, piece.endswith("+"), at, end)

    def _hundred(self, piece: str, at: int, end: int) -> None:
        if self.before == "TIME":
            self.add("PER_100", piece, None, at, end)
        else:
            self.at = at + 1
            self.add("_SLASH", "/", None, at, at + 1)

    def _cue(self, piece: str, at: int, end: int) -> None:
        value = " ".join(piece[1:-1].split())
        if not value:
            self.mistakes.append(
                Mistake(at, end, "this cue is empty", "write the one thing to think of, or leave the quotes out")
            )
        self.add("CUE", piece, value, at, end)

    def _mark(self, piece: str, at: int, end: int) -> None:
        if piece == "(" and self.tokens and self._remark(at, end):
            return
        type_ = MARKS.get(piece, "_DASH")
        if type_ == "_DASH" and self._times_to(at):
            return
        if type_ == "_DASH":
            spaced = self.text[at - 1 : at].isspace() and self.text[end : end + 1].isspace()
            if self.tokens and spaced and not (self.before == "NUMBER" and self.text[end:].lstrip()[:1].isdigit()):
                type_ = "_COMMA"
        if self.in_gear and type_ in ("_PLUS", "_COMMA", "_SLASH", "_AND"):
            match = GEAR_NEXT.match(" " + self.text[end:].lstrip())
            if match and (match[1].casefold() in self.gear or f"{match[1]} {match[2]}".casefold() in self.gear):
                type_ = "_AND"
        if type_ == "_AND" and not self.in_gear:
            match = GEAR_NEXT.match(" " + self.text[end:].lstrip())
            if match and match[1].casefold() in self.gear and self.before not in WORK:
                type_ = "_COMMA"  # on 1:00 & fins
        self.add(type_, piece, None, at, end)
        if type_ == "_AND":
            self.in_gear = True

    def _remark(self, at: int, end: int) -> bool:
        """Whether a bracket begins with an unknown word; the question is then about the whole bracket."""
        close = self.text.find(")", end)
        word = NEXT_WORD.match(self.text, end)
        inside = self.text[end:close]
        if close < 0 or word is None or self.before == "_X" or '"' in inside or "(" in inside:
            return False
        first, start = word[1].casefold(), word.start(1)
        known = first in self.words or first in self.gear or first in FILLERS or first in NUMBERS or first == "or"
        phrase = self.phrases.match(first, self.text, start) or SAYINGS.match(self.text, start)
        if known or phrase or self.naming or near_work(first):
            return False
        if asked(self.text, start) or NAME_FIRST.match(self.text, start):
            return False
        said = " ".join(inside.split())
        cue = Edit(at, close + 1, f'"{said}"', f"“{said}”")
        self.stop(Mistake(at, close + 1, f"don't know “{word[1]}”", "put it in quotes if it is for the swimmers", cue))
        return True

    def _times_to(self, at: int) -> bool:
        """Whether a dash is between two times; a question is then asked."""
        match = TIME_TO.match(self.text, at)
        before = self.tokens[-1] if self.tokens else None
        if match is None or before is None or len(self.tokens) < 3 or before.type not in ("TIME", "NUMBER"):
            return False
        if before.type == "NUMBER" and (before.value > 99 or self.tokens[-2].type == "_X"):
            return False
        self.stop(one_of_two_times(before.start, before.text, match[1], match.end()))
        return True

    def _dot(self, piece: str, at: int, end: int) -> None:
        """Ignore a full stop at the end; read it as a comma if more follows."""
        if self.text[end:].strip() and "." in piece and self.text[end : end + 1].isspace():
            self.add("_COMMA", piece, None, at, end)

    def _glued(self, piece: str, at: int, end: int) -> None:
        if piece.casefold() == "1st" and self._share("1st", at):
            return
        self._strange(piece, at, end)

    def _strange(self, piece: str, at: int, end: int) -> None:
        self.stop(strange(piece, at, end, self.text, self.before))
