"""What lines of a pasted page are, seen from the lines above and below them."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise, takewhile

from pacer.plan.layout.bulletsandsigns import plain
from pacer.plan.layout.headings import comes_to, known_heading
from pacer.plan.layout.lanesonpage import COLON_LABEL
from pacer.plan.layout.pagetotals import take_total
from pacer.plan.layout.pastedline import Kind, PastedLine
from pacer.plan.layout.roundsaid import has_gear, headed_rounds
from pacer.plan.parts.bitkinds import Kind as Bits
from pacer.plan.parts.bits import bits_of
from pacer.plan.pasted.brackets import only_rounds
from pacer.plan.regex import regex
from pacer.plan.words.labels import SECTION_NAMES, is_work, kind_of_work
from pacer.plan.words.linepatterns import REST_BETWEEN

_WORK_LABEL = regex(r"([^\W\d_][\w/.]*)\s*:\s*(?=\d)")
#: A set whose name is in front of it, as in a title: `Test week - 7 x 200 step`.
_NAMED_SET = regex(r"[^\W\d][^\d]*\s[^\d]*?(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})(?!\d)", re.IGNORECASE)
#: A bracket drawn beside its lines: its corners, and how often and with which rest they are swum.
_TOPS, _MIDDLES, _FEET = "┌╭┏╔⎡┐╮┓╗", "│┃║├┤┣┫╎┆|", "└╰┗╚┘╯┛╝"
_OFTEN = regex(r"(?:^|\s+)[x×]\s?(?P<n>\d{1,2})(?!\d)(?P<rest>(?:\s.*)?)$", re.IGNORECASE)
#: Marks in the place of the words above them: `"  200 b.5` below `pull 300 b.3`.
_DITTO = regex(r"(?:[\"“”]|''|,,|-?\"-?|ditto|do\.)\s+(?=\d[^\"“”]*$)", re.IGNORECASE)
#: The work in a name that ends with `set`, a distance that is swum easily in between, and where the next set begins.
_SET = regex(r"\s+(?:sets?|work|section|block)$", re.IGNORECASE)
_WORK_SET = regex(r"(?:kick|leg|pull|swim)\s+sets?", re.IGNORECASE)
_EASY = regex(r"\d{2,3}\s*m?\s+(?:easy|ez|loosen|choice|swim\s+down|recovery)\b\D*", re.IGNORECASE)
_LABELLED_SET = regex(r"(?<=:\s)(\d+\s*[x×]\s*\d+m?|\d{2,4}m?)(?![\w:])", re.IGNORECASE)
_NEXT_SET = regex(r"\s*(?:[,;+]|\bthen\b)\s*(?=\d+\s*[x×]\s*\d|\d{2,4}\b)", re.IGNORECASE)
_SPRINTS = regex(r"sprint(?:s|ing)?(?:\s+set)?", re.IGNORECASE)
_LENGTHS = regex(r"\d\s+lengths?\b", re.IGNORECASE)
_FEW = regex(
    r"^\d{1,2}(?=\s+(?:easy|slow|down|choice|full|fast|(?:swim|kick|pull|drill|free|back|breast|fly|fc|f/c|bk|brs?|crawl|front\s+crawl)(?!\s*\d))(?![\w/-]))",
    re.IGNORECASE,
)
#: The same once more: `1 min rest then again`, `and do it all again`.
_AGAIN = regex(
    r"(?:(?P<rest>(?:rest\s+)?(?P<time>(?:\d{1,2}|a|one|two)\s*(?:mins?|minutes?|secs?|seconds?|s)|\d?:\d\d)(?:\s+(?:rest|break))?)\W+)?"
    r"(?:(?:and|then|now)\s+)*(?:(?:do|go|swim|repeat|run)\s+)?(?:(?P<all>all|(?:it|that|this|the\s+lot|everything)(?:\s+all)?|all\s+of\s+(?:it|that))\s+)?"
    r"(?:again|once\s+more|one\s+more\s+time)\W*",
    re.IGNORECASE,
)
#: Sections in which one distance is swum, more often than others.
_ONCE = regex(r"w|warm|cool|swim|loosen|wind|down|[csw]\W?[ud]", re.IGNORECASE)
NEAR = 2  #: a total is at most so many times the sum of its sets
LEAST_COUNTING = 3  #: lines that count in lengths
#: A count and a brace that isn't closed.
_BRACE_LEFT = regex(r"\d\s*(?:[x×]|rds?|rounds?)?\s*\{[^{}]*$", re.IGNORECASE)
#: `10m   6 x 50 kick`, `5'   swim`: how long a line takes, at its left edge; from this number of lines on.
_MINUTES_FIRST = regex(r"(?P<time>(?P<n>\d|1\d|2[0-46-9]|30)\s?(?:m|mins?|'))\s{2,}(?=\S)", re.IGNORECASE)
LEAST_TIMED = 3


def dittos(page: list[PastedLine]) -> None:
    """Write out the words in front of a set that a mark below them stands for."""
    lead = ""
    for pasted in page:
        if match := _DITTO.match(pasted.text):
            pasted.text = lead + pasted.text[match.end() :]
        elif pasted.text:
            words = re.match(r"(?:[^\W\d][^\d]*\s)?", pasted.text)
            lead = words[0] if words else ""


def names_a_set(page: list[PastedLine], place: int) -> bool:
    """Whether a line only names a set that is further down."""
    named = _NAMED_SET.match(page[place].text)
    if named is None:
        return False
    again = regex(rf"\W*{named['n']}\s*[x×]\s*{named['far']}(?!\d)", re.IGNORECASE)
    return any(again.match(pasted.text) for pasted in page[place + 1 :])


def minutes_in_front(page: list[PastedLine]) -> list[PastedLine]:
    """A page whose lines begin with how long each takes, as in `10m   6 x 50 kick`: the minutes as remarks."""
    found = [_MINUTES_FIRST.match(plain(pasted.written).strip()) for pasted in page]
    if sum(match is not None for match in found) < LEAST_TIMED:
        return page
    made: list[PastedLine] = []
    for pasted, match in zip(page, found):
        if match and pasted.text.startswith(match["time"]):
            text = pasted.text.removeprefix(match["time"]).strip()
            made += [replace(pasted, text=f"{match['n']} min", kind=Kind.REMARK), replace(pasted, text=text)]
        else:
            made.append(pasted)
    return made


def lengths_counted(page: list[PastedLine]) -> None:
    """On a page that counts in lengths, a small number in front of work counts them too: `3 easy`, `4 down`."""
    if sum(bool(_LENGTHS.search(pasted.text)) for pasted in page) < LEAST_COUNTING:
        return
    for pasted in page:
        pasted.text = _FEW.sub(lambda found: f"{found[0]} lengths", pasted.text, count=1)


def work_of_indented(page: list[PastedLine]) -> None:
    """`BK: 4 x 25 kick`: the work before the colon is also that of the sets indented below, if they name none."""
    label, edge = "", 0
    for pasted in page:
        if pasted.kind is Kind.SET and label and pasted.indent >= edge and not COLON_LABEL.match(pasted.text):
            own = {kind_of_work(word) for word in re.findall(r"[^\W\d_][\w/.]*", pasted.text)}
            pasted.text = pasted.text if kind_of_work(label) in own else f"{label}: {pasted.text}"
        elif pasted.kind in (Kind.SET, Kind.SECTION, Kind.BLANK, Kind.ROUNDS):
            head = _WORK_LABEL.match(pasted.written.strip()) if pasted.kind is Kind.SET else None
            label = head[1] if head and kind_of_work(head[1]) and is_work(head[1]) else ""
            edge = pasted.indent + 2


def work_of_sections(page: list[PastedLine]) -> None:
    """`Kick set: 6 x 50` is kick; `Kick`, alone on its line, is so for the sets below it, up to a blank line.

    A set that names work of that kind keeps its own.
    """
    said: dict[str, str] = {}
    gear, alone, number, edge = "", True, 0, 0
    for place, pasted in enumerate(page):
        if pasted.kind is Kind.SECTION:
            said, gear = ({}, "") if pasted.cue or pasted.details else _work_of_name(pasted.text)
            alone, number = all(each.number != pasted.number for each in page[place + 1 : place + 2]), pasted.number
            edge = pasted.indent + 1 if any(each.indent > pasted.indent for each in page[place + 1 : place + 2]) else 0
        elif (
            pasted.kind in (Kind.BLANK, Kind.RULE)
            or not alone
            and pasted.number != number
            or pasted.kind is Kind.SET
            and pasted.indent < edge  # not below its sets, but beside it
        ):
            said, gear = {}, ""
        elif pasted.kind is Kind.SET and said and not _EASY.fullmatch(pasted.text):
            own = {bit.word for bit in bits_of(_NEXT_SET.split(pasted.text)[0]) if bit.kind is Bits.WORK}
            label = " ".join(word for kind, word in said.items() if kind not in own)
            if label and pasted.text[:1].isdigit():
                pasted.text = f"{label}: {pasted.text}"
            elif label and COLON_LABEL.match(pasted.text):  # A: 8 x 50
                pasted.text = _LABELLED_SET.sub(rf"\1 {label}", pasted.text, count=1)
            pasted.text += f", with {gear}" if gear and not has_gear(pasted.text) else ""


def total_beside(pasted: PastedLine, paired: bool) -> None:
    """Take the total off a line, unless it is all that is beside a section's name: `SD   200` may be swum."""
    before = pasted.text
    take_total(pasted, paired)
    known = known_heading(pasted.text) if pasted.total else None
    if known and not known.rest and re.fullmatch(rf"{re.escape(pasted.text)}\s+\d+\s*m?", before):
        pasted.text, pasted.total = before, None


def totals_of_sections(page: list[PastedLine]) -> None:
    """`Main 1600` above its sets says what these come to; `W/D 200` above something else is swum."""
    for place, (head, pasted) in reversed([*enumerate(pairwise(page), start=1)]):
        if not (head.kind is Kind.SECTION and pasted.kind is Kind.SET and head.total and pasted.total is head.total):
            continue
        below = [*takewhile(lambda each: each.kind is not Kind.SECTION, page[place + 1 :])]
        once = [*takewhile(lambda each: each.kind is not Kind.BLANK, below)]
        sets = [comes_to(each.text) for each in once if each.kind is Kind.SET]
        whole = sum(comes_to(each.text) for each in below if each.kind is Kind.SET)
        once_only = bool(_ONCE.match(head.text))
        total, least = head.total.distance, whole if once_only else whole // NEAR
        several = len(sets) > 1
        if total in (sum(sets), whole) and (several or not once_only) or several and least <= total <= NEAR * sum(sets):
            del page[place]
        else:
            head.total = pasted.total = None


def said_again(page: list[PastedLine]) -> list[PastedLine]:
    """`1 min rest, then do it all again` below sets: a rest, and two rounds of them; below rounds only their rest."""
    made: list[PastedLine] = []
    in_rounds = False
    for pasted in page:
        match = _AGAIN.fullmatch(pasted.text) if made else None
        if match is None or not (match["rest"] or match["all"]):
            in_rounds = in_rounds if pasted.text[:1].isdigit() else _rounds_begin(pasted.text)
            made.append(pasted)
            continue
        if match["rest"]:
            made.append(replace(pasted, text=f"rest {match['time']}"))
        if not in_rounds:
            made.append(replace(pasted, text="x 2", total=None))
    return made


def _rounds_begin(text: str) -> bool:
    """Whether a line says how often the sets below it are swum."""
    known = known_heading(text)
    details = known.details if known else ()
    return only_rounds(text) or bool(headed_rounds(text)) or any(each.endswith(("round", "rounds")) for each in details)


def _work_of_name(name: str) -> tuple[dict[str, str], str]:
    """The work that a section's name says, by its kind, and its gear; none if the name says anything else.

    >>> _work_of_name("Back kick with fins"), _work_of_name("Kick set"), _work_of_name("Speed bit")
    (({'STROKE': 'Back', 'ACTIVITY': 'kick'}, 'fins'), ({'ACTIVITY': 'Kick'}, ''), ({}, ''))
    """
    if SECTION_NAMES.fullmatch(name) and not _WORK_SET.fullmatch(name):
        return {}, ""
    bits = bits_of(_SET.sub("", name))
    if not bits or any(bit.kind not in (Bits.WORK, Bits.GEAR, Bits.WITH, Bits.PLUS) for bit in bits):
        return {}, ""
    work = [bit for bit in bits if bit.kind is Bits.WORK]
    kinds = {bit.word for bit in work}
    if len(kinds) < len(work) or not (kinds & {"ACTIVITY", "STROKE"} or work and _SPRINTS.fullmatch(name)):
        return {}, ""  # kick and pull; speed
    gear = " and ".join(bit.text for bit in bits if bit.kind is Bits.GEAR)
    return {bit.word: bit.says or bit.text for bit in work}, gear


def end_of(page: list[PastedLine]) -> None:
    """Keep words at the page's end, apart from the sets, as remarks; they are not for the swimmers."""
    for place in range(len(page) - 1, -1, -1):
        pasted = page[place]
        if pasted.kind in (Kind.SET, Kind.SECTION, Kind.ROUNDS, Kind.MORE):
            return
        if pasted.kind is Kind.NOTE and any(
            each.kind in (Kind.BLANK, Kind.RULE, Kind.TOTAL) for each in _since(page, place)
        ):
            pasted.kind = Kind.REMARK


def named_only(page: list[PastedLine]) -> None:
    """A section's name with words and no sets below it, such as `wd - til they kick us out`, is a note."""
    for place, pasted in enumerate(page):
        if pasted.kind is not Kind.SECTION or not pasted.cue:
            continue
        kinds = (each.kind for each in page[place + 1 :])
        below = next((kind for kind in kinds if kind in (Kind.SET, Kind.ROUNDS, Kind.SECTION)), None)
        if below in (None, Kind.SECTION) and any(each.kind is Kind.SET for each in page[:place]):
            pasted.kind, pasted.text, pasted.cue = Kind.NOTE, pasted.written.strip(), ""


def _since(page: list[PastedLine], place: int) -> list[PastedLine]:
    """The lines between the last set above a line and the line."""
    start = next((at for at in range(place - 1, -1, -1) if page[at].kind in (Kind.SET, Kind.MORE)), -1)
    return page[start + 1 : place]


def drawn(page: list[PastedLine]) -> None:
    """Brackets drawn with lines, such as ┌ │ └, with `x 3` beside one of their lines, become brackets in the text."""
    _braced(page)
    top: int | None = None
    for place, pasted in enumerate(page):
        said = pasted.written.strip()
        ends = {said[:1], said[-1:], *re.findall(r"\s([┐╮┓╗┤┫┘╯┛╝│])(?=\s)", said)}
        if ends & {*_TOPS}:
            top = place
        elif top is not None and ends & {*_FEET}:
            _in_text(page[top : place + 1])
            top = None
        elif top is not None and pasted.text and not ends & {*_MIDDLES}:
            top = None


def _braced(page: list[PastedLine]) -> None:
    """A brace in front of each of several lines, `3 rds { 2 x 75` and `{ 150` below it, is one around them all."""
    for place, pasted in enumerate(page):
        if not _BRACE_LEFT.search(pasted.text):
            continue
        below = place + 1
        while below < len(page) and page[below].text.startswith("{") and "}" not in page[below].text:
            page[below].text = page[below].text[1:].strip()
            below += 1
        if below > place + 1:
            page[below - 1].text += " }"


def _in_text(page: list[PastedLine]) -> None:
    """Put a bracket around the texts of some lines, if one of them says how often."""
    for pasted in page:
        pasted.text = pasted.text.strip(f"{_MIDDLES} ")
    found = next(((pasted, match) for pasted in page if (match := _OFTEN.search(pasted.text))), None)
    inside = [
        pasted for pasted in page if pasted.text and (found is None or pasted is not found[0] or found[1].start())
    ]
    if found is None or not inside:
        return
    pasted, match = found
    pause = REST_BETWEEN.fullmatch(match["rest"])
    behind = "" if pause else match["rest"].strip()
    pasted.text = f"{pasted.text[: match.start()].rstrip()} {behind}".strip()
    inside[0].text = f"{match['n']} x {{ {inside[0].text}"
    inside[-1].text += f" }} r {pause['time']} between" if pause else " }"
