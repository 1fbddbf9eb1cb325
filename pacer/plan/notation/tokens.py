"""One line of a plan cut into tokens: numbers, times, words, cues.

What a word means can depend on what stands around it: `D` is drill, but a group in
`on D 1:50`; the words after `drill` are its name unless they open a detail. That is settled
here, so that the grammar sees one kind of token for each.
"""

from __future__ import annotations

import re

from pacer.plan.model import GEAR, MAX_SESSION_MS, Activity
from pacer.plan.notation.mistakes import LINE_EXAMPLE, SECTION_EXAMPLES, Mistake
from pacer.plan.notation.vocabulary import DETAILS, LINE_WORDS, SECTION_WORDS, SYNONYMS, UNITS, near
from pacer.plan.times import SECOND_MS, BadTime, ms_from_text, text_from_ms


class Token:
    """A piece of a line: its type in the grammar, its text, what it stands for, where it is.

    `value` is an int for NUMBER, milliseconds for TIME (None where it is no time, or bare
    seconds), the text inside for CUE, the member of the enumeration for work.
    """

    __slots__ = ("end", "start", "text", "type", "value")

    def __init__(self, type: str, text: str, value: object, start: int, end: int):
        self.type, self.text, self.value, self.start, self.end = type, text, value, start, end

    def __repr__(self) -> str:
        return f"{self.type}({self.text!r})"


_PRIME = r"""(?:["”″]|''|’’)(?=[\s,/)+\#]|$)"""
_WORD = r"[^\W\d_]\w*(?:['’\-‑]\w+)*"
_AFTER_X = rf"\s|[0-9:(]|$|{_WORD}\s+[0-9]"
_PIECES = re.compile(
    rf"""
    (?P<space>\s+)
  | (?P<time>
        [0-9]*(?::[0-9]+)+(?:\.[0-9]+)?(?=[^0-9]|$)
      | [0-9]+\s*['’′](?!['’])(?:\s?[0-9]+(?:\.[0-9]+)?(?:{_PRIME})?)?
      | [0-9]+(?:\.[0-9]+)?{_PRIME}
      | [0-9]+(?:\.[0-9]+)?\s*(?:seconds?|secs?|s|minutes?|mins?|hours?|h)\b\.?
      | [0-9]+[.;,][0-9]+ )
  | (?P<digits>[0-9]+(?:[-‑]\w+)*[-‑][^\W\d_][\w'’-]*)
  | (?P<dashed>[0-9]+(?:-[0-9]+)+(?![^\W\d_]))
  | (?P<number>[0-9]+(?=[xX×](?:{_AFTER_X}))|[0-9]+(?![^\W_]))
  | (?P<times>[xX×](?={_AFTER_X}))
  | (?P<two>(?:in\s+turn|if\s+time|at\s+most|run\s+on|per\s+100|im\s+order)(?![\w-]))
  | (?P<base>base(?:\s*\+|(?=[-–−])))
  | (?P<word>{_WORD})
  | (?P<cue>"[^"]*"|[“„”][^“”]*[“”])
  | (?P<mark>[/,+()–−‒-])
  | (?P<glued>[0-9]\w*)
  | (?P<strange>.)
""",
    re.VERBOSE | re.IGNORECASE,
)

#: A time, or seconds alone, and what belongs to it.
_TIMED = re.compile(
    r"\s*(base\s*\+\s*[0-9:.]+|[0-9][0-9:.]*(?:\s*(?:seconds?|secs?|s|minutes?|mins?)\b|[\"'”″’]+)?|:[0-9][0-9.]*)",
    re.IGNORECASE,
)
_WORD_NEXT = re.compile(rf"\s*({_WORD})")
_MARKS = {"/": "_SLASH", ",": "_COMMA", "+": "_PLUS", "(": "_LEFT", ")": "_RIGHT"}
_VALUE = re.compile(r"\s+(?:[0-9:]|base\b)", re.IGNORECASE)
_COUNT = re.compile(r"\s+[0-9]+(?![0-9:.'’′\"”″])")
_LABELLED_VALUE = re.compile(rf"\s+(?:{_WORD}\s+)?(?:[0-9:]|base\b)", re.IGNORECASE)
_GEAR_WORDS = re.compile(rf"\s+({_WORD})(?:\s+({_WORD}))?")
#: Words in front of the one that they should follow: `fist drill`.
_NAME_FIRST = re.compile(
    rf"((?:{_WORD}|[0-9]+(?:-[0-9]+)+)(?:\s+(?:{_WORD})){{0,4}}?)\s+(drill|scull)\b", re.IGNORECASE
)
#: What follows the `w` of `w/ fins`.
_SHORT_WITH = re.compile(rf"(?:\s*/(?!o\b)\s*|\s+)({_WORD})", re.IGNORECASE)
_GEAR = "|".join(GEAR)
#: Gear that is said not to be worn: `w/o fins`, `no fins`.
_NO_GEAR = re.compile(
    rf"(?:w\s*/\s*o|without|no)\s+(?:{_GEAR})(?:\s+(?:and|or)\s+(?:{_GEAR}))*(?![\w'’-])", re.IGNORECASE
)
_LATER_EVEN = re.compile(r".*/\s*even\b", re.IGNORECASE)
_NAMED = (Activity.DRILL, Activity.SCULL)
_BEFORE_COUNT = {None, "_X", "_LEFT", "_PLUS", "_COMMA", "ROUNDS"}
_BEFORE_VALUE = {"ON", "REST", "HOLD", "_SLASH"}
_NAME_ENDS = {"_SLASH", "_COMMA", "_LEFT", "_RIGHT", "_PLUS", "CUE", "_X"}
_WORK = {"ACTIVITY", "STROKE", "EFFORT", "NAME"}
_WORK_SAID = tuple(said for said, meant in SYNONYMS.items() if LINE_WORDS.get(meant.casefold(), ("",))[0] in _WORK)


def tokens_of(
    text: str, start: int, gear: tuple[str, ...] = (), section: bool = False
) -> tuple[list[Token], list[Mistake]]:
    """The tokens of `text` from `start` on, and what is wrong with single ones.

    Stops at the first thing that is no word of the notation.
    """
    words = SECTION_WORDS if section else LINE_WORDS
    tokens: list[Token] = []
    mistakes: list[Mistake] = []
    naming = in_gear = timed = False
    before: str | None = None
    gear_words = tuple(word.casefold() for word in (*GEAR, *gear))

    for match in _PIECES.finditer(text, start):
        kind, piece = match.lastgroup, match[0]
        at, end = match.span()
        if kind == "space":
            continue
        value: object = None
        if kind == "dashed":
            if before in _WORK:
                kind = "digits"
            elif before in ("NUMBER", "TIME") and (name := _NAME_FIRST.match(text, at)):
                mistakes.append(_name_first(piece, at, name, tokens[-1], text))
                return tokens, mistakes
            else:
                for part in re.finditer(r"\d+|-", piece):
                    type_ = "_DASH" if part[0] == "-" else "NUMBER"
                    number = None if part[0] == "-" else int(part[0])
                    tokens.append(Token(type_, part[0], number, at + part.start(), at + part.end()))
                before = "NUMBER"
                continue
        if kind == "word" or kind == "two" or kind == "digits":
            type_, value = _word(piece, text, end, words, before, naming, in_gear, gear_words)
            if type_ == "NAME" and value is None:
                mistakes.append(_unknown(piece, at, end, tokens, section, text))
                return tokens, mistakes
            if type_ == "ACTIVITY" and not naming:
                naming = value in _NAMED or (timed and value is Activity.KICK)
            elif type_ not in _WORK:
                naming = False
                in_gear = type_ == "WITH" or type_ == "_AND"
        elif kind == "number":
            type_, value = "NUMBER", int(piece)
        elif kind == "time":
            type_ = "TIME"
            try:
                value = ms_from_text(piece)
                if value > MAX_SESSION_MS:
                    raise BadTime(f"{piece} is longer than a day", "a session lasts up to 24 hours")
            except BadTime as bad:
                mistakes.append(_bad_time(piece, at, end, bad, before))
            timed = timed or before in (None, "_X", "_LEFT", "_PLUS")
        elif kind == "times":
            if before == "NUMBER" or before == "_RIGHT" or not naming:
                type_ = "_X"
            else:
                type_, value = "NAME", piece
        elif kind == "cue":
            type_, value = "CUE", " ".join(piece[1:-1].split())
            if not value:
                mistakes.append(
                    Mistake(at, end, "this cue is empty", "write the one thing to think of, or leave the quotes out")
                )
        elif kind == "base":
            type_, value = "BASE", piece.endswith("+")
        elif kind == "mark":
            type_ = _MARKS.get(piece, "_DASH")
        else:
            mistakes.append(_strange(piece, at, end, text, before))
            return tokens, mistakes
        if type_ in _NAME_ENDS:
            naming = in_gear = False
            timed = timed and type_ != "_PLUS"
        tokens.append(Token(type_, piece, value, at, end))
        before = type_
    return tokens, mistakes


def _word(piece, text, end, words, before, naming, in_gear, gear_words) -> tuple[str, object]:
    """Token type and value of a word; ("NAME", None) where it is none of the notation's."""
    fold = piece.casefold() if " " not in piece else " ".join(piece.casefold().split())
    type_, value = words.get(fold, ("NAME", None))
    labelled = _COUNT if before in _BEFORE_COUNT else _VALUE if before in _BEFORE_VALUE else None
    if labelled and (type_ == "NAME" or len(piece) == 1 and piece.isupper()) and labelled.match(text, end):
        return "LABEL", piece
    if naming:
        if _NO_GEAR.match(text, end - len(piece)):
            return "NAME", None
        if type_ == "STROKE" or type_ == "EFFORT":
            return type_, value
        if type_ not in ("NAME", "ACTIVITY") and opens_detail(type_, text, end, gear_words):
            return type_, value
        return "NAME", piece
    if in_gear and type_ == "NAME":
        return "NAME", piece
    return type_, value


def opens_detail(type_: str, text: str, end: int, gear_words: tuple[str, ...]) -> bool:
    """Whether a word of that type, which ends at `end`, opens something even where names stand: its value follows."""
    if type_ in ("ON", "REST", "HOLD"):
        return bool(_LABELLED_VALUE.match(text, end))
    if type_ in ("RATE", "BY", "APART", "TREND", "_REPEATS"):
        return bool(_VALUE.match(text, end))
    if type_ in ("_AS", "_IN_TURN"):
        return text[end:].lstrip()[:1] in tuple("(0123456789")
    if type_ == "_ODD":
        return bool(_LATER_EVEN.match(text, end))
    if type_ == "WITH" and (match := _GEAR_WORDS.match(text, end)):
        first, second = match[1].casefold(), (match[2] or "").casefold()
        return f"{first} {second}" in gear_words or bool(near(first, gear_words, 0.75))
    return False


def _unknown(piece: str, at: int, end: int, tokens: list[Token], section: bool, text: str) -> Mistake:
    """A word that the notation does not have."""
    if section:
        meant = SYNONYMS.get(piece.casefold(), "")
        meant = meant if meant in SECTION_WORDS else near(piece, tuple(SECTION_WORDS))
        return Mistake(
            at, end, f"“{piece}” is no detail of a section", f"perhaps {meant}" if meant else SECTION_EXAMPLES
        )
    fold = piece.casefold()
    if not tokens:
        meant = near(piece, ("rest", "rounds"))
        return Mistake(
            at,
            end,
            "a set line begins with a number: how often, or how far",
            f"perhaps {meant}" if meant else LINE_EXAMPLE,
        )
    if fold in UNITS:
        return Mistake(at, end, "distances are in the pool's unit, which is not repeated", f"leave {piece} out")
    if match := _NO_GEAR.match(text, at):
        return Mistake(
            at, match.end(), "only gear that is worn is written: without a word, none is", f"leave {match[0]} out"
        )
    if fold == "w" and (match := _SHORT_WITH.match(text, end)):
        return Mistake(
            at, match.end(), f"“{text[at : match.start(1)].rstrip()}” is written out", f"write with {match[1]}"
        )
    before = tokens[-1]
    if fold in SECTION_WORDS:
        return Mistake(
            at, end, f"“{piece}” belongs to a section", "write it after the section's name, as in Main set, if time"
        )
    if fold in GEAR:
        return Mistake(
            at, end, f"“{piece}” is gear, which stands after with", f"as in with {piece}; more of it is joined by and"
        )
    if before.type in ("ON", "REST", "HOLD"):
        return Mistake(at, end, f"“{before.text}” needs its time", f"as in {DETAILS[before.type.lower()]}")
    if SYNONYMS.get(fold) == "rest" and before.type == "TIME" and before.value is not None:
        return Mistake(
            before.start,
            end,
            f"“{piece}” is called rest, and comes before its time",
            f"write rest {text_from_ms(before.value)}",
        )
    if (name := _NAME_FIRST.match(text, at)) and (mistake := _name_first(piece, at, name, before, text)):
        return mistake
    note = "a note in words is a cue: put it in quotes"
    if before.type == "ACTIVITY":
        note = "drill, scull and a timed kick have names; " + note
    return Mistake(at, end, f"“{piece}” is not a word of the notation", _perhaps(piece) or note)


def _name_first(piece: str, at: int, name: re.Match, before: Token, text: str) -> Mistake | None:
    """A name in front of its drill or scull, unless its first word is a stroke or an effort misspelt.

    Where it may be, both are said.
    """

    def work(cutoff: float) -> str:
        meant = near(piece, tuple(LINE_WORDS), cutoff)
        return meant if meant and LINE_WORDS[meant][0] in _WORK else ""

    if piece.casefold() in SYNONYMS or work(0.8) or _said_for(piece):
        return None
    first = before.start if before.type == "ACTIVITY" else at
    said, drill = " ".join(text[first : name.end(1)].split()), name[2]
    other = f"; perhaps {work(0.7)} {drill}" if work(0.7) and said == piece else ""
    return Mistake(first, name.end(), f"a {drill}'s name comes after the word {drill}", f"write {drill} {said}{other}")


def _said_for(piece: str) -> str:
    """The stroke, activity or effort whose other name was probably meant, or ""; only those: `reach` is no `each`."""
    return SYNONYMS.get(near(piece, _WORK_SAID, 0.8), "")


def _perhaps(piece: str) -> str:
    """A hint at the word that was probably meant, or ""."""
    meant = SYNONYMS.get(piece.casefold()) or near(piece, tuple(LINE_WORDS)) or _said_for(piece)
    if not meant or piece.casefold() == "without":  # the opposite is not meant
        return ""
    meant = {"im": "IM", "im order": "IM order"}.get(meant, meant)
    return f"perhaps {meant}, as in {DETAILS[meant]}" if meant in DETAILS else f"perhaps {meant}"


def _bad_time(piece: str, at: int, end: int, bad: BadTime, before: str | None) -> Mistake:
    """What looks like a time and is none."""
    if before in (None, "_X", "_SLASH") and (match := re.fullmatch(r"([0-9]+)[.,]([0-9]+)", piece)):
        thousands = "," in piece and len(match[2]) == 3
        hint = f"write {match[1]}{match[2]}" if thousands else "as in 4 x 100; times have a colon, as in 0:30"
        return Mistake(at, end, f"distances are whole numbers, this says {piece}", hint)
    return Mistake(at, end, bad.message, bad.hint)


#: What single characters are mistaken for: message and hint.
_CHARACTERS = {
    "*": ("“*” is not read as times", "write x, as in 4 x 100"),
    "—": ("a long dash has no meaning here", "numbers have - or – between them, details a comma"),
    ";": ("details have commas between them, no semicolon", "write ,"),
    "&": ("“&” is not read as and", "write and, as in with snorkel and fins"),
    "[": ("only round brackets have a meaning", "as in 200 (50 drill / 50 swim)"),
    "{": ("only round brackets have a meaning", "as in 200 (50 drill / 50 swim)"),
    "'": ("a cue stands in double quotes", 'as in "same roll"'),
    "‘": ("a cue stands in double quotes", 'as in "same roll"'),
    ":": ("a colon stands inside a time, or after the groups at the beginning of a line", "as in 1:40 or A: 4 x 100"),
    "?": (
        "“?” has no meaning in a plan",
        "what is open is open to the swimmers too: settle it, or write 1 to 3 rounds",
    ),
}
_CHARACTERS.update(dict.fromkeys("✕✖⨯", _CHARACTERS["*"]))


def _strange(piece: str, at: int, end: int, text: str, before: str | None) -> Mistake:
    """What is neither a word nor a number."""
    if piece[0] in "0123456789":
        return _glued(piece, at, end)
    rest = text[end:].strip()
    if piece == "@":
        return _at_sign(at, end, text)
    if piece in '"“„”':
        return Mistake(
            at,
            len(text.rstrip()),
            "a cue's quote is left open",
            f"close it with {'”' if piece != chr(34) else piece} at its end",
        )
    if piece == ":" and before in ("REST", "ON", "HOLD"):
        word = before.lower()
        if rest:
            return Mistake(at, end, f"no colon stands after “{word}”", f"write {word} {rest}")
        return Mistake(at, end, f"“{word}” needs its time", f"as in {DETAILS[word]}")
    if piece == ":" and before == "ROUNDS":
        return Mistake(at, end, "no colon stands after rounds", "leave it out; what is swum is indented below")
    if before is None and piece in "*•·—‣◦":
        return Mistake(at, end, "a line has no mark in front of it", f"write {rest}" if rest else LINE_EXAMPLE)
    if piece.isdigit() or piece.isnumeric():
        return Mistake(at, end, f"“{piece}” is not one of the digits 0 to 9", "type it again with ordinary digits")
    message, hint = _CHARACTERS.get(
        piece, (f"“{piece}” has no meaning in a plan", "a note in words is a cue: put it in quotes")
    )
    return Mistake(at, end, message, hint)


def _at_sign(at: int, end: int, text: str) -> Mistake:
    """`@ 1:40`, `@ 40`: the sign, and what stands behind it."""
    if word := _WORD_NEXT.match(text, end):
        meant = SYNONYMS.get(word[1].casefold(), word[1])
        if LINE_WORDS.get(meant.casefold(), ("",))[0] == "EFFORT":
            return Mistake(at, word.end(), "no “@” stands in front of an effort", f"write {meant}")
    match = _TIMED.match(text, end)
    value = _meant_time(match[1]) if match else ""
    if not value:
        return Mistake(
            at, end, "“@” can mean an interval or a pace", "as in on 1:40 for the interval, hold 1:40 for the pace"
        )
    return Mistake(
        at,
        match.end(),
        "“@” can mean an interval or a pace",
        f"write on {value} for the interval, hold {value} for the pace",
    )


def _meant_time(said: str) -> str:
    """What is probably meant by a time without a colon, `40` and `140` too; "" where nothing is."""
    if said.casefold().startswith("base"):
        return said
    if said.isdigit() and len(said) == 3 and int(said[1:]) < 60:
        return f"{said[0]}:{said[1:]}"
    try:
        return text_from_ms(int(said) * SECOND_MS if said.isdigit() and len(said) < 4 else ms_from_text(said))
    except BadTime as bad:
        found = re.search(r"[0-9]+:[0-9]{2}\b", bad.hint)
        return found[0] if found else ""


def _glued(piece: str, at: int, end: int) -> Mistake:
    """A number and letters without a space: `200m`, `50k`, `0n`."""
    if match := re.fullmatch(r"([0-9]+)([^\W\d_]+)", piece):
        number, rest = match.groups()
        if rest.casefold() in UNITS:
            return Mistake(at, end, "distances are in the pool's unit, which is not repeated", f"write {number}")
        if rest.casefold() in LINE_WORDS and not piece.startswith("0"):
            return Mistake(at, end, f"a space is missing in “{piece}”", f"write {number} {rest}")
    return Mistake(at, end, f"“{piece}” is neither a number nor a word", _perhaps(piece) or LINE_EXAMPLE)
