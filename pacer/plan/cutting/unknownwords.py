"""What can be wrong with single words and characters of a line, and what was probably meant."""

from __future__ import annotations

import re

from pacer.language import either, tr
from pacer.plan.cutting.askedwords import asked, meant_time, off, out_of_ten, percent, quoted
from pacer.plan.cutting.atsign import TIMED, WORD_NEXT, at_sign
from pacer.plan.cutting.ordermistakes import LINE_EXAMPLE, SECTION_EXAMPLES, Misspelt, Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.cutting.wordsfirst import NOTED
from pacer.plan.problem import Edit
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import GEAR_SAID, LEAST_LENGTH, OUT_OF_TEN, TITLED, WORK
from pacer.plan.words.vocabulary import (
    DETAILS,
    GEAR_WORDS,
    LINE_WORDS,
    SECTION_WORDS,
    UNITS,
    near,
)

#: Words before the one that they should follow: `fist drill`.
NAME_FIRST = regex(
    r"((?:(?!(?:then|and|to|with|w|on|or|from|first|last|final)\b)(?:[^\W\d_]+(?:['’\-‑]\w+)*|(?:[0-9]+-){2,}[0-9]+)\s+){1,5}?)(drill|scull)s?(?![\w'’-])",
    re.IGNORECASE,
)
#: Gear not to wear: `w/o fins`, `no fins`.
NO_GEAR = regex(
    rf"(?:w\s*/\s*o|without|no)\s+(?:{GEAR_SAID})(?:\s+(?:and|or)\s+(?:{GEAR_SAID}))*(?![\w'’-])", re.IGNORECASE
)
_WORK_SAID = tuple(
    said for said, (type_, _) in LINE_WORDS.items() if type_ in WORK and len(said) > 3 and said != "loose"
)


#: Words that only look like another word.
_NOTHING_NEAR = frozenset({
    "thru", "through", "after", "resist", "depending", "in", "to", "at", "of", "it", "is", "if", "the", "them",
    "this", "that", "they", "their", "there", "not", "your", "you", "are",
})  # fmt: skip


def near_work(piece: str) -> str:
    """The activity, stroke or effort that a word clearly means, or ""."""
    meant = near(piece, _WORK_SAID, 0.8)
    return _full(meant) if meant else ""


def near_word(piece: str) -> str:
    """The word of a set that was probably meant, or "". Words of one or two letters resemble too many others."""
    if piece.casefold() in _NOTHING_NEAR:
        return ""
    meant = near(piece, tuple(word for word in LINE_WORDS if len(word) > 2), 0.7 if len(piece) < 6 else 0.8)
    alike = meant[:1] == piece[:1].casefold() or bool(meant) and near(piece, (meant,), 0.85) == meant
    return meant if alike else ""


def _full(said: str) -> str:
    """A word for work in the notation's spelling."""
    return str(LINE_WORDS[said.casefold()][1])


_OF_SECTION = regex(r"(?:if\s+time|at\s+most|run\s+on|optional)(?![\w'’-])", re.IGNORECASE)


def unknown(piece: str, at: int, end: int, tokens: list[Token], section: bool, text: str) -> Mistake:
    """The mistake or the question about a word that is not in the notation."""
    if section:
        meant, message = near(piece, tuple(SECTION_WORDS)), tr("“{piece}” is not a detail of a section", piece=piece)
        if meant:
            return Misspelt(at, end, message, meant, Edit(at, end, meant))
        return Mistake(at, end, message, SECTION_EXAMPLES)
    fold = piece.casefold()
    if question := asked(text, at):
        return question
    cue = quoted(text, at, end)
    if not tokens and (half := re.compile(r"half\s+a\s+(?:length|lap)(?![\w'’-])", re.IGNORECASE).match(text, at)):
        edits = [Edit(at, half.end(), f"1 x {each}") for each in (12, 15, 25)]
        return Mistake(at, half.end(), tr("how far is half a length?"), tr("write “1 x 12” for 12 m"), *edits)
    if not tokens:
        meant = "" if fold in _NOTHING_NEAR else near(piece, ("rest", "rounds"))
        message = tr("a set starts with a number: how many, or how far")
        if meant:
            return Misspelt(at, end, message, meant, Edit(at, end, meant))
        return Mistake(at, end, message, LINE_EXAMPLE)
    if fold in UNITS:
        out = Edit(at, end, "", tr("without {piece}", piece=piece))
        return Mistake(
            at, end, tr("distances are in the pool's unit; do not repeat it"), tr("leave {piece} out", piece=piece), out
        )
    if fold.startswith("1-") and re.search(r"\s2-[^\W\d]", text[end:]):  # 1-pull 2-neg split
        return Mistake(
            at, end, tr("don't know “{piece}”", piece=piece), tr("put it in quotes if it is for the swimmers"), cue
        )
    before = tokens[-1]
    if fold in ("thru", "through") and before.type == "_X":  # 2x thru - 4 x 50
        until = re.compile(r"\s*[-–:,]?\s*").match(text, end)
        out = Edit(at, until.end() if until else end, "", tr("without “{piece}”", piece=piece))
        return Mistake(at, end, tr("rounds need no “{piece}”", piece=piece), tr("leave {piece} out", piece=piece), out)
    if detail := _OF_SECTION.match(text, at):
        end, cue = detail.end(), quoted(text, at, detail.end())
        return Mistake(
            at,
            end,
            tr("“{detail}” belongs to a section", detail=detail[0]),
            tr("write it after the section's name, such as “Main set, if time”"),
            cue,
        )
    if fold == "in" and (grade := asked(text, end + len(text[end:]) - len(text[end:].lstrip()))):
        return grade
    if fold == "between" or fold == "only" and before.type == "GEAR":
        leave_out = Edit(at, end, "", tr("without {piece}", piece=piece))
        return Mistake(
            at, end, tr("don't know “{piece}”", piece=piece), tr("leave {piece} out", piece=piece), leave_out, cue
        )
    if look := re.compile(r"[lIoO](:[0-9]{2})(?![\w:])").match(text, at):
        meant, end = f"{'0' if look[0][0] in 'oO' else '1'}{look[1]}", look.end()
        return Mistake(
            at,
            end,
            tr("“{look}” begins with a letter", look=look[0]),
            tr("did you mean {meant}?", meant=meant),
            Edit(at, end, meant),
        )
    if fold in ("at", "in", "make") and (
        found := re.compile(r"\s+([0-9]+\s?(?:[-–]\s?[0-9]+\s?)?(?:%|per\s?cent\b))").match(text, end)
    ):
        return percent(text, found[1], found.start(1), found.end())
    behind = end + len(text[end:]) - len(text[end:].lstrip())
    if fold in ("at", "in", "effort") and (ten := OUT_OF_TEN.match(text, behind)):
        return out_of_ten(text, behind, ten.end(), int(ten["grade"]))
    if fold in ("at", "in") and (grade := asked(text, behind)):
        return grade
    if fold == "ish":
        return Mistake(
            at, end, tr("a time is exact"), tr("leave “ish” out"), Edit(at, end, "", tr("without “ish”")), cue
        )
    if fold in ("at", "in", "make") and (time := re.compile(r"\s+(:?[0-9][0-9:.]*)(?![0-9%])").match(text, end)):
        said = meant_time(time[1]) or time[1]
        ways = ["on", "hold"] if fold == "at" else ["hold", "on"]
        edits = [Edit(at, time.end(), f"{way} {said}") for way in ways]
        return Mistake(
            at,
            time.end(),
            tr("is this the interval or the time to swim?"),
            tr("write “on {said}” or “hold {said}”", said=said),
            *edits,
            cue,
        )
    counted = [token.type for token in tokens[-2:]] == ["_X", "NUMBER"]  # 1 x 50 off something
    if fold == "off" and not (counted and not re.match(r"\s*(?:the\s+)?:?[0-9]", text[end:])):
        return off(text, at, end, before)
    if before.type in ("ON", "REST", "HOLD"):
        return Mistake(
            at,
            end,
            tr("“{before}” needs its time", before=before.text),
            tr("such as “{detail}”", detail=DETAILS[before.type.lower()]),
            quoted(text, before.start, end),
        )
    first = tokens[0]
    counts = [token.type for token in tokens] in (["NUMBER"], ["NUMBER", "_X"])  # 10 bobs, 10 x bobs
    if counts and 0 < first.value < LEAST_LENGTH and not near_work(piece) and '"' not in text:
        whole = " ".join(text[first.start :].split())
        note = Edit(first.start, len(text.rstrip()), f'"{whole}"', NOTED)
        return Mistake(
            at,
            end,
            tr("don't know “{piece}”", piece=piece),
            tr("put it in quotes if it is for the swimmers"),
            note,
            cue,
        )
    named = re.match(r"[0-9]+-[^\W\d]+", piece) and before.type in ("NUMBER", *WORK)  # 12-kick roll
    if named and WORD_NEXT.match(text, end):
        message, hint = tr("don't know “{piece}”", piece=piece), tr("put it in quotes if it is for the swimmers")
        return Mistake(at, end, message, hint, Edit(at, at, "drill ", f"drill {piece}"), cue)
    meant = "" if fold in _NOTHING_NEAR else near_work(piece) or near_word(piece)
    if (
        fold not in _NOTHING_NEAR and (before.type == "TIME" or TIMED.match(text, end)) and near(piece, ("rest",), 0.8)
    ):  # 20 sec rset, rst 0:15
        meant = "rest"
    if meant == "base" and not re.match(r"\s*(?:pace\s*)?[+\d-]", text[end:]):  # bags packed
        meant = ""
    if meant in LINE_WORDS and LINE_WORDS[meant][0] in WORK:
        meant = _full(meant)
    if not meant and fold not in _NOTHING_NEAR and (gear := near(piece, tuple(GEAR_WORDS), 0.75)):
        meant = f"with {GEAR_WORDS[gear]}"
        return Misspelt(at, end, tr("don't know “{piece}”", piece=piece), meant, Edit(at, end, meant), cue)
    if meant and fold != "without":  # the opposite is not meant
        message, example = tr("don't know “{piece}”", piece=piece), DETAILS.get(meant, "")
        return Misspelt(at, end, message, meant, Edit(at, end, meant), cue, detail=example)
    said = text[at:].rstrip()
    if piece[:1].isupper() and re.search(r"[.!?]\s+$", text[:at]) and not re.search(r"\d\s*[x×]|[\"“”]", said):
        cue = Edit(len(text[:at].rstrip(" .")), len(text.rstrip()), f' "{said}"', f"“{said}”")  # a new sentence
    person = [_whole(text, at, cue)] if TITLED.match(piece) and tokens[-1].type == "_COMMA" else []  # Ben on 1:10
    return Mistake(
        at, end, tr("don't know “{piece}”", piece=piece), tr("put it in quotes if it is for the swimmers"), *person, cue
    )


def _whole(text: str, at: int, cue: Edit) -> Edit:
    """The edit that quotes all that is said of one swimmer, up to the next mark."""
    last = next((place for place in range(at, len(text)) if text[place] in ',;()[]{}"“”#'), len(text))
    said = " ".join(text[at:last].split())
    return Edit(cue.start, at + len(text[at:last].rstrip()), f' "{said}"', f"“{said}”")


#: Message and hint for single characters that coaches write by mistake.
_CHARACTERS = {
    "'": (tr("put a cue in double quotes"), tr('such as "same roll"')),
    "‘": (tr("put a cue in double quotes"), tr('such as "same roll"')),
    "?": (
        tr("“?” has no meaning in a plan"),
        tr("decide which, or write “1 to 3 rounds”"),
    ),
}


def strange(piece: str, at: int, end: int, text: str, before: str | None) -> Mistake:
    """The mistake about something that is neither a word nor a number."""
    if piece[0] in "0123456789":
        return _glued(piece, at, end, text)
    rest = text[end:].strip()
    if piece == "=" and before and re.fullmatch(r"[0-9][0-9,.]*\s*m?", rest):  # what all of it comes to
        message, hint = (
            tr("“{piece}” has no meaning in a plan", piece=piece),
            tr("put it in quotes if it is for the swimmers"),
        )
        return Mistake(at, end, message, hint, quoted(text, at, len(text.rstrip())))
    if piece == "@":
        return at_sign(at, end, text)
    if piece in '"“„”':
        mark = "”" if piece != '"' else piece
        last = len(text.rstrip())
        return Mistake(
            at,
            last,
            tr("this quote is not closed"),
            tr("close it with {mark} at its end", mark=mark),
            Edit(last, last, mark, tr("close it with {mark}", mark=mark)),
        )
    if before is None and piece in "*•·—‣◦":
        hint = tr("write {rest}", rest=rest) if rest else LINE_EXAMPLE
        out = (
            [Edit(at, end + len(text[end:]) - len(text[end:].lstrip()), "", tr("without “{piece}”", piece=piece))]
            if rest
            else []
        )
        return Mistake(at, end, tr("a set has no mark in front of it"), hint, *out)
    if piece.isdigit() or piece.isnumeric():
        return Mistake(
            at,
            end,
            tr("“{piece}” is not one of the digits 0 to 9", piece=piece),
            tr("type it again with ordinary digits"),
        )
    message, hint = _CHARACTERS.get(
        piece, (tr("“{piece}” has no meaning in a plan", piece=piece), tr("put it in quotes if it is for the swimmers"))
    )
    gap = 1 if text[end : end + 1] == " " else 0
    return Mistake(
        at, end, message, hint, Edit(at, end + gap, "", tr("without “{piece}”", piece=piece)), quoted(text, at, end)
    )


#: What can come right after a number and is not a word there: `3rd`, `2w` for widths.
_ENDINGS = frozenset({"st", "nd", "rd", "th", "w"})


def _glued(piece: str, at: int, end: int, text: str) -> Mistake:
    """A number and letters without a space: `5O`, `50k`, `0n`."""
    match = re.fullmatch(r"([0-9]+)([^\W\d_]+)", piece)
    ends = match is not None and match[2].casefold() in _ENDINGS
    if match and not ends:
        number, rest = match.groups()
        if rest in "kK" and int(number) < LEAST_LENGTH:  # 10k
            ways = [f"{number}000", f"{number} kick"]
            edits = [Edit(at, end, way) for way in ways]
            return Mistake(
                at,
                end,
                tr("is “{piece}” {number},000, or kick?", piece=piece, number=number),
                tr("write {ways}", ways=either(ways)),
                *edits,
            )
        if rest.casefold() in LINE_WORDS and not piece.startswith("0"):
            return Mistake(
                at,
                end,
                tr("a space is missing in “{piece}”", piece=piece),
                tr("write {number} {rest}", number=number, rest=rest),
                Edit(at, end, f"{number} {rest}"),
            )
    look = piece.translate(str.maketrans("oOlI|", "00111"))
    if look.isdigit():
        message = tr("“{piece}” is neither a number nor a word", piece=piece)
        return Misspelt(at, end, message, look, Edit(at, end, look))
    meant = "" if ends else near(piece, tuple(LINE_WORDS))
    message, cue = tr("“{piece}” is neither a number nor a word", piece=piece), quoted(text, at, end)
    if meant:
        return Misspelt(at, end, message, meant, Edit(at, end, meant), cue, detail=DETAILS.get(meant, ""))
    return Mistake(at, end, message, LINE_EXAMPLE, cue)
