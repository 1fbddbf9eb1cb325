"""Cleans a pasted page of everything but its words: typographic signs, bullets, marks of mails and chats, totals."""

from __future__ import annotations

import re
import unicodedata
from itertools import pairwise

from pacer.plan.filetext import lines_of
from pacer.plan.notation.pagelines import SPACES
from pacer.plan.pasted.pastedline import PastedLine, Total
from pacer.plan.regex import regex

TAB = 4  #: columns
LEAST_SESSION = 1_000  #: the least distance of a whole session
LEAST_TOTAL = 100  #: a smaller bare number in the margin is not a total

_FRACTIONS = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4"}
_DECIMALS = {"½": ".5", "¼": ".25", "¾": ".75"}
_SIGNS = str.maketrans(
    {
        **dict.fromkeys("‐‑‒–—―−➖", "-"),
        **dict.fromkeys("‘’‚‛`´", "'"),
        **dict.fromkeys("•·‣▪◦●○■□➤➢►▶☐☑☒✓✔✅", "•"),
        **dict.fromkeys("⎫⎬⎭❵", "}"),
        **dict.fromkeys("⎤⎥⎦", "]"),
        **dict.fromkeys("⎧⎨⎩", "{"),
        **dict.fromkeys("⎡⎢⎣", "["),
        **dict.fromkeys("✕✖⨯хХ", "x"),
        "…": "...",
        "\u2044": "/",
    }
)
_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}
_CHAT = regex(
    r"\[?\d{1,4}[./-]\d{1,2}(?:[./-]\d{2,4})?,?\s+\d{1,2}[:.]\d{2}(?:[:.]\d{2})?\s*(?:[ap]m)?\]?\s*(?:-\s*)?[^:\d]{1,40}:\s*",
    re.IGNORECASE,
)
_QUOTED = regex(r"(?:>\s?)+")
_HEADING = regex(r"#{1,6}\s+")
_STRONG = regex(r"(\*\*|__|\*|_)(?=\S)(.+?)(?<=\S)\1:?")
#: `== Main ==`
_FRAMED = regex(r"[=~_*-]{2,}\s*(\w(?:.*\w)?[:.]?)\s*[=~_*-]{2,}")
_BULLET = regex(r"(?:[-*•>~]+|\(?\d{1,2}[.)]|\(?[a-h][.)]|\(?[A-H]\))\s+(?=\S)|•(?=\S)|\d{1,2}\)(?=\S)")
_BETWEEN = regex(r"(?<![\w/])b/w(?=n?(?:\s|$))n?", re.IGNORECASE)
#: `4 x 100 o 1.30`: on.
_ON = regex(r"(?<=[\w)]\s)o(?=\s+\d{0,2}[.:][0-5]\d\b)")
_RULE = regex(r"[-=_*~.\s]{3,}")

_NUMBER = r"~?(\d{1,2}[,. ]\d{3}|\d{2,5})\s*(?:m|mtrs?|met(?:re|er)s?|yd?s?|yards?)?(?:\s+all|\s?ish)?"
_KILO = r"(\d{1,2}(?:[.,]\d{1,2})?)\s*k(?:m|ms)?"
_EQUALS = regex(rf"\s*(?:=|->|→|=>)\s*(?:total\s*:?\s*)?{_NUMBER}\s*(?:total)?\s*$", re.IGNORECASE)
#: `100 down.  1850m, enough`, `2 lengths easy.    900 ish for L1`
_LAST_TOTAL = regex(
    rf"(?:(?<=[.!])\s+|\s{{3,}})(?:{_NUMBER}|{_KILO}(?<=[km]))\s*(?:ish)?[\s,]*(?P<words>for\s+(?:l|lane|ln)\s?\d|enough|all|in\s+all)?[.!]*\s*$",
    re.IGNORECASE,
)
#: `200 => 3.8k`, `400 choice    2.26K`, `200 = 2700 (l1)`
_SAID_KILO = regex(rf"(?:\s*(?:=>|=|->|→)\s*|\s{{2,}})~?{_KILO}(?<=[km])\.?\s*$", re.IGNORECASE)
_TOTAL_OF = regex(rf"\s*=\s*{_NUMBER}\s*\(((?:l|lane\s*|ln\s*|group\s*|gp\s*)\w{{1,2}})\)\s*$", re.IGNORECASE)
#: `300 wd -- 2600 tot`
_SAID_TOTAL = regex(rf"(?:\s+|\s*[-–—]+\s*){_NUMBER}\s*m?\s*(?:tot|total|in\s+total|altogether)\.?\s*$", re.IGNORECASE)
_BRACKETS = regex(rf"\s*[(\[]\s*(?:=|total\s*:?|tot\.?)?\s*{_NUMBER}\s*(?:total)?\s*[)\]]\s*:?\s*$", re.IGNORECASE)
_GAP = r"(?:\t\s*|\s{3,}|\s*\|\s*|\s*\.{3,}\s*)"
_MARGIN = regex(rf"{_GAP}{_NUMBER}\s*\|?\s*$", re.IGNORECASE)
#: A running total in the left margin: `600|  200 free …`.
_LEFT_OF_IT = regex(r"(?:\d{3,5}\s*\([^)]*\)\s*)?(\d{3,5})\s*\|\s*")
#: Numbers for one lane after the other.
_IN_COLUMNS = regex(r"\d{2,5}(?:\s{2,}\d{2,5}){2,}\s*$")
#: More than one total: `(300 / 1100)`, `1550/1550/1450`, `4.7 / 4.3 / 3.5`; the last of two is the running one.
_SEVERAL = regex(rf"{_GAP}\(?\s*(?P<all>\d{{3,5}}(?:\s*/\s*\d{{3,5}})+|\d\.\d(?:\s*/\s*\d\.\d)+)\s*\)?\s*$")
_PAIRED = regex(r"(?:\t\s*|\s{2,})\(?\s*(?P<all>\d{3,5}\s*/\s*\d{3,5})\s*\)?\s*$")
#: A total with words after it: `= 3800 (4000 w/ dives)`, `~3.5k (gr1)`, `~ 2400 top lanes`, `c. 3600`.
_WORDED = regex(
    rf"(?:{_GAP}|\s{{2,}})(?:=|~|≈|c\.|ca\.?|approx\.?|about|total\s*:?)\s*(?:{_NUMBER}|{_KILO})\s*"
    r"(?P<words>\([^()]*\)|(?:for\s+)?(?:the\s+)?"
    r"(?:top|bottom|fast|slow|middle|lanes?|groups?|gr|L\d|[A-D]\b)[\w \d]*)?"
    r"\s*$",
    re.IGNORECASE,
)
#: Totals of lanes, and a total with another one in brackets: `tot 1900 / 1750`, `7100 (B 6700)`.
_OF_LANES = regex(
    rf"{_GAP}(?:tot(?:al)?s?\.?\s*:?\s*(?P<all>\d{{3,5}}(?:\s*/\s*\d{{3,5}})+)|(?P<one>\d{{3,5}})\s*\((?P<words>[^()]*\d{{3,5}}[^()]*)\))\s*$",
    re.IGNORECASE,
)
#: Thousands: `2.6k`, and `1.8` after dots.
_KILOS = regex(r"(?:(?:\t\s*|\s{3,}|\s*\.{3,}\s*)~?(\d{1,2}(?:\.\d{1,2})?)\s*k(?:m|ms)?|\s*\.{3,}\s*(\d\.\d{1,2}))\s*$")
#: An account of the distances: `(650 x 3 = 1950)`.
_ACCOUNT = regex(r"[(\[]?\s*[\d\s]+(?:[x×+*-]\s*[\d\s]+)+=\s*(\d{2,5})\s*[)\]]?(?:\s+(\d{3,5}))?")
_ALONE = regex(
    rf"(?:(?P<of>(?:sub|set|section|session|running|grand|overall|whole)?[\s-]*tot(?:al)?\.?)\s*(?:distance)?\s*[:=-]?\s*(?:approx\.?\s*|ca\.?\s*|about\s*)?"
    rf"(?:{_NUMBER}|{_KILO})(?:ish)?|{_NUMBER}\s+(?P<behind>(?:sub\s*)?total))\s*[.!+]?\s*$",
    re.IGNORECASE,
)


def page_of(text: str) -> list[PastedLine]:
    """The lines of a page, each without anything that is not one of its words."""
    made = [_pasted_line(number, line) for number, line in enumerate(lines_of(text.removeprefix("\ufeff")), start=1)]
    for above, below in pairwise(made):
        if above.text and _RULE.fullmatch(below.text or " ") and below.text and not above.text[0].isdigit():
            above.marked = above.marked or below.written.strip()[:1] in "=-_"
    return made


def _pasted_line(number: int, written: str) -> PastedLine:
    """A line with plain signs, and without bullets and marks in front of it."""
    line = plain(written)
    line = _CHAT.sub("", line, count=1) if _CHAT.match(line) else line
    line = _QUOTED.sub("", line, count=1) if _QUOTED.match(line) else line
    lead = line[: len(line) - len(line.lstrip())]
    indent, text = len(lead.expandtabs(TAB)), line.strip()
    if is_rule(text):
        return PastedLine(number, written, text, indent)
    marked = bool(_HEADING.match(text))
    text = _HEADING.sub("", text, count=1)
    if framed := _FRAMED.fullmatch(text):
        text, marked = framed[1], True
    marked = marked or bool(_STRONG.fullmatch(text))
    bullet = _BULLET.match(text)
    if bullet and not marked:
        indent, text = indent + bullet.end(), text[bullet.end() :]
        marked = bool(_STRONG.fullmatch(text))
    text = _STRONG.sub(lambda strong: strong[0].strip("*_").replace(strong[1], ""), text)
    text = re.sub(r"\s*\.{2,}$", "", text.replace("\t", "  ").strip())
    text = _ON.sub("on", _BETWEEN.sub("between", text))
    return PastedLine(number, written, text, indent, marked)


def is_rule(text: str) -> bool:
    """Whether a text is a drawn line."""
    return len(text) > 2 and bool(_RULE.fullmatch(text))


def visible(line: str) -> str:
    """A line without invisible characters: soft hyphens, direction marks, byte order marks."""
    line = SPACES.sub(" ", line)
    return line if line.isascii() else "".join(sign for sign in line if unicodedata.category(sign) != "Cf")


def plain(line: str) -> str:
    """A line with only the characters of a keyboard, without pictures and invisible characters.

    >>> plain("1️⃣ 4×100 – “long” 1½ min 😀"), plain("33⅓ m")
    ('1. 4×100 - “long” 1.5 min ', '33 1/3 m')
    """
    line = SPACES.sub(" ", line)
    if line.isascii():
        return "".join(character for character in line if character == "\t" or character >= " ")
    line = re.sub("^(\\s*\\d)\ufe0f?\u20e3", r"\1.", line).translate(_SIGNS).translate(_FULL_WIDTH)
    line = re.sub(r"\s*↓\s*(?=#?\d|$)", " desc ", line)
    line = re.sub(r"(?<=\d)\s*[→➔➜⇒]\s*(?=\d)", "-", line)
    line = re.sub(r"(\d)\s?([½¼¾])(?!\s*m\s*pool)", lambda found: found[1] + _DECIMALS[found[2]], line)
    line = re.sub(r"(\d)?\s?([½⅓⅔¼¾])", _fraction, line)
    return "".join(character for character in line if character in "\t•′″" or not _is_picture(character))


def _fraction(found: re.Match) -> str:
    if found[1]:
        return f"{found[1]} {_FRACTIONS[found[2]]}"
    return f"0{_DECIMALS[found[2]]}" if found[2] in _DECIMALS else _FRACTIONS[found[2]]


def _is_picture(character: str) -> bool:
    return unicodedata.category(character) in ("So", "Sk", "Cs", "Cf", "Cc", "Co", "Cn", "Mn", "Me") and not (
        character.isalnum()
    )


# ---- totals


def total_beside_total(line: str) -> bool:
    """Whether a line ends with its own total and the running one: `400 / 2900`."""
    return bool(_SEVERAL.search(plain(line).rstrip()))


def take_total(pasted: PastedLine, paired: bool = False) -> None:
    """Remove a total from the end of a line; a line that is only a total keeps no text.

    `paired`: the page has pairs of totals, which a smaller gap may separate from their lines.
    """
    if match := _ALONE.fullmatch(pasted.text):
        said = (match["of"] or match["behind"] or "").casefold().replace(" ", "")
        of = (
            "section" if said.startswith(("sub", "set", "section")) else "" if said.startswith("running") else "session"
        )
        groups = [group for group in match.groups() if group and group not in (match["of"], match["behind"])]
        pasted.total, pasted.text = Total(_distance(groups[0], match), of), ""
        return
    line = plain(pasted.written).rstrip()
    if match := _LEFT_OF_IT.match(pasted.text):
        pasted.total, pasted.text = Total(int(match[1])), pasted.text[match.end() :]
        return
    if match := _ACCOUNT.fullmatch(pasted.text):
        pasted.total, pasted.text = Total(int(match[2] or match[1]), "" if match[2] else "section"), ""
        return
    if (match := _WORDED.search(line)) and line[: match.start()].strip():
        total = _distance(match[1] or match[2], match) if match[1] else round(float(match[2].replace(",", ".")) * 1000)
        kept = _without(pasted.text, match[0])
        if total >= LEAST_TOTAL and kept != pasted.text:
            pasted.total, pasted.text = Total(total, words=(match["words"] or "").strip(" ()")), kept
            return
    if (match := _OF_LANES.search(line)) and line[: match.start()].strip():
        kept = _without(pasted.text, match[0])
        if kept != pasted.text:
            first = int(re.findall(r"\d+", match["all"] or match["one"])[0])
            pasted.total = Total(first, "session", (match["words"] or match["all"]).strip())
            pasted.text = "" if re.fullmatch(r"(?:grand\s+)?tot(?:al)?s?\W*", kept, re.IGNORECASE) else kept
            return
    if (match := _IN_COLUMNS.search(line)) and line[: match.start()].strip():
        totals = list(map(int, match[0].split()))
        if min(totals) >= LEAST_SESSION:
            pasted.text = _without(pasted.text, match[0])
            pasted.total = Total(totals[0], "session", " / ".join(map(str, totals)))
            return
    for pattern in (_PAIRED if paired else _SEVERAL, _KILOS):
        if (match := pattern.search(line)) and line[: match.start()].strip():
            numbers = re.findall(r"\d+(?:\.\d+)?", match[0])
            number = numbers[-1] if pattern is _KILOS or len(numbers) == 2 and "(" in match[0] else numbers[0]
            pasted.total = Total(round(float(number) * (1000 if "." in number or "k" in match[0].casefold() else 1)))
            pasted.text = _without(pasted.text, match[0])
            return
    if (match := _LAST_TOTAL.search(pasted.text)) and pasted.text[: match.start()].strip():
        distance = _whole(match[1]) if match[1] else round(1000 * float(match[2].replace(",", ".")))
        if distance >= LEAST_SESSION:
            words = (match["words"] or "").strip(" ,.()")
            pasted.text, pasted.total = pasted.text[: match.start()].strip(" ,"), Total(distance, "session", words)
            return
    for pattern in (_SAID_TOTAL, _SAID_KILO, _TOTAL_OF):
        if (match := pattern.search(pasted.text)) and pasted.text[: match.start()].strip():
            said = match[1]
            distance = round(1000 * float(said.replace(",", "."))) if pattern is _SAID_KILO else _whole(said)
            words = match[2] if pattern is _TOTAL_OF else ""
            pasted.text, pasted.total = pasted.text[: match.start()].strip(), Total(distance, "session", words)
            return
    for pattern in (_EQUALS, _BRACKETS):
        if match := pattern.search(pasted.text):
            if _whole(match[1]) >= (
                LEAST_TOTAL if pattern is _BRACKETS and pasted.text[: match.start()].strip() else 25
            ):
                pasted.text, pasted.total = pasted.text[: match.start()].strip(), Total(_whole(match[1]))
            return
    if _IN_COLUMNS.search(line):
        return
    if (match := _MARGIN.search(line)) and line[: match.start()].strip() and _whole(match[1]) >= LEAST_TOTAL:
        kept = _without(pasted.text, match[0])
        if kept != pasted.text:
            pasted.text, pasted.total = kept, Total(_whole(match[1]))


def _without(text: str, total: str) -> str:
    """A text without the total at its end."""
    return re.sub(rf"\s*\|?\s*{re.escape(total.strip())}\s*$", "", text).strip(" |\t.")


def _whole(said: str) -> int:
    return int(re.sub(r"[,. ]", "", said))


def _distance(said: str, match: re.Match) -> int:
    if re.search(r"\d\s*k(?:m|ms)?\s*[.!]?\s*$", match[0], re.IGNORECASE):
        return round(float(said.replace(",", ".")) * 1000)
    return _whole(said)
