"""Checks that everything in a written line was read: each number, and each word or what it means.

`accounting.toml` says which words may be left out and where; it comes from the trade's usage and not from the app's
vocabulary.
"""

from __future__ import annotations

import random
import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

_NUMBERS = "one two three four five six seven eight nine ten eleven twelve"

_DATA = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
_EFFORT = (
    r"(?:easy|gentle|slow|recovery|steady|mod(?:erate)?|aerobic|cruise|css|threshold|tempo|base|t|fast|hard|strong|quick"
    r"|race|sprint|max(?:imum)?|all[\s-]+out|build|%|percent)"
)
FILLERS = frozenset(_DATA["fillers"].split())
BECOMES: dict[str, list[str]] = {}
for _meant, _words in _DATA["becomes"].items():
    for _word in _words.split():
        BECOMES.setdefault(_word, []).append(_meant)
ONLY_IN = {
    _word: re.compile(_place.replace("EFFORT", _EFFORT), re.IGNORECASE) for _word, _place in _DATA["places"].items()
}
_INITIALS = {"s": {"swim", "free"}, "k": {"kick"}, "p": {"pull"}, "d": {"drill"}}
NUMBER_WORDS = {word: number for number, word in enumerate(_NUMBERS.split(), start=1)} | {"twice": 2, "hundred": 100}

_TIME = re.compile(r"(?<![\d.])(?:(\d{1,2}):)?(\d{0,3}):(\d\d)(?:\.(\d{1,3}))?(?!\d|\s*[x×])")
_PRIME = re.compile(
    r"(?<![\d.])(\d{1,3})(?:['’′](?!['’])\s?(?!s\b)|m(?=\d))(\d{1,2})?(?:\"|”|″|''|’’)?|(?<![\d.])(\d{1,3})(?:\"|”|″|''|’’)"
)
_UNIT = re.compile(
    r"(\d+(?:\.\d+)?)\s*(?<!['’])(secs?|seconds?|s|mins?|minutes?|h|hrs?|hours?)\b(?!\s+strokes|/u\b)", re.IGNORECASE
)
_NUMBER = re.compile(r"(?<![\d,.])[1-9]\d?[.,]\d{3}(?!\d|,\d|,,)|\d+(?:\.\d+)?")
_BOTH = re.compile(
    r"(\d+)\s*(?:minutes?|mins?)\s*([0-5]\d|\d(?=\s*(?:seconds?|secs?|s)\b))(?:\s*(?:seconds?|secs?|s)\b)?(?!\d|\s*min)|(\d+)m([0-5]\d)(?!\d|\s*min)",
    re.IGNORECASE,
)
_ANY = re.compile(
    "|".join(re.sub(r"\((?!\?)", "(?:", each.pattern) for each in (_TIME, _BOTH, _UNIT, _PRIME, _NUMBER)), re.IGNORECASE
)
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")
_QUOTED = re.compile(r'"[^"]*"|“[^”]*”')


_TOKEN = re.compile(r"\s+|\d+|[^\W\d_]+|.", re.DOTALL)
PIECES = (
    "x", "×", "/", "-", "–", ",", "(", ")", "+", '"', "“", "#", ":", ".", "@", "'", "&", ";", "=", "%",
    "0", "1", "25", "75", "100", "1:00", ":20", "1.30",
    "on", "rest", "hold", "by", "as", "odd", "even", "then", "to", "and", "rounds", "A", "A:", "drill", "kick", "fly",
    "easy", "IM", "fins", "with", "w/", "no", "not", "without", "or", "but", "only", "last", "first", "each", "é", "４",
)  # fmt: skip


def mutated(rng: random.Random, lines: Sequence[str]) -> str:
    """A line with one to four random changes: pieces left out, doubled, moved, or taken from another line."""
    line = rng.choice(lines)
    for _ in range(rng.randint(1, 4)):
        tokens = _TOKEN.findall(line) or [" "]
        at = rng.randrange(len(tokens))
        match rng.randrange(7):
            case 0:
                del tokens[at]
            case 1:
                tokens.insert(at, rng.choice((tokens[at], f" {tokens[at]} ")))
            case 2:
                other = rng.randrange(len(tokens))
                tokens[at], tokens[other] = tokens[other], tokens[at]
            case 3:
                tokens[at] = rng.choice(_TOKEN.findall(rng.choice(lines)))
            case 4:
                tokens.insert(at, f" {rng.choice(PIECES)} ")
            case 5:
                tokens[at] = rng.choice(PIECES)
            case _:
                whole = "".join(tokens)
                place = rng.randrange(len(whole)) if whole else 0
                tokens = [whole[:place], rng.choice(("", whole[place : place + 1] * 2)), whole[place + 1 :]]
        line = "".join(tokens)
    return line


def missing(written: str, canonical: str, pool: int = 25) -> list[str]:
    """The numbers and words of a line that are not in its canonical form."""
    said = canonical.casefold().replace("х", "x")
    written = re.sub(
        r"(?<![a-z])on\s*[/,]?\s*(?=[\d:]+\s*(?:s|secs?|mins?)?\s*off\b)", " ", written
    )  # 0:30 on, 0:30 off
    written = " ".join(written.replace("х", "x").split())  # another alphabet's
    written = re.sub(r"(?<!\d)(\d{1,2})\s+:\s+(?=\d\d(?!\d))", r"\1:", written)
    written = re.sub(r"(?<![a-z])b/c\b", " backcrawl", written, flags=re.IGNORECASE)
    written = re.sub(r"\b(\d{1,2})L\b", r"\1 lengths", written)  # 4L
    for _ in range(4):  # on 1.30 / 1.40
        written = re.sub(
            r"((?:(?<![a-z])(?:on|off|go|si|every|rest|ri|hold)|@)[^\n,;x×\"“]*?(?<![\d.:])\d{1,2})\.(?=([0-5]\d)(?!\d))",
            lambda found: found[0] if f"{found[1][-2:].strip()}.{found[2]}" in said else f"{found[1]}:",
            written,
            flags=re.IGNORECASE,
        )
    return _numbers_missing(written, said, pool) + _words_missing(written, said)


def _numbers_missing(written: str, said: str, pool: int) -> list[str]:
    """Numbers must be there as often as they were written, except those that others are computed from."""
    have = Counter(_values(said))
    gone = []
    for listed in re.findall(r"#?\d+(?:\s*(?:,|&|\+|and)\s*#?\d+)+(?!\d)", written):  # every fourth, one by one
        numbers = [int(number) for number in re.findall(r"\d+", listed)]
        if numbers == [numbers[0] * place for place in range(1, len(numbers) + 1)] and numbers[0] - 1 in have:
            have.update(map(float, numbers))
    for turns in re.findall(r"\bin (\d)s\b", written):
        if len(re.findall(r"(?:in turn|/) 1 ", said)) == int(turns):
            have[float(turns)] += 1
    for value, before, after in _placed(written):
        ways = [value]
        if re.match(r"\s*(?:lengths?|laps?)\b", after, re.IGNORECASE):
            ways.append(value * pool)
        if re.match(r"\s*k(?:m)?\b", after, re.IGNORECASE):
            ways.append(value * 1000)
        if 100 <= value < 1000 and re.search(r"(?:\b(?:on|rest|ri?|every|off|in|at)|@)\s*$", before, re.IGNORECASE):
            ways.append(value // 100 * 60 + value % 100)  # 145 for 1:45
        if re.search(r"every\s*$", before, re.IGNORECASE) and re.match(r"(?:st|nd|rd|th)\b", after):
            ways += [value - 1, (value - 1) * pool]  # so many otherwise, then one
        if re.search(r"(?:first|last|final|next)\s*$", before, re.IGNORECASE) and value in _spans(said):
            continue
        if value < 25 and "repeats" in said and value in _spans(said) and re.match(r"\s*[^\W\d]", after):
            continue  # 4 kick, 4 swim
        if before.endswith("#") and f"in turn {value - 1:g} " in said:
            continue  # #4 fast of four: three otherwise, then one
        if value == 1 and ("odd" in said and "even" in said or re.match(r"st\s+\d", after) and " as " in said):
            continue  # 1 fast, 1 easy
        if value == 1 and re.search(r"(?:^|\s)[x×*]\s*$", before, re.IGNORECASE):
            continue
        if value == 100 and "hold base+" in said and re.search(r"(?:per|/)\s*$", before, re.IGNORECASE):
            continue  # such a pace is per 100
        if re.search(r"each\s*$", before, re.IGNORECASE) and value in _values(said):
            continue  # build each 100
        if value == 1 and re.match(r"\s*(?:x|×|\*|by\b|times|lots|length)", after, re.IGNORECASE):
            continue  # one of them is written without a count
        found = next((way for way in ways if have[way] > 0), None)
        if found is None:
            gone.append(f"{value:g}")
        else:
            have[found] -= 1
    return gone


def _placed(text: str) -> Iterator[tuple[float, str, str]]:
    """The numbers of a text, times in seconds, each with what is written before and after it."""
    for match in _ANY.finditer(text):
        before, after = text[max(0, match.start() - 12) : match.start()], text[match.end() : match.end() + 12]
        for value in _values(match[0]):
            yield value, before, after


def _spans(said: str) -> set[int]:
    """How many repeats each range has."""
    return {int(high) - int(low) + 1 for low, high in re.findall(r"(\d+)-(\d+)", said)} | (
        {1} if "repeats" in said else set()
    )


def _values(text: str) -> list[float]:
    """The numbers of a text; times in seconds."""
    found: list[float] = []
    text = re.sub(r":(\d+)\s*(?=min|hour|h\b)", r" \1", text)  # a label's colon, and minutes

    def take(pattern: re.Pattern, value) -> None:
        nonlocal text
        for match in pattern.finditer(text):
            found.extend(value(match))
        text = pattern.sub(" ; ", text)

    take(_BOTH, lambda m: [int(m[1] or m[3]) * 60 + int(m[2] or m[4])])
    take(_TIME, lambda m: [int(m[1] or 0) * 3600 + int(m[2] or 0) * 60 + float(f"{m[3]}.{m[4] or 0}")])
    take(_UNIT, lambda m: [float(m[1]) * {"s": 1, "m": 60, "h": 3600}[m[2][0].lower()]])
    take(_PRIME, lambda m: [float(m[3])] if m[3] else [int(m[1]) * 60 + int(m[2] or 0)])
    take(_NUMBER, lambda m: [float(re.sub(r"[.,](?=\d{3}$)", "", m[0]))])
    return found


def _words_missing(written: str, said: str) -> list[str]:
    """Words that are neither in the canonical form nor mean something that is."""
    have = set(_WORD.findall(said)) | ({"-"} if re.search(r"\d - \d", said) else set())
    gone = []
    for word in _WORD.findall(written.casefold()):
        word = word.replace("’", "'").removesuffix("'s")
        word = (
            word[1:]
            if word not in have and word[1:] in have | FILLERS | set(BECOMES) | set(ONLY_IN) and word[0] == "x"
            else word
        )
        if word in have or word in NUMBER_WORDS and (str(NUMBER_WORDS[word]) in said or "length" in written):
            continue
        if re.fullmatch("[skpd]{3,5}", word) and all(_INITIALS[letter] & have for letter in word) or word == "ea":
            continue
        if word in ("pyramid", "ladder") and "-" in have:
            continue
        if word in FILLERS or have & set(BECOMES.get(word, ())):
            continue
        if word in ONLY_IN and ONLY_IN[word].search(written):
            continue
        if word.endswith("s") and word[:-1] in have or word in ("length", "lengths", "lap", "laps"):
            continue
        gone.append(word)
    return gone
