"""What each line of a pasted page is: title, section, set, a set's continuation, a note, a remark."""

from __future__ import annotations

import re
from dataclasses import replace

from pacer.plan.cutting import wordsfirst
from pacer.plan.freewords.lanewords import about_lanes
from pacer.plan.layout import lanesonpage
from pacer.plan.layout.bulletsandsigns import is_rule
from pacer.plan.layout.givenabove import numbers_given
from pacer.plan.layout.headings import Heading, heading_of, known_heading, total_ahead
from pacer.plan.layout.lanesonpage import LANE_HEADS, for_some_lanes, lane_value, lanes_marked
from pacer.plan.layout.pagetotals import (
    SET_LIKE,
    accounts_for_groups,
    is_account,
    more_totals,
    total_beside_total,
)
from pacer.plan.layout.pastedline import Ask, Kind, Open, PastedLine, Total
from pacer.plan.layout.roundsaid import for_all, headed_rounds, minutes_in_words, rounds_in_words, rounds_said
from pacer.plan.layout.sidebyside import lanes_beside
from pacer.plan.layout.tables import read_tables
from pacer.plan.parts.lineinparts import counts_a_set, rest_said, surely_swum
from pacer.plan.parts.roundsbylane import rounds_by_lane
from pacer.plan.pasted.brackets import only_rounds
from pacer.plan.pasted.joining import LABEL, without_marks
from pacer.plan.pasted.pastedheader import head_of
from pacer.plan.pasted.setorder import gear_behind
from pacer.plan.pasted.swumlines import LANES_FIRST, by_sentence, goes_on, is_set, work_with_gear
from pacer.plan.pasted.wholepage import (
    dittos,
    drawn,
    end_of,
    lengths_counted,
    minutes_in_front,
    named_only,
    names_a_set,
    said_again,
    total_beside,
    totals_of_sections,
    work_of_indented,
    work_of_sections,
)
from pacer.plan.regex import regex
from pacer.plan.words.labels import groups_of, is_work, kind_of_work, work_named
from pacer.plan.words.vocabulary import LINE_WORDS, key_of

_GREETING = regex(
    r"(?:hi|hello|hey|hiya|dear|good\s+(?:morning|evening)|thanks|thank\s+you|cheers|see\s+you|regards|best\s+(?:wishes|regards)"
    r"|kind\s+regards|sent\s+from|on\s.+wrote)\b.*|(?:from|to|cc|bcc|date|sent)\s*:.*"
    r"|(?:morning|evening|all|team|folks)\b[^\d:]{0,12}[,!.]?",
    re.IGNORECASE,
)
_KEYED = regex(
    r"(?:coach|coaches|date|squad|group|week|venue|equipment|kit|bring|level|swimmers|note|notes|nb|remember|lifeguard)\s*[:=].*",
    re.IGNORECASE,
)
_KNOWN_LABELS = {word for word, (kind, _) in LINE_WORDS.items() if kind} | {"all", "everyone", "everybody"}
_GROUPED = regex(r"group|lanes?|squad|and\b|slow|fast|fins|paddles|buoy|board|snorkel", re.IGNORECASE)
#: `"Downhill" x 2`, above its sets.
_QUOTED_NAME = regex(r"[\"“](?P<name>[^\"“”]{2,40})[\"”]\s*[x×]\s*(?P<n>\d{1,2})")
#: A whole line in brackets that begins with words.
_ASIDE = regex(r"\((?=[^\W\d]{2})(?!\s*(?:rest|on|off|with|as|odd|even|alt)\b)[^()]*\)", re.IGNORECASE)
_BETWEEN = regex(r"\b(?:between|btwn|betw|btw)(?:\s+(?:rounds|rds|sets|each))?\W*$", re.IGNORECASE)
#: A day at the head of a page: `TUE 5:45`.
_DAY = regex(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\b", re.IGNORECASE)
#: `PYRAMID    (main 1300)`, `CSS night  A = sub 1:35, B = 1:35-1:50`: a title with what is said of the page after it.
_HEADLINE = regex(
    r"(?-i:[A-Z][A-Z ]{3,30})\s{2,}\((?!\s*\d+\s*[x×])[^()]*\)|[^\d=]{3,40}?\s[A-D]\s?=\s?[^=]+,\s*[A-D]\s?=[^x×]+",
    re.IGNORECASE,
)
#: Some of the repeats of the set above: `1-10   1.14 or better`.
_SOME = regex(r"\d{1,2}\s?-\s?\d{1,2}\s+(?:\d{1,2}[.:]\d\d|:\d\d)(?!\s*[x×])")
#: The intervals of all its repeats: `1-5 1.40  6-10 1.35`.
_INTERVALS = regex(
    r"(?:\#?\d{1,2}\s?[-–]\s?\d{1,2}\s*:?\s*(?:(?:on|off)\s+|@\s*)?(?:\d{1,2}[.:]\d\d|:\d\d)[\s,;/]*){2,}"
)
#: What some swim instead, in words.
_INSTEAD = regex(r"(?:or|alternatively|instead)\b\s*:?\s+\S|R\d\s+[^\W\d]|rounds?\s+\d+\s*[-:–=]", re.IGNORECASE)
#: `If time: 4 x 25`, in front of a set that may be left out.
_IF_TIME = regex(
    r"(?P<words>(?:only\s+)?if\s+(?:there'?s\s+)?time|time\s+permitting)\s*[:,-]\s*(?P<set>\d.*)", re.IGNORECASE
)
#: Names of sections that are words of other things too: `relay starts 10 min`.
_LIKE_GAMES = regex(r"(?:relays?|games?)\b", re.IGNORECASE)
#: `If time: 8 x 50`: no name of a section or of a group.
_OPTIONAL = regex(r"(?:if\s+(?:there'?s\s+)?time|optional|bonus|time\s+permitting)\s*:", re.IGNORECASE)
#: What is not for today.
_LATER = regex(r"\bnext\s+(?:wk|week|time|session)\b", re.IGNORECASE)
_SWUM_ABOVE = (Kind.SECTION, Kind.SET, Kind.ROUNDS)
#: A rule of this many words or more, such as `Always: leave 5 secs apart, fastest first`, is no title.
_RULED = regex(r"[^():=]{1,24}[:=]\s.*")
LEAST_RULE = 7
#: An arrow in front of a line, or between two things of it.
_ARROW_FIRST = regex(r"^(?:→|->|=>|➔|↳)\s*")
_ARROW = regex(r"\s+(?:→|->|=>)\s+")
_ARROW_RANGE = regex(r"(?<=\b\d)\s*->\s*(?=\d{1,2}\b(?!\s*[x×]))")
#: A name in front of a set.
_LABELLED = regex(r"(?P<label>[^\W\d_][^\d:;,()]{1,24}?)\s*(?::|\s-(?=[\s\d]))\s*(?P<rest>\d.*)")
#: A bracket around a whole set.
_WHOLE = regex(r"[\[{]\s*(\d[^\[\]{}]*?)\s*[\]}]")


#: `19/11 Breaststroke`
_DATED = regex(r"\d{1,2}[/.]\d{1,2}(?:[/.]\d{2,4})?\s+[^\W\d][^\d]*")
#: `Arms: 4 x 50`, `Arms`, as a heading.
_ARMS = regex(r"^arms(?:\s+only)?(?=\s*(?:[:-]\s|:?$)|\s+\d)", re.IGNORECASE)
#: Words in front of a set that name no section: `Then the pyramid: 50, 100, 50`.
_LEADING = regex(
    r"(?:then|now|next|after\s+that|lastly|recap|(?:start|finish|begin)\s+\w)\w*\b|(?:[^\W\d]+\s+)?(?:pyramid|ladder)\b",
    re.IGNORECASE,
)


def sort_out(page: list[PastedLine]) -> list[PastedLine]:
    """The same lines, each with its kind; a line with a section's name and a set becomes two."""
    made: list[PastedLine] = []
    below = False  # whether the first section or set has come
    titled = False
    paired = sum(total_beside_total(pasted.written) for pasted in page) > 1
    page = minutes_in_front(numbers_given(read_tables(page)))
    for pasted in page:
        if not pasted.tabled:
            total_beside(pasted, paired)
        if (ahead := total_ahead(pasted.text)) is not None:
            pasted.text, pasted.total = ahead[1], pasted.total or Total(ahead[0])
        pasted.text = _ARROW_RANGE.sub("-", _ARROW_FIRST.sub("", pasted.text))
        pasted.text = gear_behind(minutes_in_words(_ARROW.sub(", ", pasted.text)))
    page = said_again(page)
    dittos(page)
    lengths_counted(page)
    drawn(page)
    more_totals(page, is_set)
    lanes_beside(page)
    lanesonpage.named_lines(page)
    lanesonpage.lettered(page)
    lanesonpage.lanes_in_columns(page)
    columns = lanesonpage.in_columns(page)
    for place, pasted in enumerate(page):
        if (whole := _WHOLE.fullmatch(pasted.text)) and is_set(whole[1]):
            pasted.text = whole[1]
        if is_rule(pasted.text):
            pasted.kind = Kind.RULE
        elif not pasted.text and pasted.kind is Kind.BLANK:
            pasted.kind = Kind.TOTAL if pasted.total else Kind.REMARK if pasted.written.strip() else Kind.BLANK
        elif pasted.kind is not Kind.BLANK:  # it is known from the lines around it
            pass
        elif (
            not below
            and not titled
            and (
                _is_day(pasted.text)
                or _DATED.fullmatch(pasted.text)
                or _HEADLINE.fullmatch(pasted.text)
                or names_a_set(page, place)
            )
        ):
            pasted.kind, titled = Kind.TITLE, True
        elif not below and (head := head_of(pasted.text)) and (head.pool or not known_heading(pasted.text)):
            pasted.kind, titled = Kind.HEAD, titled or bool(head.title)
        else:
            first = not titled and not below
            found = by_sentence(pasted, _kind_of(pasted, made, _leads(page, place), first, columns))
            if not below and found[0].kind in (Kind.NOTE, Kind.REMARK):
                _sort_head(found[0], titled)
                titled = titled or found[0].kind is Kind.TITLE
            below = below or found[0].kind in (Kind.SECTION, Kind.SET, Kind.ROUNDS)
            made += found
            continue
        made.append(pasted)
    totals_of_sections(made)
    for_some_lanes(made, _leads)
    work_of_indented(made)
    work_of_sections(made)
    named_only(made)
    end_of(made)
    return made


def _sort_head(pasted: PastedLine, titled: bool) -> None:
    """Words above all sets: the title, a greeting, or something that may be for the swimmers."""
    ruled = _RULED.fullmatch(pasted.text) and len(pasted.text.split()) >= LEAST_RULE
    if not titled and not ruled and pasted.kind is Kind.NOTE and not _is_remark(pasted.text):
        pasted.kind = Kind.TITLE
    elif _GREETING.fullmatch(pasted.text) or LANE_HEADS.fullmatch(pasted.text):
        pasted.kind = Kind.REMARK
    else:
        pasted.kind, pasted.ask = Kind.LABEL, Ask(Open.ABOVE, pasted.text)


def _is_day(text: str) -> bool:
    """Whether a line is the day of the session and nothing else that a page's head says."""
    return bool(_DAY.match(text)) and not head_of(text) and not SET_LIKE.search(text)


def _kind_of(pasted: PastedLine, above: list[PastedLine], leads: bool, first: bool, columns: bool) -> list[PastedLine]:
    """What a line is, given those above it; the `first` with words is more likely the title than a section's name."""
    text = pasted.text = _work_ahead(pasted.text)
    set_above = next((each for each in reversed(above) if each.kind is not Kind.MORE), None)
    further = set_above is not None and set_above.kind is Kind.SET and goes_on(pasted, set_above)
    if further or (lane_value(text) or _INTERVALS.fullmatch(text)) and _last_swum(above) is Kind.SET:
        pasted.kind = Kind.MORE
    elif by_lane := rounds_by_lane(text):
        pasted.kind, pasted.text = Kind.ROUNDS, f"{by_lane} rounds:"
    elif only_rounds(text):
        pasted.kind = Kind.ROUNDS
    elif leads and (said := rounds_said(text)):
        pasted.kind, pasted.text, pasted.for_all = Kind.ROUNDS, f"{said.count} rounds:", said
    elif (
        LANE_HEADS.fullmatch(text)
        or set_above is not None
        and is_account(text)
        and not (leads and text[-1:].isdigit() and not accounts_for_groups(text))
    ):
        pasted.kind = Kind.REMARK
    elif (quoted := _QUOTED_NAME.fullmatch(text)) is not None:
        return _section(pasted, Heading(quoted["name"], [f"{quoted['n']} rounds"]), leads)
    elif optional := _IF_TIME.fullmatch(text):
        if not leads:  # nothing else would be optional with it
            return _section(pasted, Heading("If time", ["if time"], rest=optional["set"]), leads)
        pasted.kind, pasted.text = Kind.SET, f"{optional['words']} {optional['set']}"
    elif any(each.kind in _SWUM_ABOVE for each in above) and _words_first(text, leads and _apart(above)):
        pasted.kind = Kind.SET
    elif known := known_heading(text):
        return _section(pasted, known, leads)
    elif leads and (headed := headed_rounds(text)):
        name, said = headed
        pasted.for_all = said
        return _section(pasted, Heading(name, [f"{said.count} rounds"]), leads)
    elif leads and (in_words := rounds_in_words(text)):
        name, often, words = in_words
        return _section(pasted, Heading(name, [f"{often} rounds"], rest=words), leads)
    elif _LATER.search(text) or _INSTEAD.match(text) or _ASIDE.fullmatch(text) or _of_set(text, above):
        pasted.kind = Kind.NOTE
    elif work_with_gear(text):
        pasted.kind = Kind.SET
    elif (
        not first
        and (labelled := lanesonpage.label_of(text, columns))
        and not (LANES_FIRST.match(text) or _OPTIONAL.match(text))
        and _names_section(*labelled)
    ):
        return _labelled(pasted, *labelled, leads)
    elif set_above is not None and set_above.kind is Kind.SET and about_lanes(text):
        pasted.kind = Kind.NOTE
    elif is_set(text):
        pasted.kind = Kind.SET
        if (
            not _OPTIONAL.match(text)
            and (label := LABEL.match(text))
            and not _LEADING.match(label[1])
            and not (label[1].casefold() in _KNOWN_LABELS or _GROUPED.match(label[1]) or is_work(label[1]))
        ):
            pasted.ask = Ask(Open.NAME, label[1])
        pasted.text = without_marks(lanes_marked(text))
    elif set_above is not None and (rest := rest_said(text)):
        pasted.kind, pasted.text = Kind.SET, rest
    elif not pasted.marked and surely_swum(text):
        pasted.kind, pasted.text = Kind.SET, without_marks(text)
    elif _is_remark(text) and not pasted.marked:
        pasted.kind = Kind.NOTE if set_above is not None and not _GREETING.fullmatch(text) else Kind.REMARK
    elif (not first or text.endswith(":") or kind_of_work(text.split(" ")[0]) == "ACTIVITY") and (
        heading := heading_of(text, pasted.marked, leads, _apart(above))
    ):
        return _section(pasted, heading, leads)
    else:
        pasted.kind = Kind.NOTE
    return [pasted]


def _work_ahead(text: str) -> str:
    """Work in front of a colon or a dash, spelt as it is known: `breastroke - 4 x 25` as `breaststroke: 4 x 25`."""
    text = _ARMS.sub("Pull", text)
    match = _LABELLED.fullmatch(text)
    work = work_named(match["label"]) if match else ""
    return f"{work}: {match['rest']}" if match and work and is_set(match["rest"]) else text


def _words_first(text: str, heads: bool) -> bool:
    """Whether a line begins with words but is about a time or a distance; one that `heads` sets may name a section."""
    if wordsfirst.stops(text):
        return True
    known = known_heading(text)
    if wordsfirst.about_time(text):
        games = known is not None and bool(_LIKE_GAMES.match(text)) and not known.minutes
        return not heads and not _is_remark(text) and (known is None or games)
    return known is None and wordsfirst.about_distance(text)


def _names_section(label: str, rest: str) -> bool:
    """Whether words in front of a set can name a section: they are no lanes, and no rounds follow."""
    lanes = groups_of(label)
    if _LEADING.match(label) and counts_a_set(rest):
        return False
    return not only_rounds(rest) and (lanes is None or len(lanes) == 1 and not lanes[0].startswith("lane "))


def _of_set(text: str, above: list[PastedLine]) -> bool:
    """Whether a line says something about some repeats of the set above it."""
    return _last_swum(above) is Kind.SET and bool(_SOME.match(text))


def _labelled(pasted: PastedLine, label: str, rest: str, leads: bool) -> list[PastedLine]:
    """A set with a name to the left of it: a section, or a group of the squad; the coach is asked which."""
    if is_work(label):  # its own sets are that work
        made = _section(pasted, Heading(label, rest=rest), leads)
        if len(made) > 1 and not re.match(r"\d+\s*[x×]\s*[({\[]", made[1].text):
            made[1].text = f"{label} {made[1].text}"
        return made
    if not is_set(rest):
        return _section(pasted, Heading(label, rest=rest), leads) if leads else _as(pasted, Kind.NOTE)
    pasted.kind, pasted.ask, pasted.text = Kind.SET, Ask(Open.NAME, label), without_marks(f"{label}: {rest}")
    return [pasted]


def _as(pasted: PastedLine, kind: Kind) -> list[PastedLine]:
    pasted.kind = kind
    return [pasted]


def _section(pasted: PastedLine, heading: Heading, leads: bool) -> list[PastedLine]:
    """A section's name, and the set or the words after it."""
    rest = re.sub(r"^(all|everyone|everybody)\s*[:,]?\s+(?=\d)", r"\1: ", heading.rest.strip(), flags=re.IGNORECASE)
    wrapped = re.fullmatch(r"\((.*)\)|\[(.*)\]", rest)
    if wrapped and is_set(wrapped[1] or wrapped[2] or ""):
        rest = wrapped[1] or wrapped[2]
    pasted.kind, pasted.details, pasted.text = Kind.SECTION, heading.details, heading.name
    if heading.minutes:
        pasted.ask = Ask(Open.MINUTES, f"{heading.minutes} min")
    rest = re.sub(r"^-\s+", "", rest)
    if by_lane := rounds_by_lane(rest):
        heading.details.append(f"{by_lane} rounds")
        rest = ""
    rounds = next((each for each in heading.details if each.endswith(("round", "rounds"))), "")
    if rest and rounds and (said := for_all(rounds.rsplit(" ", 1)[0], rest)):
        heading.details[heading.details.index(rounds)] = f"{said.count} rounds"
        pasted.for_all, rest = said, ""
    if heading.minutes and rest and not is_set(rest) and (not leads or key_of(rest) in LINE_WORDS):  # 10 mins: choice
        rest, pasted.ask = f"{heading.minutes} min {rest}", None
    if not rest:
        return [pasted]
    if (
        leads and not pasted.tabled and re.fullmatch(r"\d{3,5}\s*m?\s*:?", rest)
    ):  # a set, or what the sets below come to
        rest = rest.rstrip(" :m")
        inner = replace(pasted, text=rest, kind=Kind.SET, details=[], ask=None, before=[], indent=pasted.indent + 1)
        inner.total = pasted.total = pasted.total or Total(int(rest), "section")
        return [pasted, inner]
    if _BETWEEN.search(rest) and not re.search(r"\d\s*[x×]", rest):
        pasted.cue = rest.strip("()[]- ")
        return [pasted]
    rest = lanes_marked(rest)
    if not pasted.cue and surely_swum(rest) and not is_set(rest):
        inner = replace(
            pasted, text=without_marks(rest), kind=Kind.SET, details=[], ask=None, before=[], indent=pasted.indent + 1
        )
        pasted.total = None
        return [pasted, inner]
    if wordsfirst.medley_relay(f"{heading.name} {rest}"):
        rest = f"{heading.name} {rest}"
    if is_set(rest) or only_rounds(rest):
        kind = Kind.ROUNDS if only_rounds(rest) else Kind.SET
        inner = replace(
            pasted, text=without_marks(rest), kind=kind, details=[], ask=None, before=[], indent=pasted.indent + 1
        )
        pasted.total = None
        return [pasted, inner]
    pasted.cue = rest.strip("()[]- ")
    return [pasted]


def _last_swum(above: list[PastedLine]) -> Kind | None:
    """What is above a line, past notes and what goes on with it."""
    return next((each.kind for each in reversed(above) if each.kind not in (Kind.NOTE, Kind.MORE)), None)


def _apart(above: list[PastedLine]) -> bool:
    """Whether there is a blank line, a rule or nothing above."""
    return not above or above[-1].kind in (Kind.BLANK, Kind.RULE, Kind.HEAD, Kind.TITLE)


def _leads(page: list[PastedLine], place: int) -> bool:
    """Whether the next line with words is a set."""
    for at, below in enumerate(page[place + 1 :], start=place + 1):
        if below.text and not is_rule(below.text):
            swum = is_set(below.text) and not (is_account(below.text) and not _set_below(page, at))
            return (swum or only_rounds(below.text)) and not head_of(below.text)
    return False


def _set_below(page: list[PastedLine], place: int) -> bool:
    """Whether a set is anywhere below a line."""
    return any(is_set(below.text) for below in page[place + 1 :])


def _is_remark(text: str) -> bool:
    return bool(_GREETING.fullmatch(text) or _KEYED.fullmatch(text)) or text.endswith((",", "?"))
