"""One line of a plan cut into tokens: numbers, times, words, cues.

What a word means can depend on what stands around it: `D` is drill, but a group in
`on D 1:50`; the words after `drill` are its name unless they open a detail. That is settled
here, so that the grammar sees one kind of token for each.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from pacer.plan.model import MAX_SESSION_MS, Activity, Stroke
from pacer.plan.notation.mistakes import Mistake
from pacer.plan.notation.ownwords import NO_WORDS, OwnWords
from pacer.plan.notation.sayings import END, PLACE, SAYINGS
from pacer.plan.notation.settling import Token, settled
from pacer.plan.notation.vocabulary import GEAR_WORDS, LINE_WORDS, SECTION_WORDS, UNITS, Phrases, key_of
from pacer.plan.notation.wrongwords import (
    NAME_FIRST,
    NO_GEAR,
    asked,
    bad_time,
    near_work,
    strange,
    unknown,
)
from pacer.plan.times import BadTime, ms_from_text

_PRIME = r"""(?:["”″]|''|’’)(?=[\s,/)+\#;]|$)"""
WORD = r"[^\W\d_]\w*(?:['’\-‑]\w+)*"
_X = r"[xX×*✕✖⨯хХ]"
_AFTER_X = rf"\s|[0-9:({{\[]|$|{WORD}\s+[0-9]"
_UNIT = r"(?:metres?|meters?|mtrs?|m|yards?|yds?|y)"
_PIECES = re.compile(
    rf"""
    (?P<space>\s+)
  | (?P<many>[0-9]+\s?['’]s(?!\w)|[0-9]*(?:25|50|75|00)s(?!\w))
  | (?P<time>
        [0-9]*(?::[0-9]+)+(?:\.[0-9]+)?(?=[^0-9]|$)
      | [0-9]+\s*['’′](?!['’s])(?:\s?[0-9]+(?:\.[0-9]+)?(?:{_PRIME})?)?
      | [0-9]+(?:\.[0-9]+)?{_PRIME}
      | [0-9]+m[0-9]+(?!\w)
      | [0-9]+(?:\.[0-9]+)?\s*(?:seconds?|secs?|s|minutes?|mins?|hours?|h)\b\.?(?!\s+strokes)
      | [0-9]+[.;,][0-9]{{1,2}}(?![0-9.,]|\s*k(?:m)?\b) )
  | (?P<thousands>
        [0-9]{{1,3}}[,.][0-9]{{3}}(?![0-9.,])(?:\s*{_UNIT}(?!\w))?
      | [0-9]+(?:\.[0-9]+)?\s?km(?!\w)
      | [1-9](?:\.[0-9]+)?k(?!\w) )
  | (?P<digits>[0-9]+(?:[-‑]\w+)*[-‑][^\W\d_][\w'’-]*)
  | (?P<dashed>\#?[0-9]+(?:\s?[-–‒]\s?[0-9]+)+(?![^\W\d_]|[0-9:]))
  | (?P<number>\#?(?:
        [0-9]+(?={_X}(?:{_AFTER_X}))
      | [0-9]+(?=(?:on|rest|r)[0-9:\s])
      | [0-9]+\s?{_UNIT}(?!\w|\s*/)
      | [0-9]+(?![^\W_]) ))
  | (?P<percent>[0-9]+\s?%)
  | (?P<times>{_X}(?={_AFTER_X}))
  | (?P<base>(?:base|css)(?:\s*\+|(?=\s?[-–−]\s?[0-9])))
  | (?P<with>w\s?/(?!\s?[oud]\b))
  | (?P<glue>(?:on|r|ri|rest|d|desc)(?=[0-9:]))
  | (?P<word>{WORD})
  | (?P<cue>"[^"]*"|[“„”][^“”]*[“”]|['‘](?=[^\W\d])[^'‘’]*['’])
  | (?P<hundred>/\s?100(?:\s?{_UNIT})?(?![\w:])(?!\s+s\b))
  | (?P<mark>[/,;+()\[\]{{}}:&|—–−‒-])
  | (?P<dot>[.!]+(?=\s|$|,))
  | (?P<glued>[0-9]\w*)
  | (?P<strange>.)
""",
    re.VERBOSE | re.IGNORECASE,
)

_MARKS = {
    "/": "_SLASH", ",": "_COMMA", ";": "_COMMA", "|": "_COMMA", "—": "_COMMA", "+": "_PLUS", "&": "_AND", ":": "_COLON",
    **dict.fromkeys("([{", "_LEFT"), **dict.fromkeys(")]}", "_RIGHT"),
}  # fmt: skip
_VALUE = re.compile(r"\s*:?\s*(?:[0-9:]|base\b)", re.IGNORECASE)
_COUNT = re.compile(r"\s+[0-9]+(?![0-9:.'’′\"”″])")
_LABELLED_VALUE = re.compile(rf"\s*:?\s*(?:{WORD}\s*:?\s+)?(?:[0-9:]|base\b|css\s*\+)", re.IGNORECASE)
_RESTS = "|".join(sorted((word for word, (t, _) in LINE_WORDS.items() if t == "REST"), key=len, reverse=True))
_REST_BEHIND = re.compile(rf"\s+(?:{_RESTS}|apart){END}", re.IGNORECASE)
_GEAR_NEXT = re.compile(rf"\s+(?:an?\s+)?({WORD})(?:\s+({WORD}))?")
_LATER_EVEN = re.compile(r".*\beven", re.IGNORECASE)
_REST_TIME = re.compile(r"\s*(?:the\s+)?:?[0-9]")
_NAMED = (Activity.DRILL, Activity.SCULL)
_BEFORE_COUNT = {None, "_X", "_LEFT", "_PLUS", "ROUNDS"}
_BEFORE_VALUE = {"ON", "REST", "HOLD", "_SLASH"}
_NAME_ENDS = {"_SLASH", "_COMMA", "_LEFT", "_RIGHT", "_PLUS", "CUE", "_X"}
_OPENS_DETAIL = {"ON", "REST", "HOLD", "RATE", "WITH", "APART", "TREND", "BY", "_PLUS", "_X"}
_WORK = {"ACTIVITY", "STROKE", "EFFORT", "NAME", "NOTE"}
#: Words that say nothing where they stand: what must be before them (None: anything), and what may follow.
_FILLERS: dict[str, tuple[frozenset[str] | None, re.Pattern[str]]] = {
    **dict.fromkeys(("pace", "effort", "intensity", "efforts"), (frozenset({"EFFORT"}), re.compile(""))),
    "the": (frozenset({"ON", "BY"}), re.compile("")),
    "a": (frozenset({"WITH", "_AND"}), re.compile("")),
    "of": (frozenset({"ROUNDS", "NUMBER", "RATE"}), re.compile("")),
    "each": (frozenset({"REST", "TIME"}), re.compile(r"(?!\s+[0-9])")),
    "between": (frozenset({"REST", "TIME"}), re.compile("")),
    "stroke": (frozenset({"STROKE"}), re.compile("")),
    "then": (frozenset({"_COMMA"}), re.compile("")),
    "do": (None, re.compile(r"\s+[0-9]")),
}
#: Words for kinds of kick that are named by a stroke.
_KICKS = {"frog": Stroke.BREAST, "dolphin": Stroke.FLY, "flutter": Stroke.FREE}
#: Strokes that each swimmer has of their own: at the base of choice, and said to them.
_OWN_STROKE = re.compile(
    rf"(?:(?:best|favou?rite|main|own|form|off|non)[\s-]*(?:strokes?|free)|no\.?\s?1|\#1|number\s+(?:1|one)|form|strokes?){END}",
    re.IGNORECASE,
)
_NUMBERS = {
    word: number
    for number, word in enumerate(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"), 1)
} | {"twelve": 12, "sixteen": 16, "twenty": 20}  # fmt: skip
_TIMED_AHEAD = re.compile(
    rf"[^0-9]*(?:[0-9]+\s*{_X}\s*)?(?::[0-9]|[0-9]+:|[0-9]+\s*(?:s|sec|secs|seconds?|min|mins|minutes?)\b)", re.I
)
_COUNTED = re.compile(rf"\s+(?:{_X}|times|lots|by|lengths?|[0-9]|rounds|sets|min)", re.IGNORECASE)
_BY_NAME = re.compile(rf"(?:\s*{_X}|\s+by|\s+times|\s+lots\s+of)\s+", re.IGNORECASE)


def tokens_of(
    text: str, start: int, own: OwnWords = NO_WORDS, section: bool = False
) -> tuple[list[Token], list[Mistake]]:
    """The tokens of `text` from `start` on, and what is wrong with single ones.

    Stops at the first thing that is no word of the notation. Tokens whose value is written before their word, as in
    `15 s rest`, stand behind it.
    """
    lexer = Lexer(text, own, section)
    lexer.read(start)
    return settled(lexer.tokens, section), lexer.mistakes


@lru_cache(64)
def _words(own: OwnWords) -> tuple[dict[str, tuple[str, object]], dict[str, str], Phrases]:
    """The words of a line, those for gear, and the phrases among both, with the squad's own."""
    gear = {**GEAR_WORDS, **{word.casefold(): word for word in own.gear}}
    words = {**LINE_WORDS, **{word.casefold(): ("EFFORT", word) for word in own.efforts}}
    return words, gear, Phrases([*words, *gear])


_SECTION_PHRASES = Phrases(SECTION_WORDS)


class Lexer:
    """Cuts one line, from left to right."""

    def __init__(self, text: str, own: OwnWords, section: bool):
        self.text, self.section = text, section
        self.words, self.gear, self.phrases = (SECTION_WORDS, {}, _SECTION_PHRASES) if section else _words(own)
        self.tokens: list[Token] = []
        self.mistakes: list[Mistake] = []
        self.naming = self.in_gear = self.timed = False
        self.depth = 0
        self.ranging: int | None = None  #: the depth of brackets in which numbers are repeats
        self.stopped = False
        self.at = 0

    @property
    def before(self) -> str | None:
        """The type of the token before."""
        return self.tokens[-1].type if self.tokens else None

    def read(self, start: int) -> None:
        """Cut all of it, or up to what is no word of the notation."""
        self.at = start
        while not self.stopped and (match := _PIECES.match(self.text, self.at)):
            self.at = match.end()
            kind = match.lastgroup
            if kind != "space":
                getattr(self, "_" + kind)(match[0], match.start(), match.end())

    def add(self, type_: str, text: str, value: object, at: int, end: int) -> None:
        """A token, and what it says of those that follow."""
        if type_ in _NAME_ENDS:
            self.naming = self.in_gear = False
            self.timed = self.timed and type_ != "_PLUS"
        elif type_ == "ACTIVITY" and not self.naming:
            self.naming = value in _NAMED or self.timed and value is Activity.KICK
        elif type_ not in _WORK:
            self.naming = False
            self.in_gear = type_ in ("WITH", "_AND", "GEAR")
        if type_ in _OPENS_DETAIL:
            self.ranging = None
        if type_ == "_REPEATS":
            self.ranging = self.depth
        elif type_ in ("_LEFT", "_RIGHT"):
            self.depth += 1 if type_ == "_LEFT" else -1
        self.tokens.append(Token(type_, text, value, at, end))

    def stop(self, mistake: Mistake) -> None:
        """Something that is no word of the notation."""
        self.mistakes.append(mistake)
        self.stopped = True

    # ---- numbers and times

    def _number(self, piece: str, at: int, end: int) -> None:
        digits = re.match(r"#?([0-9]+)", piece)
        number = int(digits[1])
        if not self.section and self._saying(at):
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
        unit = piece[digits.end() :].strip().casefold()
        self.add("NUMBER", piece, number, at, end)
        self.tokens[-1].unit = UNITS.get(unit, "")

    def _many(self, piece: str, at: int, end: int) -> None:
        """`50s`, `50's`."""
        digits = re.match(r"[0-9]+", piece)[0]
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
        return bool(_REST_BEHIND.match(self.text, end))

    def _thousands(self, piece: str, at: int, end: int) -> None:
        if re.search(r"k", piece, re.IGNORECASE):
            number = Fraction(re.match(r"[0-9.]+", piece)[0].rstrip(".")) * 1000
        else:
            number = Fraction(re.sub(r"[^0-9]", "", piece))
        self.add("NUMBER", piece, int(number), at, end)

    def _time(self, piece: str, at: int, end: int) -> None:
        value = None
        try:
            said = re.sub(r"(?<=[0-9])m(?=[0-9])", ":", piece)
            value = ms_from_text(said)
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
        if self.naming or self.before == "NAME" and len(numbers) > 2:
            self.add("NAME", piece, piece, at, end)
            return
        if (
            len(numbers) > 2
            and (self.before in ("NUMBER", "TIME") or self.before in _WORK)
            and max(numbers) < 25
            and self._saying(at)
        ):
            return
        behind = self._next_word(end)
        if (
            len(numbers) == 2
            and self.tokens
            and self.before not in ("TREND", "RATE", "_X", "_LEFT", "_PLUS", "ON", "REST", "HOLD")
            and (piece[0] == "#" or self.ranging == self.depth or self.words.get(behind, ("",))[0] in _WORK)
        ):
            self.ranging = self.depth
            self.add("RANGE", piece, (numbers[0], numbers[1]), at, end)
            return
        for part in re.finditer(r"[0-9]+|[-–‒]", piece):
            number = int(part[0]) if part[0].isdigit() else None
            self.add("_DASH" if number is None else "NUMBER", part[0], number, at + part.start(), at + part.end())

    def _next_word(self, end: int) -> str:
        match = re.compile(rf"\s*:?\s*({WORD})").match(self.text, end)
        return match[1].casefold() if match else ""

    def _percent(self, piece: str, at: int, end: int) -> None:
        self.stop(asked(self.text, piece, at, end))

    def _times(self, piece: str, at: int, end: int) -> None:
        if self.before in ("NUMBER", "_RIGHT", None) or not self.naming:
            self.add("_X", piece, None, at, end)
        else:
            self.add("NAME", piece, piece, at, end)

    def _base(self, piece: str, at: int, end: int) -> None:
        self.add("BASE", piece, piece.endswith("+"), at, end)

    def _hundred(self, piece: str, at: int, end: int) -> None:
        if self.before == "TIME":
            self.add("PER_100", piece, None, at, end)
        else:
            self.at = at + 1
            self.add("_SLASH", "/", None, at, at + 1)

    # ---- words

    def _with(self, piece: str, at: int, end: int) -> None:
        self.add("WITH", piece, None, at, end)

    def _glue(self, piece: str, at: int, end: int) -> None:
        self._word(piece, at, end)

    def _digits(self, piece: str, at: int, end: int) -> None:
        self._word(piece, at, end)

    def _word(self, piece: str, at: int, end: int) -> None:
        first = re.split(r"[-‑]", piece, maxsplit=1)[0].casefold()
        phrase = self.phrases.match(first, self.text, at)
        if phrase and phrase.end() >= end:
            piece, end = phrase[0], phrase.end()
        fold = key_of(piece) if " " in piece or "-" in piece else piece.casefold()
        fold = re.sub(r"\s*/\s*", "/", fold)
        type_, value = self.words.get(piece.casefold()) or self.words.get(fold) or ("", None)
        if self.section:
            if self._label(type_, piece, end):
                type_, value = "LABEL", piece
            if not type_:
                self.stop(unknown(piece, at, end, self.tokens, True, self.text))
                return
            self.at = end
            self.add(type_, piece, value, at, end)
            return
        if self._label(type_, piece, end):
            self.at = end
            self.add("LABEL", piece, piece, at, end)
            return
        if self.naming:
            self._named(type_, piece, value, at, end)
            return
        if self._said_otherwise(piece, fold, type_, at, end):
            return
        if not type_ and (fold in self.gear or self.in_gear and self._gear_begun()):
            self._gear_word(piece, fold, at, end)
            return
        if not type_ or type_ == "ACTIVITY" and value not in _NAMED and self._begins_a_name(at):
            self._unknown(piece, at, end)
            return
        self.at = end
        if type_ == "BY" and len(self.tokens) == 1 and self.before == "NUMBER" and self.tokens[0].value < 50:
            type_ = "_X"
        if (
            type_ == "ON"
            and fold in ("every", "go every")
            and re.match(r"\s+[0-9]+s?(?![0-9:.])(?!\s*(?:s|sec|min))", self.text[end:])
        ):
            type_ = "BY"
        self.add(type_, piece, value, at, end)

    def _begins_a_name(self, at: int) -> bool:
        """Whether an activity is the beginning of a drill's name: `kick switch drill`."""
        name = NAME_FIRST.match(self.text, at)
        kinds = [self.words.get(word.casefold(), ("",))[0] for word in name[1].split()] if name else []
        return "" in kinds and all(kind in ("", "ACTIVITY", "STROKE", "EFFORT") for kind in kinds)

    def _gear_begun(self) -> bool:
        """Whether `with` or `and` stands before, gear of which nothing is known perhaps between."""
        before = next((token.type for token in reversed(self.tokens) if token.type != "NAME"), None)
        return before in ("WITH", "_AND")

    def _label(self, type_: str, piece: str, end: int) -> bool:
        """Whether a word is a group's before its value."""
        pattern = _COUNT if self.before in _BEFORE_COUNT else _VALUE if self.before in _BEFORE_VALUE else None
        if pattern is None or type_ and not (len(piece) == 1 and piece.isupper()):
            return False
        if (
            type_
            and self.before in ("_PLUS", "_LEFT")
            and type_ != "ACTIVITY"
            or len(piece) > 1
            and piece.casefold() in _FILLERS
        ):
            return False
        if piece.casefold() in self.gear or piece.casefold() in _NUMBERS or SAYINGS.match(self.text, end - len(piece)):
            return False
        return bool(re.match(r"\s", self.text[end : end + 1])) and bool(pattern.match(self.text, end))

    def _named(self, type_: str, piece: str, value: object, at: int, end: int) -> None:
        """A word after drill, scull or a timed kick."""
        if NO_GEAR.match(self.text, at) or self._apart_from_names(piece, type_, at, end):
            self.naming = False
            if self._said_otherwise(piece, piece.casefold(), type_, at, end):
                return
            if not type_:
                self._unknown(piece, at, end)
                return
        elif (
            type_ == "STROKE"
            or type_ == "EFFORT"
            and self._ends_a_name(piece, value, end)
            or type_ not in ("", "ACTIVITY")
            and opens_detail(type_, self.text, end, self.gear)
        ):
            pass
        else:
            end = at + len(re.match(WORD, self.text[at:])[0]) if not piece[0].isdigit() else end
            piece = self.text[at:end]
            type_, value = "NAME", piece
        self.at = end
        self.add(type_, piece, value, at, end)

    def _ends_a_name(self, piece: str, value: object, end: int) -> bool:
        """Whether an effort in a name is one: the app's own word, or another one with nothing of the name behind it."""
        behind = self._next_word(end)
        return piece.casefold() == value or not behind or behind in self.words

    def _apart_from_names(self, piece: str, type_: str, at: int, end: int) -> bool:
        saying = SAYINGS.match(self.text, at)
        return bool(saying and saying["note"] and re.match(r"breath|bp|no\s|hypoxic", saying[0], re.IGNORECASE))

    def _said_otherwise(self, piece: str, fold: str, type_: str, at: int, end: int) -> bool:
        """Read what one of the tables has for the words that stand here; whether there was any."""
        text = self.text
        if self._saying(at):
            return True
        own = _OWN_STROKE.match(text, at)
        if own and type_ not in ("_ODD", "RATE") and not (fold == "stroke" and self.before == "STROKE"):
            self.at = own.end()
            self.add("STROKE", own[0], Stroke.CHOICE, at, own.end())
            self.add("NOTE", own[0], " ".join(own[0].split()), at, own.end())
            return True
        if (place := PLACE.match(text, at)) and self._kicking():
            self.at = place.end()
            self.add("NOTE", place[0], " ".join(place[0].split()), at, place.end())
            return True
        if fold in _KICKS and self._behind(end, "kick"):
            self.at = end
            self.add("STROKE", piece, _KICKS[fold], at, end)
            return True
        if fold in _FILLERS:
            before, behind = _FILLERS[fold]
            if (before is None or self.before in before) and behind.match(text, end):
                self.at = end
                return True
        if fold == "at" and self.words.get(self._next_word(end), ("",))[0] in ("EFFORT", "RATE"):
            self.at = end
            return True
        if fold in _NUMBERS and _COUNTED.match(text, end):
            self.at = end
            self.add("NUMBER", piece, _NUMBERS[fold], at, end)
            return True
        if fold in ("times", "lots") and self.before == "NUMBER":
            of = re.compile(r"(?:\s+of)?\s+(?=[0-9(])").match(text, end)
            self.at = of.end() if of else end
            self.add("_X" if of else "ROUNDS", piece, None, at, end)
            return True
        if fold == "twice":
            self.at = end
            self.add("_X", piece, None, at, at)
            self.add("NUMBER", piece, 2, at, end)
            return True
        if fold in UNITS and self.before == "NUMBER" and not self.tokens[-1].unit:
            self.at = end
            self.tokens[-1].unit = UNITS[fold]
            return True
        if fold == "spm" and self.before == "NUMBER":
            self.at = end
            self.tokens.insert(len(self.tokens) - 1, Token("RATE", piece, None, at, end))
            return True
        if type_ == "WITH" and self._rest_behind_value(end):
            self.at = end  # with 15 s rest
            return True
        if type_ == "ON" and (fold == "on the") and (minute := re.compile(r"\s+minute" + END, re.I).match(text, end)):
            self.at = minute.end()
            self.add("ON", piece, None, at, end)
            self.add("TIME", minute[0].strip(), 60_000, minute.start() + 1, minute.end())
            return True
        return False

    def _rest_behind_value(self, end: int) -> bool:
        return bool(
            re.compile(
                r"\s*:?[0-9:]+\s*(?:s|sec|secs|seconds?|min|[\"”″'’]+)?(?:\s+)(?:rest|ri|r\b|off|recovery)", re.I
            ).match(self.text, end)
        )

    def _saying(self, at: int) -> bool:
        """An instruction, or a drill by its name, that begins here."""
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
        if match["upright"] and not (self.timed or _TIMED_AHEAD.match(self.text, end)):
            if not self._behind(end, type_) and not self._kicking():
                self.add("ACTIVITY", match[0], value, at, end)
            self.add("NOTE", match[0], " ".join(match[0].split()), at, end)
            return True
        if not self._behind(end, type_) and not any(token.type == "ACTIVITY" for token in self.tokens[-2:]):
            self.add("ACTIVITY", match[0], value, at, end)
        self.add("NAME", " ".join(match[0].split()), match[0], at, end)
        return True

    def _behind(self, end: int, activity: str) -> bool:
        """Whether the activity's own word follows, a stroke perhaps between."""
        return bool(re.compile(rf"(?:\s+\w+)?\s+{activity}{END}", re.I).match(self.text, end))

    def _kicking(self) -> bool:
        for token in reversed(self.tokens):
            if token.type == "ACTIVITY":
                return token.value is Activity.KICK
            if token.type not in _WORK:
                return False
        return False

    def _gear_word(self, piece: str, fold: str, at: int, end: int) -> None:
        self.at = end
        if fold in self.gear:
            self.add("GEAR", piece, self.gear[fold], at, end)
        else:
            self.add("NAME", piece, piece, at, end)

    def _unknown(self, piece: str, at: int, end: int) -> None:
        """A word that the notation does not have: a drill's name in front of it, or a mistake."""
        known = piece.casefold() in self.words
        name = NAME_FIRST.match(self.text, at)
        if name and self._begins_a_name(at) and (known or not near_work(piece)):
            strokes = []
            for word in re.finditer(rf"{WORD}|[0-9]+(?:-[0-9]+)+", self.text[at : name.end(1)]):
                type_, value = self.words.get(word[0].casefold(), ("", None))
                place = (at + word.start(), at + word.end())
                if type_ in ("STROKE", "EFFORT"):
                    strokes.append(Token(type_, word[0], value, *place))
                else:
                    self.add("NAME", word[0], word[0], *place)
            activity = Activity(name[2].casefold())
            self.tokens += strokes
            self.add("ACTIVITY", name[2], activity, name.start(2), name.end(2))
            self.at = name.end()
            return
        self.stop(unknown(piece, at, end, self.tokens, self.section, self.text))

    # ---- the rest

    def _cue(self, piece: str, at: int, end: int) -> None:
        value = " ".join(piece[1:-1].split())
        if not value:
            self.mistakes.append(
                Mistake(at, end, "this cue is empty", "write the one thing to think of, or leave the quotes out")
            )
        self.add("CUE", piece, value, at, end)

    def _mark(self, piece: str, at: int, end: int) -> None:
        type_ = _MARKS.get(piece, "_DASH")
        if type_ == "_DASH":
            spaced = self.text[at - 1 : at].isspace() and self.text[end : end + 1].isspace()
            if self.tokens and spaced and not (self.before == "NUMBER" and re.match(r"\s*[0-9]", self.text[end:])):
                type_ = "_COMMA"
        if self.in_gear and type_ in ("_PLUS", "_COMMA", "_SLASH", "_AND"):
            match = _GEAR_NEXT.match(" " + self.text[end:].lstrip())
            if match and (match[1].casefold() in self.gear or f"{match[1]} {match[2]}".casefold() in self.gear):
                type_ = "_AND"
        self.add(type_, piece, None, at, end)
        if type_ == "_AND":
            self.in_gear = True

    def _dot(self, piece: str, at: int, end: int) -> None:
        """A full stop says nothing, but for a comma's where more follows."""
        if self.text[end:].strip() and "." in piece and self.text[end : end + 1].isspace():
            self.add("_COMMA", piece, None, at, end)

    def _glued(self, piece: str, at: int, end: int) -> None:
        self._strange(piece, at, end)

    def _strange(self, piece: str, at: int, end: int) -> None:
        self.stop(strange(piece, at, end, self.text, self.before))


def opens_detail(type_: str, text: str, end: int, gear: dict[str, str] | tuple[str, ...]) -> bool:
    """Whether a word of that type, which ends at `end`, opens something even where names stand: its value follows."""
    if type_ in ("ON", "REST", "HOLD"):
        return bool(_LABELLED_VALUE.match(text, end)) or bool(re.match(r"\s+minute", text[end:]))
    if type_ in ("RATE", "BY", "APART", "TREND", "_REPEATS"):
        return bool(_VALUE.match(text, end))
    if type_ in ("_AS", "_IN_TURN"):
        return text[end:].lstrip()[:1] in tuple("(0123456789")
    if type_ == "_ODD":
        return bool(_LATER_EVEN.match(text, end))
    if type_ == "_EVEN":
        return bool(re.search(r"\bodds?\b", text[:end], re.IGNORECASE))
    if type_ == "WITH" and (match := _GEAR_NEXT.match(" " + text[end:].lstrip())):
        first, second = match[1].casefold(), (match[2] or "").casefold()
        from pacer.plan.notation.vocabulary import near

        return f"{first} {second}" in gear or first in gear or bool(near(first, tuple(gear), 0.75))
    return False
