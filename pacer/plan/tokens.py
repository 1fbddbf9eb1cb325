"""One line of a plan cut into tokens: numbers, times, words, cues.

What a word means can depend on what stands around it: `D` is drill, but a group in
`on D 1:50`; the words after `drill` are its name unless they open a detail. That is settled
here, so that the grammar sees one kind of token for each.
"""

from __future__ import annotations

import re

from pacer.plan.mistakes import LINE_EXAMPLE, Mistake
from pacer.plan.model import GEAR, MAX_SESSION_MS, Activity
from pacer.plan.times import BadTime, ms_from_text
from pacer.plan.words import DETAILS, LINE_WORDS, SECTION_WORDS, SYNONYMS, near


class Token:
    """A piece of a line: its type in the grammar, its text, what it stands for, where it is.

    `value` is an int for NUMBER, milliseconds for TIME (None where it is no time, or bare
    seconds), the text inside for CUE, the member of the enumeration for work.
    """

    __slots__ = ("type", "text", "value", "start", "end")

    def __init__(self, type: str, text: str, value: object, start: int, end: int):
        self.type, self.text, self.value, self.start, self.end = type, text, value, start, end

    def __repr__(self) -> str:
        return f"{self.type}({self.text!r})"


_PRIME = r"""(?:["”″]|''|’’)(?=[\s,/)+\#]|$)"""
_WORD = r"[^\W\d_]\w*(?:['’\-‑]\w+)*"
_AFTER_X = rf"\s|[0-9:(]|$|{_WORD}\s+[0-9]"
_PIECES = re.compile(rf"""
    (?P<space>\s+)
  | (?P<time>
        [0-9]*(?::[0-9]+)+(?:\.[0-9]+)?(?=[^0-9]|$)
      | [0-9]+\s*['’′](?!['’])(?:\s?[0-9]+(?:\.[0-9]+)?(?:{_PRIME})?)?
      | [0-9]+(?:\.[0-9]+)?{_PRIME}
      | [0-9]+(?:\.[0-9]+)?\s*(?:seconds?|secs?|s|minutes?|mins?|hours?|h)\b\.?
      | [0-9]+[.;,][0-9]+ )
  | (?P<digits>[0-9]+(?:[-‑]\w+)*[-‑][^\W\d_][\w'’-]*)
  | (?P<dashed>[0-9]+(?:-[0-9]+)+(?![^\W\d_]))
  | (?P<number>[0-9]+(?=[xX×](?:{_AFTER_X}))|[0-9]+(?![^\W\d_]))
  | (?P<times>[xX×](?={_AFTER_X}))
  | (?P<two>(?:in\s+turn|if\s+time|at\s+most|run\s+on|per\s+100|im\s+order)(?![\w-]))
  | (?P<base>base\s*\+)
  | (?P<word>{_WORD})
  | (?P<cue>"[^"]*"|[“„”][^“”]*[“”])
  | (?P<mark>[/,+()–−‒-])
  | (?P<glued>[0-9]\w*)
  | (?P<strange>.)
""", re.VERBOSE | re.IGNORECASE)

_MARKS = {"/": "_SLASH", ",": "_COMMA", "+": "_PLUS", "(": "_LEFT", ")": "_RIGHT"}
_VALUE = re.compile(r"\s*(?:[0-9:]|base\b)", re.I)
_LABELLED_VALUE = re.compile(rf"\s+(?:{_WORD}\s+)?(?:[0-9:]|base\b)", re.I)
_GEAR_WORDS = re.compile(rf"\s+({_WORD})(?:\s+({_WORD}))?")
_LATER_EVEN = re.compile(r".*/\s*even\b", re.I)
_NAMED = (Activity.DRILL, Activity.SCULL)
_BEFORE_LABEL = {None, "_X", "_SLASH", "ON", "REST", "HOLD", "ROUNDS", "_LEFT", "_PLUS"}
_NAME_ENDS = {"_SLASH", "_COMMA", "_LEFT", "_RIGHT", "_PLUS", "CUE", "_X"}
_WORK = {"ACTIVITY", "STROKE", "EFFORT", "NAME"}


def tokens_of(text: str, start: int, gear: tuple[str, ...] = (), section: bool = False) -> tuple[list[Token], list[Mistake]]:
    """The tokens of `text` from `start` on, and what is wrong with single ones.

    Stops at the first thing that is no word of the notation.
    """
    words = SECTION_WORDS if section else LINE_WORDS
    tokens: list[Token] = []
    mistakes: list[Mistake] = []
    naming = in_gear = timed = False
    before: str | None = None
    gear_words = {word.casefold() for word in (*GEAR, *gear)}

    for match in _PIECES.finditer(text, start):
        kind, piece = match.lastgroup, match[0]
        at, end = match.span()
        if kind == "space":
            continue
        value: object = None
        if kind == "dashed":
            if before in _WORK:
                kind = "digits"
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
                mistakes.append(_unknown(piece, at, end, tokens, section))
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
                mistakes.append(Mistake(at, end, "this cue is empty", "write the one thing to think of, or leave the quotes out"))
        elif kind == "base":
            type_, value = "BASE", True
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
    if before in _BEFORE_LABEL and _VALUE.match(text, end) and text[end:end + 1].isspace():
        if type_ == "NAME" or (len(piece) == 1 and piece.isupper()):
            return "LABEL", piece
    if naming:
        if type_ == "STROKE" or type_ == "EFFORT":
            return type_, value
        if type_ not in ("NAME", "ACTIVITY") and _opens(type_, text, end, gear_words):
            return type_, value
        return "NAME", piece
    if in_gear and type_ == "NAME":
        return "NAME", piece
    return type_, value


def _opens(type_: str, text: str, end: int, gear_words: set[str]) -> bool:
    """Whether a word after a drill's name opens something: its value follows."""
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
        return f"{first} {second}" in gear_words or bool(near(first, tuple(gear_words), 0.75))
    return False


def _unknown(piece: str, at: int, end: int, tokens: list[Token], section: bool) -> Mistake:
    known = SECTION_WORDS if section else LINE_WORDS
    fold = piece.casefold()
    if not tokens and not section:
        return Mistake(at, end, "a set line begins with a number: how often, or how far", LINE_EXAMPLE)
    if section:
        meant = near(piece, known)
        return Mistake(at, end, f"“{piece}” is no detail of a section",
                       f"perhaps {meant}" if meant else "details look like 3 rounds, 1 to 3 rounds, if time, for 15 min, at most 10 min, run on, easy")
    meant = SYNONYMS.get(fold) or near(piece, known)
    if SYNONYMS.get(fold) == "":
        return Mistake(at, end, "distances are in the pool's unit, which is not repeated", f"leave {piece} out")
    hint = f"perhaps {meant}" if meant else "a note in words is a cue: put it in quotes"
    if meant in DETAILS:
        hint += f", as in {DETAILS[meant]}"
    return Mistake(at, end, f"“{piece}” is not a word of the notation", hint)


def _bad_time(piece: str, at: int, end: int, bad: BadTime, before: str | None) -> Mistake:
    if before in (None, "_X", "_SLASH") and re.fullmatch(r"\d+[.,]\d+", piece):
        whole = piece.replace(",", "") if re.fullmatch(r"\d+,\d{3}", piece) else ""
        return Mistake(at, end, f"distances are whole numbers, this says {piece}", f"write {whole}" if whole else "as in 4 x 100")
    return Mistake(at, end, bad.message, bad.hint)


def _strange(piece: str, at: int, end: int, text: str, before: str | None) -> Mistake:
    if piece[0].isdigit() and piece[0].isascii():
        if match := re.fullmatch(r"(\d+)([^\W\d_]+)", piece):
            number, rest = match.groups()
            if SYNONYMS.get(rest.casefold()) == "":
                return Mistake(at, end, "distances are in the pool's unit, which is not repeated", f"write {number}")
            if rest.casefold() in LINE_WORDS:
                return Mistake(at, end, f"a space is missing in “{piece}”", f"write {number} {rest}")
        meant = near(piece, LINE_WORDS)
        hint = f"perhaps {meant}" + (f", as in {DETAILS[meant]}" if meant in DETAILS else "") if meant else LINE_EXAMPLE
        return Mistake(at, end, f"“{piece}” is neither a number nor a word", hint)
    if piece == "@":
        value = text[end:].split(",")[0].strip() or "1:40"
        return Mistake(at, end, "“@” can mean an interval or a pace", f"write on {value} for the interval, hold {value} for the pace")
    if piece in "\"“„”":
        return Mistake(at, len(text.rstrip()), "a cue's quote is left open", f"close it with {'”' if piece != chr(34) else chr(34)} at its end")
    if piece == ":" and before in ("REST", "ON", "HOLD"):
        word = before.lower()
        return Mistake(at, end, f"“{word}” needs its time", f"as in {DETAILS[word]}")
    if piece == ":":
        return Mistake(at, end, "a colon stands inside a time or after a group", "as in 1:40 or A: 4 x 100")
    if piece in "*✕✖":
        return Mistake(at, end, f"“{piece}” is not read as times", "write x, as in 4 x 100")
    if piece.isdigit():
        return Mistake(at, end, f"“{piece}” is not one of the digits 0 to 9", "type it again with ordinary digits")
    if piece == "—":
        return Mistake(at, end, "a long dash has no meaning here", "write - or –")
    if piece == ";":
        return Mistake(at, end, "details have commas between them, no semicolon", "write ,")
    return Mistake(at, end, f"“{piece}” has no meaning in a plan", "a note in words is a cue: put it in quotes")
