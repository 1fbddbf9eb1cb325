"""Words about rest and time that mean something else in another place: `off`, `between`, `take`, `SR`."""

from __future__ import annotations

from pacer.language import either, tr
from pacer.plan.cutting.joinedwords import JoinedWords
from pacer.plan.cutting.linemistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.problem import Edit
from pacer.plan.words.linepatterns import (
    AFTER_EACH,
    ANY_TIME,
    BETWEEN_ROUNDS,
    EACH_ALONE,
    LEAST_RATE,
    LIMITS,
    NEXT_NUMBER,
    OFF_TIME,
    ON_AND_OFF,
    REST_AHEAD,
    REST_TAKEN,
)

#: Seconds; a shorter time after `off` may be a rest. Common practice, no source.
LEAST_SENDOFF = 40
_TAKEN = ("take", "taking", "have", "having")
_WORDS = LIMITS | {
    "between",
    "btwn",
    "betw",
    "btw",
    "on",
    "off",
    "recovery",
    "recover",
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
        if fold in ("recovery", "recover") and self.before in ("TIME", "NUMBER") and len(self.tokens) > 1:
            self.at = end
            self.add("REST", piece, None, at, end)
            return True
        if fold in _TAKEN and self._takes_rest(end):
            self.at = end
            self.add("REST", piece, None, at, end)
            return True
        rests = self.before in ("NUMBER", "TIME") and self.tokens[-2:-1] and self.tokens[-2].type != "_X"
        if fold == "sr" and rests and not NEXT_NUMBER.match(text, end):
            return self._seconds_rest(piece, at, end)
        return fold in ("rest", "remainder") and bool(self.parted) and self._rest_of_it(at, end)

    def _sends_off(self, piece: str, at: int, end: int) -> bool:
        """`6 x 50 off 1:10`: an interval, unless the time is so short that it may be a rest."""
        match = OFF_TIME.match(self.text, end) if self._length and self.before not in ("TIME", "_X") else None
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
        if number is not None and LEAST_RATE <= number <= 99 and not self.text[end:].strip().startswith("rest"):
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
