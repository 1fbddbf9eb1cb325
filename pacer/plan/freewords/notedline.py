"""Finds what of a line can be read: the rest, in whole phrases, becomes its note.

The line is cut where coaches pause: at commas, brackets, wide gaps. What follows a word that nobody knows stays with
it up to the next cut, so that `200 easy, no fly` is never fly.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from pacer.plan.freewords.grouptimes import with_times
from pacer.plan.freewords.orderrewording import primes_in
from pacer.plan.freewords.setrewording import reworded, without_total
from pacer.plan.freewords.severalsets import filled, in_bracket, several, several_said
from pacer.plan.freewords.workahead import with_stroke, with_work, work_said
from pacer.plan.notation.pagelines import LABELLED
from pacer.plan.problem import Problem
from pacer.plan.regex import regex
from pacer.plan.text.fixes import fixes_for
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import rows_by_line
from pacer.plan.words.countedwords import counted, has_a_set, likely_swum
from pacer.plan.words.labels import groups_of
from pacer.plan.words.vocabulary import ASKED, LINE_WORDS

_CUT = regex(
    r"\s*[,;]\s+|\s{2,}|(?<=[^\W\d_]{3}):\s+(?=[^\W\d_])|\s+[-–—]+\s+|(?<=[^\d.])\.\s+|!+\s+"
    r"|\s+(?=(?:on|off|rest|ri?|hold)\s*:?\d(?!\d*\s*(?:s|secs?)?\s+off\b)|@|w/|with\s)"
    r"|(?<!\brest)(?<!\bon)(?<!\boff)(?<!\bhold)(?<!\bri)(?<!\bevery)(?<!\bto)(?<!\band)(?<!\bat)(?<!\bfrom)(?<![/@–-])\s+(?=\d{0,2}:\d\d(?!\d))",
    re.IGNORECASE,
)
_QUOTED = regex(r"\s*(?:\"([^\"]*)\"|“([^“”]*)”)\s*")
_BRACKET = regex(r"(?<![x×*])(?<![x×*]\s)\s*(\([^()]*\)|\[[^\[\]]*\])\s*")
#: What must not become a note: a time, an interval, a set.
_COUNTS = regex(
    r"\d?:\d\d|@|\b(?:on|off|rest|ri?|hold)\s*:?\d|^\W*every\s*:?\d\S*\W*$|\d\s*[x×*]\s*\d|\b\d{1,2}[.']\d\d\b"
    r"|^\W*\d+\s*(?:s|secs?|seconds?|mins?|\"|'')(?!\w)(?:\s+\S+){0,2}$"
    r"|\b(?:[2-9]\d|\d{3,})\s+(?:fr|fc|bk|br|fl|free|back|breast|fly|kick|pull|swim|drill|easy|ez|k|p|d|im)\b|\d\s*(?:rounds?|rds?)\b|(?<!\w)x\s?\d",
    re.IGNORECASE,
)
_ENDS = " ,;:-–—/.!"
#: Words about a time that is swum, and not a rest.
_SWUM = regex(
    r"\b(?:float\w*|glid\w*|tread\w*|hang\w*|own|easy|ez|swim\w*|wu|warm|way|scull\w*|kick\w*|choice|any|loosen|mix\w*|drills?|free)\b",
    re.IGNORECASE,
)
_SET = regex(r"\d\s*[x×]|\b(?:2[5-9]|[3-9]\d|\d{3,})(?!\d|:)|\blengths?\b|\bx\s*\d")
_SETS = regex(r"\d\s*[x×]\s*[\d([{]")
#: A list of times at the end, and one more time.
_LISTED = regex(r"\b(?:on|rest|hold)\s+[\d:]+(?:\s*/\s*[\d:]+)*$")
_TIME = regex(r"\d{0,2}:\d\d")
_EFFORTS_ASKED = ASKED.keys() - {"float", "stretch out", "bs"}
#: A bracket about some of the lanes.
_FOR_SOME = regex(r"\((?:lanes?|L\d|ln|groups?|slow(?:er)?|fast(?:er)?)\b[^()]*\)", re.IGNORECASE)
#: `(200 speed)`
_PACE_SAID = regex(r"\(\s*\d{2,4}\s*m?\s+(?:race\s+)?(?:pace|speed)\s*\)", re.IGNORECASE)
#: `to CSS pace`, after a descent or a build
_UP_TO = regex(r"(?:up\s+)?(?:to|towards)\s+[^\W\d]+(?:\s+(?:pace|speed|effort))?\W*", re.IGNORECASE)
_ABOUT = regex(r"(?:about|approx\.?|roughly|around|ca\.?|~)\s*(?=:?\d)", re.IGNORECASE)
_DETAIL = regex(r"(?:on|off|rest|ri|r|every|hold|target|aim|w/|with)\s*:?\d", re.IGNORECASE)
#: What is swum, after other words; and words that say that it is not, or not by all.
_ACTIVITY = regex(r"(?<![\w-])(?:kick|k|pull|drill|scull)(?![\w'’-])", re.IGNORECASE)
_NEGATED = regex(
    r"\b(?:no|not|non|without|or|if|instead|except|but|then|last|first|than|from|like|as|for|after|before|each|every)\b|[:>]",
    re.IGNORECASE,
)
#: A time with nothing to swim.
_ALONE = regex(r"\d+\s*(?:mins?|minutes?|s|secs?|seconds?)|\d{0,2}:\d\d", re.IGNORECASE)
#: What is as in the set above, and what a set says of it.
_SAME = regex(
    r"[,(]?\s*\b(?:at|on|with)?\s*(?:the\s+)?same(?:\s+(?:rests?|intervals?|send[\s-]?offs?|times?|turn[\s-]?around|t/o|cyc(?:le)?|again))?"
    r"(?:\s+as\s+above)?\s*\)?(?=\s*(?:[,;(]|$))",
    re.IGNORECASE,
)
#: A small number that counts what comes next: `200 + 10 press-ups`.
_COUNTS_NEXT = regex(r"(?:^(?=\d$|1\d$|2[0-4]$)|[+,(&]|\band)\s*\d{1,2}$", re.IGNORECASE)
#: `build to fast 30 sec`
_REST_LAST = regex(
    r"(?P<words>.*[^\W\d].*?)[\s,+]+(?P<rest>(?:rest\s*|ri?\s*)?:?\d{1,2}\s*(?:s|secs?|seconds?|\"|'')(?:\s+(?:rest|ri?))?)",
    re.IGNORECASE,
)
_PACED = regex(r"\b(?:on|rest) (?:base|[0-9])[^,\"“]*")
MOST_PIECES, MOST_TRIES, MOST_FIXES = 14, 120, 6


@dataclass
class _Trial:
    """What of a line can be read so far, its notes, and the questions that were answered on the way."""

    live: LivePage
    pool: str
    text: str = ""
    notes: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)  #: what the words of an answer keep as a note
    lenient: bool = False  #: whether what counts may become a note too
    tries: int = 0
    open: bool = False  #: whether the last piece is a note, which more words may go on with

    def problems(self, text: str) -> tuple[Problem, ...] | None:
        """What is wrong with a text as a line; None if it says nothing to swim."""
        self.tries += 1
        reading = self.live.would([self.pool, f"  {text}"])
        if reading.problems:
            return reading.problems
        return () if reading.plan and reading.plan.sections[0].items else None

    def grown(self, text: str, piece: str) -> bool:
        """Whether a longer text has no new set, unless the new piece of it counts one: not 75 for `3 left arm`."""
        before, after = (self.live.would([self.pool, f"  {each}"]).plan for each in (self.text, text))
        more = before is not None and after is not None and len(after.sections[0].items) > len(before.sections[0].items)
        return not more or bool(_SET.search(piece))

    def readable(self, text: str) -> str:
        """The text, or its form with the first fix of each error, without notes; "" if that cannot be read."""
        for _ in range(MOST_FIXES):
            problems = self.problems(text)
            if problems == ():
                return text
            if not problems or self.tries > MOST_TRIES:
                return ""
            lines = [self.pool, f"  {text}"]
            fixes = fixes_for(problems[0], lines, lambda page: self.live.would(page).problems)
            fix = next((fix for fix in fixes if fix.line == 1 and not re.match('\\s*["#]|.*\n', fix.text)), None)
            if fix is None or _changed(lines[1][fix.start : fix.end], fix.text):
                return ""
            text = fix.row(lines[1]).strip()
            inside = re.search(r"[(\[{][^)\]}]*$", lines[1][: fix.start])
            if not inside and (noted := re.search(r'\s*"([^"]*)"', fix.text)):  # fast "200 pace"
                text = text.replace(noted[0], "", 1)
                self.said.append(noted[1])
        return ""


def noted_line(lines: Sequence[str], at: int, live: LivePage, lenient: bool = False) -> str:
    """Line `at` of a page with the phrases that nobody knows as its note; "" if that does not help.

    `lenient`: what counts may become part of the note too, as the last resort.
    """
    source = lines[at]
    if not source.startswith(" "):
        return ""
    label = LABELLED.match(source.lstrip())
    lead = label[0] if label and groups_of(label[1]) is not None else ""
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    indent = source[: len(source) - len(source.lstrip())]
    text = source[len(indent) + len(lead) :]
    made = solved(text, pool, live, lenient)
    if not made and (lenient or likely_swum(text)):
        made = swum_in(text, pool, live, lenient)
    if lenient and '"' not in source and has_a_set(*re.findall(r'"([^"]*)"', made)):
        return ""
    return f"{indent}{lead}{made}" if made else ""


def as_above(lines: Sequence[str], at: int, live: LivePage) -> str:
    """Line `at` of a page with the interval or rest of the set above in the place of `same`; "" if that does not help.

    >>> as_above(["pool: 25 m", "  4 x 50 kick, on 1:10", "  4 x 50 pull, same"], 2, LivePage())
    '  4 x 50 pull, on 1:10'
    """
    source = lines[at]
    match = _SAME.search(source) if "same" in source.casefold() else None
    reading = live.would(lines[:at])
    if match is None or reading.plan is None:
        return ""
    rows = [row for _, rows in sorted(rows_by_line(reading.plan).items()) for row in rows if row.startswith(" ")]
    detail = _PACED.search(rows[-1]) if rows else None
    if detail is None or "rest" in match[0] and detail[0].startswith("on"):
        return ""
    made = f"{source[: match.start()].rstrip(' ,')}, {detail[0]}{source[match.end() :]}"
    after = live.would([*lines[:at], made, *lines[at + 1 :]])
    if not any(problem.line == at + 1 for problem in after.problems):
        return made
    return noted_line([*lines[:at], made, *lines[at + 1 :]], at, live)


def in_other_words(line: str) -> bool:
    """Whether a line says a set in a way that the notation has other words for."""
    text = primes_in(line.strip())
    return not re.search(r"(?<!\d)[\"“”]", text) and (several_said(text) or reworded(text)[0] != text)


def solved(source: str, pool: str, live: LivePage, lenient: bool = False) -> str:
    """The line with all that can be read as its set and the rest as its note; "" if something that counts is left.

    If `lenient`, only its first piece must be read.

    >>> solved("4 x 15 sprint from blocks, walk back round the deck", "pool: 25 m", LivePage())
    '4 x 15 sprint from blocks "walk back round the deck"'
    """
    source = primes_in(source)
    said = [each for pair in _QUOTED.findall(source) for each in pair if each]
    source = _QUOTED.sub(" ", source)
    if re.search(r"(?<!\d)[\"“”]", source):
        return ""
    indent = source[: len(source) - len(source.lstrip())]
    plain, total = without_total(source.strip())
    if total and not said and _Trial(live, pool).problems(plain) == ():
        return f'{indent}{plain} "{total}"'
    text, listed = with_times(source.strip())
    other, notes = reworded(source.strip())
    ways = [(text, listed)]
    if other != source.strip():
        trial = _Trial(live, pool)
        if read := trial.readable(other):
            note = ", ".join(dict.fromkeys([*notes, *said, *(each for each in trial.said if each not in read)]))
            return f'{indent}{read} "{note}"' if note else indent + read
        ways.insert(0, (other, notes))
    for way, kept in ways:
        if made := _solved(way, kept, said, pool, live, lenient=False):
            return indent + made
    if made := "" if listed or said else _one_by_one(text, pool, live):
        return indent + made
    text, listed = ways[0]
    return indent + made if lenient and (made := _solved(text, listed, said, pool, live, lenient)) else ""


def _one_by_one(text: str, pool: str, live: LivePage) -> str:
    """Several sets on a line, or those in a bracket, each solved by itself; "" if that is not possible."""

    def reads(said: str) -> bool:
        return _Trial(live, pool).problems(said) == ()

    def solve(said: str) -> str:
        return solved(said, pool, live)

    return several(text, solve, reads) or in_bracket(text, solve, reads)


def _solved(text: str, listed: list[str], said: list[str], pool: str, live: LivePage, lenient: bool) -> str:
    """The line with what of a text can be read, the rest as its note together with what is `listed` and `said`."""
    source, said = text, list(said)
    trial = _Trial(live, pool, said=said, lenient=lenient)
    pieces = filled(list(_pieces(text)))
    if len(pieces) > MOST_PIECES or not all(_take(trial, gap, piece) for gap, piece in pieces):
        return ""
    if _ALONE.fullmatch(trial.text) and not trial.said and _SWUM.search(" ".join(trial.notes)):  # 8 min of your own
        trial.text = f"{trial.text} choice"
    notes = list(dict.fromkeys([*listed, *(each for each in trial.said if each not in trial.text), *trial.notes]))
    if not _SET.search(trial.text) and (not _ALONE.search(trial.text) or _SETS.search(source)):  # 1-2 hands in
        return ""
    if _ALONE.fullmatch(trial.text) and notes:  # 2 min, drink something
        trial.text = f"rest {trial.text}"
    note = ", ".join(notes).replace('"', "''")
    if any(note.count(one) != note.count(other) for one, other in ("()", "[]", "{}")):
        return ""
    made = f'{trial.text} "{note}"' if notes and trial.text else trial.text
    return made if not note or trial.problems(made) == () else ""


def swum_in(text: str, pool: str, live: LivePage, lenient: bool = False) -> str:
    """What is swum in a line that begins with words, with the words as its note; "" if nothing is found."""
    if made := solved(text, pool, live, lenient):
        return made
    match = counted(text)
    if match is None or not match.start() or '"' in text or "“" in text:
        return ""
    lead = _plain(text[: match.start()])
    if re.search(r"\d", lead):
        return ""
    number = re.sub(r"\D", "", match[0]) if match["often"] else ""
    ahead = f"{number if number and int(number) >= 25 else match[0]} {lead}{text[match.end() :]}"
    if (made := solved(ahead, pool, live)) and not any(word in _note_of(made) for word in lead.split()):
        return made  # tread water 45 sec
    work = work_said(lead, behind := text[match.start() :])
    made = work and solved(with_work(work, behind), pool, live, lenient) or solved(behind, pool, live, lenient)
    if not (made := with_stroke(work, made, behind)):
        return ""
    noted = re.search(r'"([^"]*)"$', made)
    return made.replace(noted[0], f'"{lead}, {noted[1]}"') if noted else f'{made} "{lead}"'


def _note_of(line: str) -> list[str]:
    return re.findall(r"[\w'’-]+", " ".join(re.findall(r'"([^"]*)"', line)))


def _pieces(text: str) -> Iterator[tuple[str, str]]:
    """The pieces of a line, each with the gap in front of it; a bracket is one piece."""
    gap = ""
    for place, part in enumerate(_BRACKET.split(text)):
        if place % 2:
            yield gap or " ", part
            gap = " "
            continue
        start = 0
        for cut in [*_CUT.finditer(part), None]:
            piece = part[start : cut.start() if cut else len(part)]
            if piece.strip():
                yield gap, piece.strip()
            gap = cut[0] if cut else " "
            start = cut.end() if cut else start


def _take(trial: _Trial, gap: str, piece: str) -> bool:
    """Add a piece to what is read, or to the note; return whether nothing that counts was left out."""
    goes_on, trial.open = trial.open, False
    listed = _LISTED.search(trial.text) and _TIME.fullmatch(piece.strip(_ENDS))
    if not trial.text and _ALONE.fullmatch(piece.strip(_ENDS)):
        trial.text = piece.strip(_ENDS)
        return True
    if about := _ABOUT.match(piece):  # about 15 sec
        trial.notes.append(piece)
        piece = piece[about.end() :]
    for joint in (" / ",) if listed else (", ", " ") if gap.isspace() or not gap else (", ",):
        text = f"{trial.text}{joint}{piece}" if trial.text else piece
        if (made := trial.readable(text.strip(_ENDS + " "))) and (not trial.text or trial.grown(made, piece)):
            trial.text = made
            return True
    words = piece.split(" ")
    for end in range(len(words) - 1, 0, -1):
        lead, rest = " ".join(words[:end]).strip(_ENDS), " ".join(words[end:])
        if (
            not lead
            or re.search(r"#\d+$", lead)
            and re.match(r"(?:is|are|=)\b", rest)
            or not (trial.lenient or _is_note(rest))
            or _COUNTS_NEXT.search(lead)
            or trial.tries > MOST_TRIES
        ):
            continue
        text = f"{trial.text} {lead}" if trial.text else lead
        if not trial.text and _ALONE.fullmatch(lead):
            trial.text = lead
            trial.notes.append(_plain(rest))
            return True
        if _known_lead(lead, bool(trial.text)) and (made := trial.readable(text)):
            trial.text = made
            trial.notes.append(_plain(_work_behind(trial, _without_rest(trial, rest))))
            return True
    if not (trial.lenient or trial.text and _is_note(piece)):
        return False
    piece = _without_rest(trial, piece)
    if gap in (" ", ": ") and goes_on and trial.notes and piece[0] not in "([":  # till the 1:35s
        trial.notes[-1] += f"{gap}{_plain(piece)}"
    else:
        trial.notes.append(_plain(piece))
    trial.open = True
    return True


def _without_rest(trial: _Trial, words: str) -> str:
    """Read a rest at the end of words that nobody knows (`build to fast 30 sec`); return the words that are left."""
    match = _REST_LAST.fullmatch(words.rstrip(_ENDS))
    made = trial.readable(f"{trial.text}, {match['rest']}") if match and trial.text else ""
    if match is None or not made or not re.search(r"\brest\b", made.removeprefix(trial.text)):
        return words
    trial.text = made
    return match["words"]


def _work_behind(trial: _Trial, words: str) -> str:
    """Read an activity after words that nobody knows (`dolph kick on back`); return the words that are left."""
    place = next((match for match in _ACTIVITY.finditer(words) if match.start()), None)
    if place is None or _NEGATED.search(words, 0, place.start()):
        return words
    made = trial.readable(f"{trial.text} {words[place.start() :]}")
    trial.text = made or trial.text
    return words[: place.start()] if made else words


def _changed(before: str, after: str) -> bool:
    """Whether a fix changes a distance or a count that the coach wrote, or takes a word for another one."""
    if re.search(r"\w", before) and not after.strip():
        return True
    if before.strip().isdigit():
        return ":" not in after and not re.search(rf"(?<!\d){before.strip()}(?!\d)", after)
    if re.search(r"\d", before) or before.strip().casefold() in _EFFORTS_ASKED:
        return False
    if re.search(r"\d", after) and not after.strip().startswith("by "):  # a value that nobody wrote
        return True
    words = re.findall(r"[^\W\d_]{3,}", before.casefold())
    return any(word not in after.casefold() and word != "off" for word in words)


def _known_lead(lead: str, more: bool) -> bool:
    """Whether the words before an unknown one can belong to the set: the first piece, or a word of the notation."""
    return not more or lead[0].isdigit() or lead[0] in ":@" or bool(_DETAIL.match(lead))


def _is_note(piece: str) -> bool:
    """Whether a piece can be a note: it counts nothing, and has a word that is no word for a set."""
    words = re.findall(r"[^\W\d_]{2,}", piece.casefold())
    if _FOR_SOME.match(piece) or _PACE_SAID.fullmatch(piece) or _UP_TO.fullmatch(piece):
        return True
    if piece[:1] in "([" and len(words) > 4:  # (every 5 if you feel like it)
        return not re.search(r"\d:\d\d|@", piece)
    return not _COUNTS.search(piece) and any(word not in LINE_WORDS for word in words)


def _plain(piece: str) -> str:
    text = piece.strip(_ENDS)
    return text[1:-1] if text[:1] in "([" and text[-1:] in ")]" else text


def uncounted(text: str) -> bool:
    """Whether a line's note has something that counts: a time, an interval, a set."""
    notes = re.findall(r'"([^"]*)"', text)
    return any(_COUNTS.search(part) for note in notes for part in re.split(r"[,;]\s+", note))
