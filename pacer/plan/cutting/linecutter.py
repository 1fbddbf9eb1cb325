"""Cuts one line of a plan into tokens: numbers, times, words, cues.

What a word means can depend on the words around it: `D` is drill, but a group in
`on D 1:50`; the words after `drill` are its name unless they open a detail. That is settled
here, so that the grammar sees one kind of token for each.
"""

from __future__ import annotations

import re
from fractions import Fraction

from pacer.language import tr
from pacer.plan.cutting.askedwords import (
    NAME_AN_EFFORT,
    asked,
    counts_by_lane,
    note_repeated,
    one_of_two_times,
    out_of_ten,
    percent,
    quoted,
    times_in_bracket,
)
from pacer.plan.cutting.builtrange import built
from pacer.plan.cutting.ordermistakes import Mistake, bad_time
from pacer.plan.cutting.token import Token
from pacer.plan.cutting.tokenorder import settled
from pacer.plan.cutting.unknownwords import NAME_FIRST, near_work, strange
from pacer.plan.cutting.wordreader import WordReader
from pacer.plan.model import MAX_SESSION_MS, Activity, Pool
from pacer.plan.problem import Edit
from pacer.plan.times import SECOND_MS, BadTime, ms_from_text, text_from_ms
from pacer.plan.words.linepatterns import (
    DOTTED,
    DOTTED_LIST,
    EACH_STROKE,
    FASTER_BASE,
    FEW,
    FILLERS,
    GEAR_NEXT,
    GLUED,
    IN_LISTS_OF_TIMES,
    LEAST_LENGTH,
    LEAST_SECONDS,
    LENGTHS_GLUED,
    MARKS,
    NEXT_ALONE,
    NEXT_COUNT,
    NEXT_WORD,
    NUMBERS,
    OUT_OF_TEN,
    OWN_FIRST,
    OWN_STROKE,
    PACE_OF,
    PIECES,
    REST_AHEAD,
    REST_BEHIND,
    SECONDS,
    SMALL_TURNS,
    SWUM_NEXT,
    THROUGH,
    VALUE,
    WORK,
    WORK_AND_REST,
    in_minutes,
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
    lexer = LineCutter(text, own, section, pool)
    lexer.read(start)
    lexer.tokens += lexer.behind
    return settled(lexer.tokens, section), lexer.mistakes


class LineCutter(WordReader):
    """Cuts one line."""

    def read(self, start: int) -> None:
        """Cut the whole line, or up to something that is not a word of the notation."""
        self.at = start
        while not self.stopped and (match := PIECES.match(self.text, self.at)):
            self.at = match.end()
            kind = match.lastgroup or ""
            getattr(self, "_" + kind)(match[kind], match.start(kind), self.at)

    def _number(self, piece: str, at: int, end: int) -> None:
        if piece == "#1" and self.tokens and self._own_stroke(OWN_FIRST.match(self.text, at)):  # 4 x 25 #1 on 0:40
            return
        digits = piece.lstrip("#")
        while not digits.isdigit():
            digits = digits[:-1]
        number = int(digits)
        if number < 10 and not self.section and self._saying(at):
            return
        if self.tokens and not self.section and (self._each_stroke(at) or self._listed(at) or self._asked_number(at)):
            return
        if self._bare_seconds(number, at, end):
            return
        ranged = self.ranging == self.depth and self.before in ("_REPEATS", "_SLASH", "_COMMA")
        if ranged or piece[0] == "#" and self.tokens:
            self.add("RANGE", piece, (number, number), at, end)
            self.ranging = self.depth
            return
        if self.before in (None, "_X") and "off" in self.low and WORK_AND_REST.match(self.text, at):
            self._timed(digits, number * SECOND_MS, at, end)
            return
        unit = piece.lstrip("#").removeprefix(digits).strip().casefold()
        if LEAST_SECONDS <= number <= 99 and not unit and self._length <= 2 * number and self._valued("ON"):
            self.add("TIME", piece, number * SECOND_MS, at, end)  # 8 x 50 on 55
            return
        self.timed = self.timed and self.before != "_X"
        self.add("NUMBER", piece, number, at, end)
        self.tokens[-1].unit = UNITS.get(unit, "")

    def _asked_number(self, at: int) -> bool:
        """`7/10`, `200 pace`: how hard? A question is then asked."""
        counted = self.before not in ("_X", "_SLASH", "_LEFT", "_PLUS", "_COMMA")
        if counted and "pace" in self.low and (pace := PACE_OF.match(self.text, at)):
            start = self.tokens[-1].start if self.before == "HOLD" else at
            said = " ".join(pace[0].split())
            ways = [Edit(start, pace.end(), f'{way} "{said}"', way) for way in ("fast", "threshold")]
            self.stop(Mistake(start, pace.end(), tr("how hard is “{said}”?", said=said), NAME_AN_EFFORT, *ways))
            return True
        match = OUT_OF_TEN.match(self.text, at) if "10" in self.low and "/" in self.low else None
        if match is None or self.before in ("_SLASH", "_X"):
            return False
        self.stop(out_of_ten(self.text, at, match.end(), int(match["grade"])))
        return True

    def _many(self, piece: str, at: int, end: int) -> None:
        """`50s`, `50's`."""
        spaced = piece[-2].isspace()
        if (piece.endswith("S") or spaced) and SWUM_NEXT.match(self.text, end):  # 300S-200K-100P, 300 s - 200 k
            self.add("NUMBER", piece[:-1].strip(), int(piece[:-1]), at, end - 1)
            self.add("ACTIVITY", piece[-1], Activity.SWIM, end - 1, end)
            return
        digits = piece.rstrip("sS'’ ")
        if self._changes_every(int(digits), end):
            self.add("BY", "", None, at, at)
            self.add("NUMBER", piece, int(digits), at, end)
        elif (
            self.before in ("ON", "REST", "HOLD", "APART")
            or int(digits) < LEAST_LENGTH
            or self.before != "_X"
            and REST_BEHIND.match(self.text, end)
        ):
            try:
                self._timed(piece, ms_from_text(f"{digits} s"), at, end)
            except BadTime as bad:
                self.mistakes.append(bad_time(piece, at, end, bad, self.before))
                self._timed(piece, 1, at, end)
        elif self.before == "_COMMA" and not self.text[end:].strip(" .,)"):  # 200 easy, 50s
            says = tr("don't know “{piece}”", piece=piece), tr("put it in quotes if it is for the swimmers")
            self.stop(Mistake(at, end, *says, quoted(self.text, at, end)))
        else:
            if self.before == "NUMBER":  # four 25s
                self.add("_X", "", None, at, at)
            self.add("NUMBER", piece, int(digits), at, end)

    def _thousands(self, piece: str, at: int, end: int) -> None:
        if not self.section and self._saying(at):  # 2K 1P
            return
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
        if piece.endswith("s") and self.tokens and not self.section and self._saying(at):  # 3s & 5s by 50
            return
        if ":" in piece and piece.endswith("s") and self.before != "HOLD":  # till the 1:35s
            self._strange(piece, at, end)
            return
        value = None
        said = piece.replace(" ", "").rstrip("s'") if ":" in piece else in_minutes(piece)  # 1:25s
        if DOTTED.fullmatch(piece) and (self._valued() or DOTTED_LIST.search(self.text)):  # on 1.30
            said = said.replace(".", ":")
        try:
            value = ms_from_text(said)
            if value > MAX_SESSION_MS:
                raise BadTime(tr("{piece} is longer than a day", piece=piece), tr("a session can last up to 24 hours"))
        except BadTime as bad:
            self.mistakes.append(bad_time(piece, at, end, bad, self.before))
        self._timed(piece, value, at, end)

    def _valued(self, *words: str) -> bool:
        """Whether a time comes next: after `on` and the like, or after one of `words`, or in a list of such times."""
        last = next((t.type for t in reversed(self.tokens) if t.type not in IN_LISTS_OF_TIMES), "")
        return self.before != "TIME" and last in (words or ("ON", "REST", "HOLD"))

    def _timed(self, piece: str, value: int | None, at: int, end: int) -> None:
        self.timed |= self.before in (None, "_X", "_LEFT", "_PLUS")
        self.add("TIME", piece, value, at, end)

    def _dashed(self, piece: str, at: int, end: int) -> None:
        numbers = [int(digits) for digits in re.findall("[0-9]+", piece)]
        last = end - len(str(numbers[-1]))
        apart = len(numbers) == 3 and numbers[0] >= LEAST_LENGTH and numbers[1] < numbers[2] <= self._count  # 1-3 easy
        if apart or len(numbers) == 2 and piece[0].isdigit() and EACH_STROKE.match(self.text, last):
            self.add("NUMBER", str(numbers[0]), numbers[0], at, at + len(str(numbers[0])))
            self.at = self.tokens[-1].end if apart else last  # 8 x 25 - 2 of each stroke
            return
        turns = SMALL_TURNS.match(self.text, last)
        if len(numbers) == 2 and self.before == "ON" and turns:  # on 55 - 3 drill 1 fast
            on, said = self.tokens[-1], f"{turns[0]}, on {text_from_ms(numbers[0] * SECOND_MS)}"
            edit = Edit(on.start, turns.end(), said)
            message = tr("are the parts of “{turn}” swum one after the other?", turn=turns[0])
            self.stop(Mistake(on.start, turns.end(), message, tr("write {said}", said=said), edit))
            return
        if len(numbers) == 2 and self._seconds_between(numbers, end):
            self.stop(one_of_two_times(at, str(numbers[0]), str(numbers[1]), end, "on "))
            return
        valued = len(self.tokens) > 1 and self.tokens[-2].type in ("TIME", "NUMBER")  # 30 on 30 off, 1-2 hands in
        if len(numbers) == 2 and (self.before in ("ON", "HOLD") or self.before == "REST" and not valued):
            unit = SECONDS.match(self.text, end)
            self.stop(one_of_two_times(at, str(numbers[0]), str(numbers[1]), unit.end() if unit else end))
            return
        if self.naming or self.before == "NAME" and len(numbers) > 2:
            self.add("NAME", piece, piece, at, end)
            return
        if (
            len(numbers) > 2
            and (self.before in ("NUMBER", "TIME") or self.before in WORK or self.before == "_COMMA")
            and max(numbers) < 25
            and self._saying(at)
        ):
            return
        behind = self._next_word(end + self.text.startswith(":", end))  # 1-4: kick
        if question := built(self.text, self.tokens[-1] if self.tokens else None, numbers, self._count, at, end):
            self.stop(question)
            return
        if (
            len(numbers) == 2
            and self.tokens
            and self.before not in ("TREND", "RATE", "_X", "_PLUS", "ON", "REST", "HOLD")
            and (self.before != "_LEFT" or [t.type for t in self.tokens[-3:]] == ["_X", "NUMBER", "_LEFT"])
            and (
                piece[0] == "#"
                or self.ranging == self.depth
                or self.words.get(behind, ("",))[0] in WORK
                or numbers[0] == 1
                and self.words.get(behind, ("",))[0] != "TREND"
                and re.compile(rf":?\s+[^\W\d][^\d#\"“]*#?{numbers[1] + 1}\s?[-–]\s?[0-9]").match(self.text, end)
            )
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
        far = NEXT_ALONE.match(self.text, end)
        if far and [t.type for t in self.tokens[-2:-1]] == ["_SLASH"] and self._parts_of(int(far[1])):
            self.add("BY", piece, None, at, end)  # 300 free/back x 50
        elif self.before == "NUMBER" and (through := THROUGH.match(self.text, end)):  # 2x thru 4 x 50
            self.at = through.end()
            self.add("ROUNDS", self.text[at : self.at].rstrip(" :,-"), None, at, self.at)
        elif self.before == "NOTE" and self._count and (more := NEXT_COUNT.match(self.text, end)):
            self.stop(note_repeated(self.text, self.tokens, at, more))  # breathe 3/5/7 x 2
        elif self.before in ("NUMBER", "_RIGHT", None) or not self.naming:
            self.add("_X", piece, None, at, end)
        elif piece not in "xX" or self.text[end:].lstrip()[:1].isdigit():
            self._strange(piece, at, end)
        else:  # a drill of that name
            self.add("NAME", piece, piece, at, end)

    def _base(self, piece: str, at: int, end: int) -> None:
        faster = FASTER_BASE.match(self.text, at)
        if faster:
            start = self.tokens[-1].start if self.before in ("ON", "HOLD") else at
            ways = [Edit(start, faster.end(), f'{way} "{faster[0]}"', way) for way in ("fast", "threshold")]
            self.stop(Mistake(start, faster.end(), tr("how hard is “{said}”?", said=faster[0]), NAME_AN_EFFORT, *ways))
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
            says = tr("this cue is empty"), tr("write the one thing to think of, or leave the quotes out")
            self.mistakes.append(Mistake(at, end, *says, Edit(at, end, "", tr("without the quotes"))))
        self.add("CUE", piece, value, at, end)

    def _mark(self, piece: str, at: int, end: int) -> None:
        if piece == "(" and self.tokens and self._remark(at, end):
            return
        type_ = MARKS.get(piece, "_DASH")
        if type_ == "_SLASH" and REST_AHEAD.match(self.text, end) and self._apart_from_lists():
            type_ = "_COMMA"  # hold base+0:02 / 20 s rest
        if type_ in ("_DASH", "_COMMA") and self._times_to(at):
            return
        if type_ == "_PLUS" and (match := GEAR_NEXT.match(" " + self.text[end:].lstrip())):
            type_ = "_COMMA" if match[1].casefold() in self.gear and not self.in_gear else type_  # + fins
        if type_ == "_DASH":
            spaced = self.text[at - 1 : at].isspace() and self.text[end : end + 1].isspace()
            number = NEXT_ALONE.match(self.text, end)
            short = number is not None and self.before == "NUMBER" and int(number[1]) < LEAST_LENGTH <= self._length
            if self.tokens and spaced and (short or not (self.before == "NUMBER" and number)):
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

    def _apart_from_lists(self) -> bool:
        """Whether a time after a slash does not go on with a list of such times."""
        kinds = [token.type for token in self.tokens[-2:]]
        return kinds[-1:] not in (["TIME"], ["NUMBER"]) or kinds[:1] == ["BASE"]

    def _remark(self, at: int, end: int) -> bool:
        """Whether a bracket begins with an unknown word; the question is then about the whole bracket."""
        close = self.text.find(")", end)
        question = counts_by_lane(self.text, self.tokens, at) or times_in_bracket(self.text, self._length, at)
        if question:
            self.stop(question)
            return True
        some = FEW.match(self.text, end)
        word = NEXT_WORD.match(self.text, some.end() if some else end)
        inside = self.text[end:close]
        if close < 0 or word is None or self.before == "_X" or '"' in inside or "(" in inside:
            return False
        first, start = word[1].casefold(), word.start(1)
        known = first in self.words or first in self.gear or first in FILLERS or first in NUMBERS or first == "or"
        phrase = self.phrases.match(first, self.text, start) or SAYINGS.match(self.text, start)
        phrase = phrase or OWN_STROKE.match(self.text, start)
        if known or phrase or self.naming or near_work(first):
            return False
        if asked(self.text, start) or NAME_FIRST.match(self.text, start):
            return False
        said = " ".join(inside.split())
        cue = Edit(at, close + 1, f'"{said}"', f"“{said}”")
        says = tr("don't know “{word}”", word=word[1]), tr("put it in quotes if it is for the swimmers")
        self.stop(Mistake(at, close + 1, *says, cue))
        return True

    def _dot(self, piece: str, at: int, end: int) -> None:
        """Ignore a full stop at the end; read it as a comma if more follows."""
        if self.text[end:].strip() and "." in piece and self.text[end : end + 1].isspace():
            self.add("_COMMA", piece, None, at, end)

    def _glued(self, piece: str, at: int, end: int) -> None:
        said = not self.section and (self._numbered(at) or self._saying(at))  # 2K1P
        if said or not self.section and piece.casefold() == "1st" and self._share("1st", at):
            return
        if piece.casefold() == "1st" and self._own_stroke(OWN_STROKE.match(self.text, at)):
            return
        if self.length and (lengths := LENGTHS_GLUED.fullmatch(piece)):  # 4L kick
            self.add("NUMBER", piece, int(lengths[1]) * self.length, at, end)
            return
        work = GLUED.fullmatch(piece)
        kind = self.words.get(work[2].casefold(), ("",))[0] if work else ""
        if (
            work and int(work[1]) >= LEAST_LENGTH and not self.section and kind in ("ACTIVITY", "STROKE", "EFFORT")
        ):  # 10x50K, 200fr
            middle = at + len(work[1])
            self.at = end
            self.add("NUMBER", work[1], int(work[1]), at, middle)
            self.add(kind, work[2], self.words[work[2].casefold()][1], middle, end)
            return
        self._strange(piece, at, end)

    def _strange(self, piece: str, at: int, end: int) -> None:
        if not (piece == "=" and self.before in ("ON", "REST", "HOLD") and VALUE.match(self.text, end)):  # RI = 20
            self.stop(strange(piece, at, end, self.text, self.before))
