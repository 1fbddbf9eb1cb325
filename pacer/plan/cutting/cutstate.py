"""The state while a line is cut: its tokens so far, and what they say about the next ones."""

from __future__ import annotations

from functools import lru_cache

from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.model import NAMED, Activity, Pool
from pacer.plan.words.linepatterns import ACTIVITY_AHEAD, NAME_ENDS, NEXT_WORD, OPENS_DETAIL, TIMED_AHEAD, WORK
from pacer.plan.words.ownwords import OwnWords
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import GEAR_WORDS, LINE_WORDS, SECTION_WORDS, Phrases


@lru_cache(64)
def _words(own: OwnWords) -> tuple[dict[str, tuple[str, object]], dict[str, str], Phrases]:
    """The words of a line, those for gear, and the phrases among both, including the squad's own."""
    gear = {**GEAR_WORDS, **{word.casefold(): word for word in own.gear}}
    words = {**LINE_WORDS, **_efforts(own)}
    return words, gear, Phrases([*words, *gear])


@lru_cache(64)
def _section_words(own: OwnWords) -> tuple[dict[str, tuple[str, object]], dict[str, str], Phrases]:
    """The words of a section's details, including the squad's own efforts; a section has no gear."""
    words = {**SECTION_WORDS, **_efforts(own)}
    return words, {}, Phrases(words)


def _efforts(own: OwnWords) -> dict[str, tuple[str, object]]:
    return {word.casefold(): ("EFFORT", word) for word in own.efforts}


class CutState:
    """A line while it is cut, from left to right."""

    def __init__(self, text: str, own: OwnWords, section: bool, pool: Pool | None = None):
        self.text, self.section = text, section
        self.low = text.casefold()  #: to see quickly whether a word is anywhere in the line
        #: the pool's length, if it is a whole number
        self.length = int(pool.length) if pool and pool.length.denominator == 1 else None
        self.words, self.gear, self.phrases = _section_words(own) if section else _words(own)
        self.tokens: list[Token] = []
        self.behind: list[Token] = []  #: tokens to add after the next work
        self.mistakes: list[Mistake] = []
        self.naming = self.in_gear = self.timed = False
        self.depth = 0
        self.ranging: int | None = None  #: the depth of brackets in which numbers are repeats
        self.stopped = False
        self.listing = False  #: whether dashes are between the times of one lane after the other
        self.at = 0

    @property
    def before(self) -> str | None:
        """The type of the last token."""
        return self.tokens[-1].type if self.tokens else None

    def add(self, type_: str, text: str, value: object, at: int, end: int) -> None:
        """Add a token, and note what it says about the next ones."""
        if self.behind and type_ not in WORK and any(t.type in WORK for t in self.tokens[-1:]):
            self.tokens += self.behind
            self.behind = []
        if type_ in NAME_ENDS:
            self.naming = self.in_gear = False
            self.timed = self.timed and type_ != "_PLUS"
        elif type_ == "ACTIVITY" and not self.naming:
            self.naming = value in NAMED or self.timed and value is Activity.KICK
        elif type_ not in WORK:
            self.naming = False
            self.in_gear = type_ in ("WITH", "_AND", "GEAR")
        if type_ in OPENS_DETAIL:
            self.ranging = None
        self.listing = self.listing and type_ in ("TIME", "_SLASH")
        if type_ == "_REPEATS":
            self.ranging = self.depth
        elif type_ in ("_LEFT", "_RIGHT"):
            self.depth += 1 if type_ == "_LEFT" else -1
        self.tokens.append(Token(type_, text, value, at, end))

    def stop(self, mistake: Mistake) -> None:
        """Stop at something that is not a word of the notation."""
        self.mistakes.append(mistake)
        self.stopped = True

    def _next_word(self, end: int) -> str:
        match = NEXT_WORD.match(self.text, end)
        return match[1].casefold() if match else ""

    def _saying(self, at: int) -> bool:
        """Read an instruction, or a drill by its name, that begins here; return whether there was one."""
        match = SAYINGS.match(self.text, at)
        if not match or self.naming and not match["note"] and not (match["drill"] and match[0][0].isdigit()):
            return False
        end = self.at = match.end()
        if self.naming and match["drill"]:
            self.add("NAME", " ".join(match[0].split()), match[0], at, end)
            return True
        if match["note"]:
            self.add("NOTE", match[0], " ".join(match[0].split()), at, end)
            return True
        type_, value = ("drill", Activity.DRILL) if match["drill"] else ("kick", Activity.KICK)
        if match["upright"] and not (self.timed or TIMED_AHEAD.match(self.text, end)):
            if not self._behind(end, type_) and not self._kicking():
                self.add("ACTIVITY", "", value, at, at)
            self.add("NOTE", match[0], " ".join(match[0].split()), at, end)
            return True
        if not self._behind(end, type_) and not any(token.type == "ACTIVITY" for token in self.tokens[-2:]):
            self.add("ACTIVITY", "", value, at, at)
        self.add("NAME", " ".join(match[0].split()), match[0], at, end)
        return True

    def _behind(self, end: int, activity: str) -> bool:
        """Whether the activity's own word follows, perhaps with a stroke between."""
        match = ACTIVITY_AHEAD.match(self.text, end)
        return match is not None and match[1].casefold() == activity

    def _kicking(self) -> bool:
        some = False  # whether the words are about some of the repeats, so that the set's own work counts
        for token in reversed(self.tokens):
            if token.type == "ACTIVITY":
                return token.value is Activity.KICK
            some = some or token.type in ("_ODD", "_EVEN", "RANGE")
            if token.type not in WORK and not some:
                return False
        return False
