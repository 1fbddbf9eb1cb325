"""Checks that everything in a written line was read: each number, and each word or what it means.

Its list of words comes from the trade's usage and not from the app's vocabulary; it names what may be left out.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence

#: Words that a plan need not repeat.
_FILLERS = """
x by of the a an m mtr mtrs metre metres meter meters y yd yds yard yards and then do with w as at to in k km using
optional extra st nd rd th each every all it its are is your you per for from set sets go leave leaving going take
into times time lots half
lot min mins minute minutes sec secs second seconds s h hr hrs hour hours effort pace after one between swim swimming
straight sw finish please both st extra that so out through repeats repeat
"""
#: What a word may be read as, one meaning per line.
_BECOMES = """
free: stroke fr fc fs free freestyle crawl front frontcrawl f c fre freesytle
back: stroke bk bck bc back backstroke backcrawl ba
breast: stroke br breast breaststroke brs brest frog
fly: stroke strokes fl fly bf butterfly dolphin im medley ims imo order
im: im medley ims
order: imo order
choice: ch choice any own stroke form no number non nonfree best favourite
kick: kick kicks kicking legs flutter
pull: p pull pulling pulls arms
buoy: pull pullbuoy buoy buoys pb
drill: d drill drills drilling
descend: d dsc desc descend descending d1 getting faster
scull: scull sculling sculls
easy: e z ez easy cooldown warmup warmdown swimdown
easy: gentle relaxed slow slowly recovery loosen loose warm cool down smooth wu cd sd wd up u c d
steady: steady mod moderate ae aerobic cruise en1
threshold: threshold css tempo en2 t
base: css base
fast: fast hard strong quick quickly race rp speed
sprint: sprint sprints max maximum flat gas full afap all out
build: build building builds progressive
ascend: asc ascend ascending
odd: turn odd odds alt alternate alternating
as: alt alternate alternating reverse reversed backwards other second third fourth fifth
even: even evens other second
turn: other second third fourth fifth reverse reversed backwards
rest: rest ri r rests sr break off btw seconds recovery
on: on si s o send off sendoff interval int t turnaround every leave
hold: hold holding target aim make
rate: rate spm sr stroke
apart: apart spacing off
fins: fins flippers fin
paddles: paddles pads paddle
board: board boards float kickboard
ankle band: band
round: rd rds round rounds repeat repeats x twice
-: pyramid ladder
lane: lane lanes l
: length lengths group everyone everybody first 1st last 2nd 3rd 4th
"""
_NUMBERS = "one two three four five six seven eight nine ten eleven twelve"

FILLERS = frozenset(_FILLERS.split())
BECOMES: dict[str, list[str]] = {}
for _row in _BECOMES.strip().split("\n"):
    _meant, _, _words = _row.partition(":")
    for _word in _words.split():
        BECOMES.setdefault(_word, []).append(_meant)
NUMBER_WORDS = {word: number for number, word in enumerate(_NUMBERS.split(), start=1)} | {"twice": 2, "hundred": 100}

_TIME = re.compile(r"(?<![\d.])(?:(\d{1,2}):)?(\d{0,3}):(\d\d)(?:\.(\d{1,3}))?(?!\d|\s*[x×])")
_PRIME = re.compile(
    r"(?<![\d.])(\d{1,3})(?:['’′](?!['’])\s?(?!s\b)|m(?=\d))(\d{1,2})?(?:\"|”|″|''|’’)?|(?<![\d.])(\d{1,3})(?:\"|”|″|''|’’)"
)
_UNIT = re.compile(
    r"(\d+(?:\.\d+)?)\s*(?<!['’])(secs?|seconds?|s|mins?|minutes?|h|hours?)\b(?!\s+strokes)", re.IGNORECASE
)
_NUMBER = re.compile(r"(?<![\d,])\d{1,2},\d{3}(?!\d|,\d|,,)|\d+(?:\.\d+)?")
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
    said = canonical.casefold()
    written = re.sub(
        r"(?<![a-z])on\s*[/,]?\s*(?=[\d:]+\s*(?:s|secs?|mins?)?\s*off\b)", " ", written
    )  # 0:30 on, 0:30 off
    written = " ".join(written.replace("х", "x").split())  # another alphabet's
    written = re.sub(r"(?<!\d)(\d{1,2})\s+:\s+(?=\d\d(?!\d))", r"\1:", written)
    return _numbers_missing(written, said, pool) + _words_missing(written, said)


def _numbers_missing(written: str, said: str, pool: int) -> list[str]:
    """Numbers must be there as often as they were written, except those that others are computed from."""
    have = set(_values(said))
    lengths = bool(re.search(r"\blengths?\b", written, re.IGNORECASE))
    gone = []
    for listed in re.findall(r"\d+(?:\s*,\s*#?\d+){2,}(?!\d)", written):  # every fourth, one by one
        numbers = [int(number) for number in re.findall(r"\d+", listed)]
        if numbers == [numbers[0] * place for place in range(1, len(numbers) + 1)] and numbers[0] - 1 in have:
            have |= set(map(float, numbers))
    for value in _values(written):
        ways = {value, value * 1000, value * 60_000}
        if lengths:
            ways.add(value * pool)
        if 100 <= value < 1000:
            ways.add(value // 100 * 60 + value % 100)  # 145 for 1:45
        if value == 1:
            continue  # one of them is written without a count
        if re.search(r"\d\s*k", written):
            ways.add(value * 1000)
        if re.search(rf"every {value:g}(?:st|nd|rd|th)", written, re.IGNORECASE):
            ways |= {value - 1, (value - 1) * pool}  # so many otherwise, then one
        if re.search(rf"(?:first|last|final|next) {value:g}\b", written, re.IGNORECASE) and value in _spans(said):
            continue
        if not ways & have and not any(have_ms == way for have_ms in have for way in ways):
            gone.append(f"{value:g}")
    return gone


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

    take(_TIME, lambda m: [int(m[1] or 0) * 3600 + int(m[2] or 0) * 60 + float(f"{m[3]}.{m[4] or 0}")])
    take(_UNIT, lambda m: [float(m[1]) * {"s": 1, "m": 60, "h": 3600}[m[2][0].lower()]])
    take(_PRIME, lambda m: [float(m[3])] if m[3] else [int(m[1]) * 60 + int(m[2] or 0)])
    take(_NUMBER, lambda m: [float(m[0].replace(",", ""))])
    return found


def _words_missing(written: str, said: str) -> list[str]:
    """Words that are neither in the canonical form nor mean something that is."""
    have = set(_WORD.findall(said))
    gone = []
    for word in _WORD.findall(written.casefold()):
        word = word.replace("’", "'").removesuffix("'s")
        word = word[1:] if word not in have and word[1:] in have | FILLERS | set(BECOMES) and word[0] == "x" else word
        if word in have or word in NUMBER_WORDS and (str(NUMBER_WORDS[word]) in said or "length" in written):
            continue
        became = BECOMES.get(word)
        if word in FILLERS or (became is not None and any(way in said for way in became)):
            continue
        if word.endswith("s") and word[:-1] in have:
            continue
        gone.append(word)
    return gone
