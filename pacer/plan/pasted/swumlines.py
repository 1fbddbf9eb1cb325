"""Whether a line of a pasted page is swum, goes on with the set above it, or has a set in one of its sentences."""

from __future__ import annotations

import re
from dataclasses import replace

from pacer.plan.freewords.setrewording import leads_in
from pacer.plan.layout.pagetotals import SET_LIKE
from pacer.plan.layout.pastedline import Kind, PastedLine
from pacer.plan.parts.bitkinds import Kind as Bits
from pacer.plan.parts.bits import bits_of
from pacer.plan.parts.lineinparts import surely_swum
from pacer.plan.pasted.joining import HAS_TIME, PARTS, without_marks
from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import LINE_WORDS

_COUNTED = regex(
    r"(?:\d|[:+]\d|x\s*\d+\s+\d|(?:one|two|three|four|five|six|seven|eight|nine|ten|twelve|twenty)\b)", re.IGNORECASE
)
_LEADS = {
    "pyramid",
    "ladder",
    "then",
    "do",
    "finish",
    "straight",
    "into",
    "swim",
    "free",
    "extra",
    "optional",
    "last",
    "first",
}
_WORDS_OF_WORK = {word for word, (kind, _) in LINE_WORDS.items() if kind in ("ACTIVITY", "STROKE", "EFFORT")}
_DISTANCE = regex(
    r"\b\d{2,5}\s*(?:m|mtrs?|met(?:re|er)s?|yds?|yards?|lengths?)?\b|\b\d{1,2}\s*(?:lengths?|widths?|min|x)\b|\b\d{1,2}\s?(?-i:L)\b",
    re.IGNORECASE,
)
#: A number that does not count anything to swim: `2 left, 2 right`.
_SMALL = regex(
    r"\d{1,2}\s?-\s?\d{1,2}\s+(?![xX]\b)[^\W\d](?!\s*[xX×])|\d(?!\d|\s*(?:/\s*\d|[xX×*:.,'\"″(-]|to\b|by\b|lengths?\b|widths?\b|laps?\b|m\b|min|sec|s\b|k\b|L\b|rounds?|rds|times|lots|sets|hours?|\d|(?:st|nd|rd|th)s?\s*:))",
    re.IGNORECASE,
)
_GEARED = regex(r"(?P<label>[^\W\d][^\d:]{2,40}?)\s*(?::|\s[-–])\s*(?=\d)")
_OF_GEAR = {Bits.WORK, Bits.GEAR, Bits.SAID, Bits.WITH, Bits.PLUS, Bits.LEFT, Bits.RIGHT}
_SENTENCE = regex(r"(?<=[^\W\d]{2}[.!?])\s+(?=[^\W\d])")
MOST_SENTENCES = 8
_OPENING = regex(r"[{\[]\s*(?=\d)")
LANES_FIRST = regex(
    r"(?P<lanes>(?:lanes?\s*|ln\s*|L)\d+(?:\s*(?:-|/|&|,|\+|to|and)\s*\d+)*)\s*:?\s+(?=\d)", re.IGNORECASE
)
_REST = regex(r"(?:extra\s+)?(?:rest|break|(?-i:r)\s?:?\s?\d|R\s?:?\s?(?:\d\d|:\d)|ri\s?:?\s?\d)", re.IGNORECASE)
_SHORT_REST = regex(
    r"(?:rest\s*|ri?\s*|\+\s*)?(?:0?:[0-5]\d|[1-5]?\d\s*(?:s|secs?|seconds?|''|\"))\s*(?:rest|ri?)?(?:\s+each)?(?<=[a-z\d'\"])[.!]?",
    re.IGNORECASE,
)
_REPEATED = regex(r"^\W*\d{1,2}\s*[x×*]\s*\d{2,4}(?!.*[({\[+])", re.IGNORECASE)
#: A line that begins with one of these continues the set above.
_MORE = regex(
    r"(?:@|\+|/|&)\s*\S|(?:on|every|off|leave|leaving|go|send[\s-]?off|s/o|ri|interval)\b\s*[:.@]?\s*(?:(?:on|off|every|the|a)\s+)*:?(?:\d|base|css|half|min|[A-Z]:?\s+:?\d)"
    r"|hold(?:ing)?\b(?=\W*(?:(?:sub|under|below|at|about|around|the|your|a)\s+)*(?:[\d:~<]|base|css|race|target|threshold|goal|best|form|stroke|same))"
    r"|(?:desc\w*|asc\w*|w/(?![udo]\b)|with|odds?|evens?|alternat\w*"
    r"|\#\s*\d|as|by|breathe|breathing|neg\w*|build(?:ing)?)\b\s*[:.#]?\s*\S",
    re.IGNORECASE,
)


def by_sentence(pasted: PastedLine, found: list[PastedLine]) -> list[PastedLine]:
    """A line of words with a set in one of its sentences, as lines of their own."""
    sentences = _SENTENCE.split(pasted.text) if found == [pasted] and pasted.kind is Kind.NOTE else []
    if len(sentences) < 2 or len(sentences) > MOST_SENTENCES or not any(map(surely_swum, sentences)):
        return found
    made: list[PastedLine] = []
    for said in sentences:
        kind = Kind.SET if surely_swum(said) else Kind.NOTE
        if made and made[-1].kind is kind is Kind.NOTE:
            made[-1].text += f" {said}"
        else:
            made.append(replace(pasted, text=without_marks(said), kind=kind, before=[], total=None))
    made[0].total = pasted.total
    return made


def is_set(text: str) -> bool:
    """Whether a line is swum: it counts something, and has nothing that a set does not have."""
    text = _OPENING.sub("", text, count=1)
    if _SMALL.match(text):
        return False
    if LANES_FIRST.match(text):
        return True
    if _COUNTED.match(text) and not re.match(r"\d{1,2}(?:st|nd|rd|th)\b|\d{1,2}[./]\d{1,2}[./]\d{2,4}", text):
        return True
    if leads_in(text) or SET_LIKE.search(text) or _REST.match(text) and re.search(r"\d", text):
        return True
    if re.match(r"(?:all|everyone|everybody)\s*:\s*\d", text, re.IGNORECASE):
        return True
    label = re.match(r"([^:\d]{1,24}\d?(?:\s*[-&,]\s*\d)?)\s*:(?:\s+(?=\d)|(?=\d{1,2}\s*[x×]|\d{3}))", text)
    if label and len(label[1].split()) <= 3:
        return True
    words = text.casefold().split()
    known = words[0].strip(",.:;") in _WORDS_OF_WORK | _LEADS if words else False
    return known and bool(_DISTANCE.search(text)) and not text.endswith(("!", "?"))


def work_with_gear(text: str) -> bool:
    """Whether a line has sets whose work and gear are in front of them.

    >>> work_with_gear("Kick with board: 4 x 50"), work_with_gear("Kick: 4 x 50"), work_with_gear("Sharks: 4 x 50")
    (True, False, False)
    """
    match = _GEARED.match(text)
    bits = bits_of(match["label"]) if match else ()
    kinds = {bit.kind for bit in bits}
    swum = any(bit.word in ("ACTIVITY", "STROKE") for bit in bits)
    return swum and bool(kinds & {Bits.GEAR, Bits.SAID}) and kinds <= _OF_GEAR


def goes_on(pasted: PastedLine, above: PastedLine) -> bool:
    """Whether a line continues the set above it."""
    deeper = pasted.indent > above.indent
    if pasted.text.startswith("+") and _opens(above.text) and is_set(pasted.text[1:].strip()):
        pasted.text = pasted.text[1:].strip()  # the next set inside a bracket
        return False
    if re.search(r"\binstead\b", pasted.text, re.IGNORECASE):
        return False
    if _SHORT_REST.fullmatch(pasted.text) and _REPEATED.search(above.text) and not HAS_TIME.search(above.text):
        return True  # nobody stops for 15 s after a set
    if deeper and (PARTS.match(pasted.text) or _REST.match(pasted.text) and not SET_LIKE.search(pasted.text)):
        return True
    if re.match(r"(?:odds?|evens?)\b", pasted.text, re.IGNORECASE) and not re.search(r"\d\s*[x×*]", above.text):
        return False  # one repeat is neither odd nor even
    return bool(_MORE.match(pasted.text)) and not SET_LIKE.search(pasted.text)


def _opens(text: str) -> bool:
    """Whether a text has a bracket that it doesn't close."""
    return sum(text.count(sign) for sign in "([{") > sum(text.count(sign) for sign in ")]}")
