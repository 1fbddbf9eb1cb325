"""Words about rest and time that mean something else in another place: `off`, `between`, `take`, `SR`."""

from __future__ import annotations

import re

from pacer.language import either, tr
from pacer.plan.cutting.askedwords import TIME_TO, TIMES_TO, each_faster, one_of_two_times
from pacer.plan.cutting.joinedwords import JoinedWords
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.problem import Edit
from pacer.plan.regex import regex
from pacer.plan.times import MINUTE_MS, SECOND_MS, text_from_ms
from pacer.plan.words.linepatterns import (
    AFTER_EACH,
    ANY_TIME,
    AT_THE_WALL,
    BETWEEN_ROUNDS,
    EACH_ALONE,
    LEAST_BARE_RATE,
    LEAST_LENGTH,
    LIMITS,
    MINUTE,
    NEXT_NUMBER,
    OFF_TIME,
    ON_AND_OFF,
    REST_AHEAD,
    REST_TAKEN,
    WORK,
)

#: Seconds; a shorter time after `off` may be a rest. Common practice, no source.
LEAST_SENDOFF = 40
#: What can follow an interval that is a bare number of seconds: nothing more of the set's distances.
_SET_SAID = regex(
    r"(?=\s*(?:$|[,;.)\]}#\"“]|-\s|(?:odds?|evens?|desc\w*|asc\w*|build\w*|fast\w*|hard|easy|ez|max|with|w/|drill|kick|pull|swim|alt\w*|hold\w*|1st|first|last)\b))",
    re.IGNORECASE,
)
#: Where a set ends.
_SET_ENDS = regex(r"\s*(?:$|[,;)\]}])")
#: Seconds for a bare number, and how many of them a metre takes at most. Common practice, no source.
_SECONDS, _MOST_A_METRE, _LEAST_A_METRE = range(20, 200), 2.6, 0.55
_PAUSES = ("recovery", "recover", "pause", "breather", "stop")  #: after a time they are rest
_TAKEN = ("take", "taking", "have", "having")
_WORDS = LIMITS | {
    "between",
    "btwn",
    "betw",
    "btw",
    "on",
    "off",
    *_PAUSES,
    "at",
    "sr",
    "rest",
    "remainder",
    "go",
    "going",
    "leaving",
    *_TAKEN,
}


class RestWords(JoinedWords):
    """Reads such words."""

    def _time_words(self, piece: str, fold: str, at: int, end: int) -> bool:
        """Read a word about rest or time; return whether it was one."""
        if fold not in _WORDS and self.before not in ("TIME", "REST"):
            return False
        text = self.text
        if fold in LIMITS and self.before in ("HOLD", "REST", "ON") and (time := ANY_TIME.match(text, end)):
            self.at = end
            said = " ".join(text[at : time.end()].split())
            self.tokens.insert(len(self.tokens) - 1, Token("NOTE", piece, said, at, end))
            return True
        if fold in LIMITS and self.tokens and (rest := REST_AHEAD.match(text, end)):
            self.at = end
            self.add("NOTE", piece, " ".join(text[at : rest.end()].split()), at, end)
            return True
        kinds = [token.type for token in self.tokens[-3:]]
        behind = kinds[-2:] == ["_RIGHT", "TIME"] or kinds == ["_RIGHT", "REST", "TIME"]
        behind = behind or bool(kinds) and kinds[-1] == "TIME" and any(token.type == "ROUNDS" for token in self.tokens)
        if fold in ("between", "btwn", "betw") and behind and not BETWEEN_ROUNDS.match(text, at):
            self.at = end
            self.add("_BETWEEN", piece, None, at, end)
            return True
        behind = behind or kinds == ["_RIGHT", "_COMMA", "TIME"]
        if behind and (after := AFTER_EACH.match(text, at)):
            self.at = after.end()
            self.add("_BETWEEN", after[0], None, at, self.at)
            return True
        alone = len(self.tokens) > 1 and self.before == "TIME" and self.tokens[-2].type not in ("REST", "ON")
        if fold in ("between", "btwn", "betw", "btw") and alone and not BETWEEN_ROUNDS.match(text, at):
            self.at = end
            self.add("REST", piece, "between", at, end)
            return True
        if fold == "on" and self.before == "TIME" and (times := ON_AND_OFF.match(text, at)):
            self.at = times.end("on")  # 0:30 on / 0:30 off: the rest is read with its own word
            return True
        if fold in ("off", "go", "going", "leaving") and self._sends_off(piece, at, end):
            return True
        if fold == "off" and self.timed and self.before in ("TIME", "NUMBER"):
            self.at = end
            self.add("REST", piece, None, at, end)
            return True
        if self.before in ("TIME", "REST") and (between := BETWEEN_ROUNDS.match(text, at)):
            self.at = between.end()
            self.add("_BETWEEN", between[0], None, at, self.at)
            return True
        resting = [token for token in self.tokens[-2:] if token.type == "REST"]
        if fold in ("between", "btwn", "betw", "btw") and resting and self.before in ("TIME", "REST", "NUMBER"):
            each = EACH_ALONE.match(text, end)
            self.at = each.end() if each else end
            resting[-1].value = "between"
            return True
        far = self.before == "NUMBER" and self.tokens[-1].value >= LEAST_LENGTH and self.tokens[-2:-1] != []
        if fold in _PAUSES and self.before in ("TIME", "NUMBER") and len(self.tokens) > 1 and not far:
            self.at = end
            if alone:
                self.add("REST", piece, None, at, end)
            return True
        if fold == "at" and self.before in ("TIME", "REST") and (wall := AT_THE_WALL.match(text, at)):
            self.at = wall.end()
            if alone:
                self.add("REST", wall[0], None, at, self.at)
            return True
        if fold in _TAKEN and self._takes_rest(end):
            self.at = end
            self.add("REST", piece, None, at, end)
            return True
        rests = self.before in ("NUMBER", "TIME") and self.tokens[-2:-1] and self.tokens[-2].type != "_X"
        if fold == "sr" and rests and not NEXT_NUMBER.match(text, end):
            return self._seconds_rest(piece, at, end)
        return fold in ("rest", "remainder") and bool(self.parted) and self._rest_of_it(at, end)

    def _bare_seconds(self, number: int, at: int, end: int) -> bool:
        """`8 x 50 kick 60`, `4 x 25 fly 40`: seconds, which are rather the interval than a distance of its own."""
        first = len(self.tokens)
        while first and self.tokens[first - 1].type in WORK:
            first -= 1
        if self.section or [token.type for token in self.tokens[first - 3 : first]] != ["NUMBER", "_X", "NUMBER"]:
            return False
        far, unit = self.tokens[first - 1].value, self.text[at:end].lstrip("#").strip("0123456789")
        if unit or number not in _SECONDS or not _LEAST_A_METRE * far <= number <= _MOST_A_METRE * far:
            return False
        if not (_SET_ENDS if number % LEAST_LENGTH == 0 else _SET_SAID).match(self.text, end):
            return False
        if number < far and re.search(rf"(?<!\d){far - number}(?!\d)", self.text[end:]):  # 50 as 20 fast 30 easy
            return False
        time = text_from_ms(number * SECOND_MS)
        ways = [f"on {time}", f"rest {time}"]
        edits = [Edit(at, end, way) for way in ways]
        message = tr("is “{got}” the interval or the rest?", got=number)
        self.stop(Mistake(at, end, message, tr("write {ways}", ways=either(ways)), *edits))
        return True

    def _sends_off(self, piece: str, at: int, end: int) -> bool:
        """`6 x 50 off 1:10`: an interval, unless the time is so short that it may be a rest."""
        placed = self._length and self.before not in ("TIME", "_X")
        if placed and piece.casefold() == "off" and (minute := MINUTE.match(self.text, end)):
            self.at = minute.end()
            self.add("ON", piece, None, at, end)
            self.add("TIME", minute[0].strip(), MINUTE_MS, minute.start() + 1, minute.end())
            return True
        match = OFF_TIME.match(self.text, end) if placed else None
        if match is None:
            return False
        seconds = 60 * int(match["minutes"] or 0) + int(match["seconds"])
        if seconds < LEAST_SENDOFF or 2 * seconds < self._length:
            return False
        self.at = end
        self.add("ON", piece, None, at, end)
        return True

    def _takes_rest(self, end: int) -> bool:
        """Whether a time with its unit follows, and no word for rest after it: `take 15 seconds`."""
        taken = self.tokens and REST_TAKEN.match(self.text, end)
        return bool(taken) and not REST_AHEAD.match(self.text, end)

    def _seconds_rest(self, piece: str, at: int, end: int) -> bool:
        """`10 SR`: seconds of rest, unless it is as fast as a stroke rate."""
        value = self.tokens[-1]
        number = value.value if value.type == "NUMBER" else None
        if number is not None and LEAST_BARE_RATE <= number <= 99 and not self.text[end:].strip().startswith("rest"):
            ways = [f"rest 0:{number:02d}" if number < 60 else f"rest 1:{number - 60:02d}", f"rate {number}"]
            edits = [Edit(value.start, end, way) for way in ways]
            self.stop(
                Mistake(
                    value.start,
                    end,
                    tr("{number} seconds of rest, or the stroke rate?", number=number),
                    tr("write {ways}", ways=either(ways)),
                    *edits,
                )
            )
            return True
        self.at = end
        self.add("REST", piece, None, at, end)
        return True

    def _times_to(self, at: int) -> bool:
        """Whether a dash is between two times, or a comma between falling ones; a question is then asked."""
        match = TIME_TO.match(self.text, at)
        before = self.tokens[-1] if self.tokens else None
        if question := each_faster(self.text, self.tokens, self._count, at):
            self.stop(question)
        if question or self.text[at] == ",":
            return bool(question)
        if TIMES_TO.match(self.text, at) or self.listing and match:  # on 3:15 - 3:40 - 4:10
            self.listing = True
            self.add("_SLASH", "", None, at, at + 1)
            return True
        if match is None or before is None or len(self.tokens) < 3 or before.type not in ("TIME", "NUMBER"):
            return False
        if before.type == "NUMBER" and (before.value > 99 or self.tokens[-2].type == "_X"):
            return False
        self.stop(one_of_two_times(before.start, before.text, match[1], match.end()))
        return True
