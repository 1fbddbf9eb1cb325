"""What each line of a pasted page is: title, section, set, a set's continuation, a note, a remark."""

from __future__ import annotations

import re
from dataclasses import replace

from pacer.plan.cutting import wordsfirst
from pacer.plan.pasted.characters import is_rule, take_total, total_beside_total
from pacer.plan.pasted.drawnbrackets import drawn
from pacer.plan.pasted.headings import Heading, heading_of, known_heading
from pacer.plan.pasted.joining import LABEL, PARTS, without_marks
from pacer.plan.pasted.lanecolumns import in_columns, label_of, lanes_marked, lettered
from pacer.plan.pasted.pastedheader import head_of
from pacer.plan.pasted.runningtotals import SET_LIKE, accounts_for_groups, is_account, more_totals
from pacer.plan.pasted.scrap import Ask, Kind, Open, Scrap, Total
from pacer.plan.regex import regex
from pacer.plan.text.lanewise import about_lanes
from pacer.plan.words.labels import groups_of, is_work
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
    r"\d{1,2}\s?-\s?\d{1,2}\s+(?![xX]\b)[^\W\d](?!\s*[xX×])|\d(?!\d|\s*(?:/\s*\d|[xX×*:.,'\"″(-]|to\b|by\b|lengths?\b|widths?\b|laps?\b|m\b|min|sec|s\b|k\b|L\b|rounds?|rds|times|lots|sets|hours?|\d))",
    re.IGNORECASE,
)
_KNOWN_LABELS = {word for word, (kind, _) in LINE_WORDS.items() if kind} | {"all", "everyone", "everybody"}
_GROUPED = regex(r"group|lanes?|squad|and\b|slow|fast|fins|paddles|buoy|board|snorkel", re.IGNORECASE)
#: A line that says who swims the sets below.
_FOR_SOME = regex(
    r"(?P<groups>(?:lanes?|groups?)\s*[0-9A-Z](?:\s*(?:-|&|,|to|and|\+)\s*[0-9A-Z])*|everyone|everybody|all(?:\s+lanes)?)\s*:?",
    re.IGNORECASE,
)
#: `"Downhill" x 2`, above its sets.
_QUOTED_NAME = regex(r"[\"“](?P<name>[^\"“”]{2,40})[\"”]\s*[x×]\s*(?P<n>\d{1,2})")
#: A whole line in brackets that begins with words.
_ASIDE = regex(r"\((?=[^\W\d]{2})(?!\s*(?:rest|on|off|with|as|odd|even|alt)\b)[^()]*\)", re.IGNORECASE)
_BETWEEN = regex(r"\b(?:between|btwn|betw|btw)(?:\s+(?:rounds|rds|sets|each))?\W*$", re.IGNORECASE)
#: A day at the head of a page: `TUE 5:45`.
_DAY = regex(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\b", re.IGNORECASE)
#: Some of the repeats of the set above: `1-10   1.14 or better`.
_SOME = regex(r"\d{1,2}\s?-\s?\d{1,2}\s+(?:\d{1,2}[.:]\d\d|:\d\d)(?!\s*[x×])")
#: What some swim instead, in words.
_INSTEAD = regex(r"(?:or|alternatively|instead)\b\s*:?\s+\S|R\d\s+[^\W\d]|rounds?\s+\d+\s*[-:–=]", re.IGNORECASE)
COLON_LABEL = regex(r"[^\d:]{1,20}\d{0,2}\s*:")
#: The names of lanes or groups above their columns: `L1   L2   L3`.
_LANE_HEADS = regex(
    r"(?:(?:lanes?\s?|ln\s?|l)\d\s{2,}){1,9}(?:lanes?\s?|ln\s?|l)\d|(?:[A-Z]\s{2,}){1,9}[A-Z]", re.IGNORECASE
)
#: Names of sections that are words of other things too: `relay starts 10 min`.
_LIKE_GAMES = regex(r"(?:relays?|games?)\b", re.IGNORECASE)
_SWUM_ABOVE = (Kind.SECTION, Kind.SET, Kind.ROUNDS)
#: A rule in so many words or more, such as `Always: leave 5 secs apart, fastest first`, is no title.
_RULED = regex(r"[^():=]{1,24}[:=]\s.*")
LEAST_RULE = 7
#: An arrow in front of a line, or between two things of it.
_ARROW_FIRST = regex(r"^(?:→|->|=>|➔|↳)\s*")
_ARROW = regex(r"\s+(?:→|->|=>)\s+")
_ARROW_RANGE = regex(r"(?<=\b\d)\s*->\s*(?=\d{1,2}\b(?!\s*[x×]))")
#: A bracket around a whole set.
_WHOLE = regex(r"[\[{]\s*(\d[^\[\]{}]*?)\s*[\]}]")
_OPENING = regex(r"[{\[]\s*(?=\d)")
_LANES = regex(r"(?P<lanes>(?:lanes?\s*|ln\s*|L)\d+(?:\s*(?:-|/|&|,|\+|to|and)\s*\d+)*)\s*:?\s+(?=\d)", re.IGNORECASE)
_REST = regex(r"(?:extra\s+)?(?:rest|break|(?-i:r)\s?:?\s?\d|R\s?:?\s?(?:\d\d|:\d)|ri\s?:?\s?\d)", re.IGNORECASE)
#: A line that begins with one of these continues the set above.
_MORE = regex(
    r"(?:@|\+|/|&)\s*\S|(?:on|every|off|leave|leaving|go|send[\s-]?off|s/o|ri|interval)\b\s*[:.@]?\s*(?:(?:on|off|every|the|a)\s+)*:?(?:\d|base|css|half|min|[A-Z]:?\s+:?\d)"
    r"|(?:hold(?:ing)?|desc\w*|asc\w*|w/(?![udo]\b)|with|odds?|evens?|alternat\w*"
    r"|\#\s*\d|as|by|breathe|breathing|neg\w*|build(?:ing)?)\b\s*[:.#]?\s*\S",
    re.IGNORECASE,
)


def sort_out(scraps: list[Scrap]) -> list[Scrap]:
    """The same lines, each with its kind; a line with a section's name and a set becomes two."""
    made: list[Scrap] = []
    below = False  # whether the first section or set has come
    titled = False
    paired = sum(total_beside_total(scrap.written) for scrap in scraps) > 1
    for scrap in scraps:
        take_total(scrap, paired)
        scrap.text = _ARROW_RANGE.sub("-", _ARROW_FIRST.sub("", scrap.text))
        scrap.text = _ARROW.sub(", ", scrap.text)
    drawn(scraps)
    more_totals(scraps, is_set)
    lettered(scraps)
    columns = in_columns(scraps)
    for place, scrap in enumerate(scraps):
        if (whole := _WHOLE.fullmatch(scrap.text)) and is_set(whole[1]):
            scrap.text = whole[1]
        if is_rule(scrap.text):
            scrap.kind = Kind.RULE
        elif not scrap.text:
            scrap.kind = Kind.TOTAL if scrap.total else Kind.REMARK if scrap.written.strip() else Kind.BLANK
        elif not below and not titled and _is_day(scrap.text):
            scrap.kind, titled = Kind.TITLE, True
        elif not below and (head := head_of(scrap.text)) and (head.pool or not known_heading(scrap.text)):
            scrap.kind, titled = Kind.HEAD, titled or bool(head.title)
        else:
            first = not titled and not below
            found = _kind_of(scrap, made, _leads(scraps, place), first, columns)
            if not below and found[0].kind in (Kind.NOTE, Kind.REMARK):
                _sort_head(found[0], titled)
                titled = titled or found[0].kind is Kind.TITLE
            below = below or found[0].kind in (Kind.SECTION, Kind.SET, Kind.ROUNDS)
            made += found
            continue
        made.append(scrap)
    _for_some_lanes(made)
    _named_only(made)
    _end(made)
    return made


def _sort_head(scrap: Scrap, titled: bool) -> None:
    """Words above all sets: the title, a greeting, or something that may be for the swimmers."""
    ruled = _RULED.fullmatch(scrap.text) and len(scrap.text.split()) >= LEAST_RULE
    if not titled and not ruled and scrap.kind is Kind.NOTE and not _is_remark(scrap.text):
        scrap.kind = Kind.TITLE
    elif _GREETING.fullmatch(scrap.text) or _LANE_HEADS.fullmatch(scrap.text):
        scrap.kind = Kind.REMARK
    else:
        scrap.kind, scrap.ask = Kind.LABEL, Ask(Open.ABOVE, scrap.text)


def _is_day(text: str) -> bool:
    """Whether a line is the day of the session and nothing else that a page's head says."""
    return bool(_DAY.match(text)) and not head_of(text) and not SET_LIKE.search(text)


def _for_some_lanes(scraps: list[Scrap]) -> None:
    """`Lanes 1-2:` alone on a line is for the sets below it, up to the next such line, a section or a gap."""
    label = ""
    swum = False
    for place, scrap in enumerate(scraps):
        match = _FOR_SOME.fullmatch(scrap.text) if scrap.kind in (Kind.SECTION, Kind.NOTE, Kind.ROUNDS) else None
        if match and _leads(scraps, place) and not scrap.details:
            groups = groups_of(match["groups"])
            if groups is not None:
                label, swum = match["groups"].strip() if groups else "", False
                scrap.kind, scrap.text = Kind.LABEL, ""
                continue
        if scrap.kind is Kind.SECTION or scrap.kind is Kind.BLANK and swum:
            label = ""
        elif scrap.kind is Kind.SET and label and not COLON_LABEL.match(scrap.text):
            scrap.text, swum = f"{label}: {scrap.text}", True


def _kind_of(scrap: Scrap, above: list[Scrap], leads: bool, first: bool, columns: bool) -> list[Scrap]:
    """What a line is, given those above it; the `first` with words is more likely the title than a section's name."""
    text = scrap.text
    set_above = next((each for each in reversed(above) if each.kind is not Kind.MORE), None)
    if set_above is not None and set_above.kind is Kind.SET and _goes_on(scrap, set_above):
        scrap.kind = Kind.MORE
    elif _is_rounds(text):
        scrap.kind = Kind.ROUNDS
    elif (
        _LANE_HEADS.fullmatch(text)
        or set_above is not None
        and is_account(text)
        and not (leads and text[-1:].isdigit() and not accounts_for_groups(text))
    ):
        scrap.kind = Kind.REMARK
    elif (quoted := _QUOTED_NAME.fullmatch(text)) is not None:
        return _section(scrap, Heading(quoted["name"], [f"{quoted['n']} rounds"]), leads)
    elif any(each.kind in _SWUM_ABOVE for each in above) and _words_first(text, leads and _apart(above)):
        scrap.kind = Kind.SET
    elif known := known_heading(text):
        return _section(scrap, known, leads)
    elif _INSTEAD.match(text) or _ASIDE.fullmatch(text) or _of_set(text, above):
        scrap.kind = Kind.NOTE
    elif not first and (labelled := label_of(text, columns)) and not _LANES.match(text) and _names_section(*labelled):
        return _labelled(scrap, *labelled, leads)
    elif set_above is not None and set_above.kind is Kind.SET and about_lanes(text):
        scrap.kind = Kind.NOTE
    elif is_set(text):
        scrap.kind = Kind.SET
        if (label := LABEL.match(text)) and not (label[1].casefold() in _KNOWN_LABELS or _GROUPED.match(label[1])):
            scrap.ask = Ask(Open.NAME, label[1])
        scrap.text = without_marks(lanes_marked(text))
    elif _is_remark(text) and not scrap.marked:
        scrap.kind = Kind.NOTE if set_above is not None and not _GREETING.fullmatch(text) else Kind.REMARK
    elif (not first or text.endswith(":")) and (heading := heading_of(text, scrap.marked, leads, _apart(above))):
        return _section(scrap, heading, leads)
    else:
        scrap.kind = Kind.NOTE
    return [scrap]


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
    return not _is_rounds(rest) and (lanes is None or len(lanes) == 1 and not lanes[0].startswith("lane "))


def _of_set(text: str, above: list[Scrap]) -> bool:
    """Whether a line says something about some repeats of the set above it."""
    last = next((scrap for scrap in reversed(above) if scrap.kind not in (Kind.NOTE, Kind.MORE)), None)
    return last is not None and last.kind is Kind.SET and bool(_SOME.match(text))


def _labelled(scrap: Scrap, label: str, rest: str, leads: bool) -> list[Scrap]:
    """A set with a name to the left of it: a section, or a group of the squad; the coach is asked which."""
    if is_work(label):  # its own sets are that work
        made = _section(scrap, Heading(label, rest=rest), leads)
        if len(made) > 1 and not re.match(r"\d+\s*[x×]\s*[({\[]", made[1].text):
            made[1].text = f"{label} {made[1].text}"
        return made
    if not is_set(rest):
        return _section(scrap, Heading(label, rest=rest), leads) if leads else _as(scrap, Kind.NOTE)
    scrap.kind, scrap.ask, scrap.text = Kind.SET, Ask(Open.NAME, label), without_marks(f"{label}: {rest}")
    return [scrap]


def _as(scrap: Scrap, kind: Kind) -> list[Scrap]:
    scrap.kind = kind
    return [scrap]


def _section(scrap: Scrap, heading: Heading, leads: bool) -> list[Scrap]:
    """A section's name, and the set or the words after it."""
    rest = re.sub(r"^(all|everyone|everybody)\s*[:,]?\s+(?=\d)", r"\1: ", heading.rest.strip(), flags=re.IGNORECASE)
    wrapped = re.fullmatch(r"\((.*)\)|\[(.*)\]", rest)
    if wrapped and is_set(wrapped[1] or wrapped[2] or ""):
        rest = wrapped[1] or wrapped[2]
    scrap.kind, scrap.details, scrap.text = Kind.SECTION, heading.details, heading.name
    if heading.minutes:
        scrap.ask = Ask(Open.MINUTES, f"{heading.minutes} min")
    rest = re.sub(r"^-\s+", "", rest)
    if heading.minutes and rest and not is_set(rest) and (not leads or key_of(rest) in LINE_WORDS):  # 10 mins: choice
        rest, scrap.ask = f"{heading.minutes} min {rest}", None
    if not rest:
        return [scrap]
    if leads and re.fullmatch(r"\d{3,5}\s*m?", rest):  # the sets below are what it comes to
        scrap.total = scrap.total or Total(int(rest.strip("m ")), "section")
        return [scrap]
    if _BETWEEN.search(rest) and not re.search(r"\d\s*[x×]", rest):
        scrap.cue = rest.strip("()[]- ")
        return [scrap]
    rest = lanes_marked(rest)
    if is_set(rest) or _is_rounds(rest):
        kind = Kind.ROUNDS if _is_rounds(rest) else Kind.SET
        inner = replace(
            scrap, text=without_marks(rest), kind=kind, details=[], ask=None, before=[], indent=scrap.indent + 1
        )
        scrap.total = None
        return [scrap, inner]
    scrap.cue = rest.strip("()[]- ")
    return [scrap]


def is_set(text: str) -> bool:
    """Whether a line is swum: it counts something, and has nothing that a set does not have."""
    text = _OPENING.sub("", text, count=1)
    if _SMALL.match(text):
        return False
    if _LANES.match(text):
        return True
    if _COUNTED.match(text) and not re.match(r"\d{1,2}(?:st|nd|rd|th)\b|\d{1,2}[./]\d{1,2}[./]\d{2,4}", text):
        return True
    if SET_LIKE.search(text) or _REST.match(text) and re.search(r"\d", text):
        return True
    if re.match(r"(?:all|everyone|everybody)\s*:\s*\d", text, re.IGNORECASE):
        return True
    label = re.match(r"([^:\d]{1,24}\d?(?:\s*[-&,]\s*\d)?)\s*:(?:\s+(?=\d)|(?=\d{1,2}\s*[x×]|\d{3}))", text)
    if label and len(label[1].split()) <= 3:
        return True
    words = text.casefold().split()
    known = words[0].strip(",.:;") in _WORDS_OF_WORK | _LEADS if words else False
    return known and bool(_DISTANCE.search(text)) and not text.endswith(("!", "?"))


def _is_rounds(text: str) -> bool:
    """Whether a line only says how often others are swum."""
    return bool(ROUNDS.fullmatch(text) or CLOSES.fullmatch(text) or text in ("(", "[", "{"))


_TIMES = r"(?:\s*(?:rounds?|rds?\.?|times|sets))"
#: `3 x:`, `3 rounds of:`, `x 2`, `repeat 3 times`, `2 times through`.
ROUNDS = regex(
    rf"[({{\[]?\s*(?:repeat\s*(?:all|the\s+above|above|this|set|everything|whole\s+set)?\s*(?:of\s+)?)?(?:(?P<n>\d{{1,2}}|two|three|four|five|six){_TIMES}(?:\s+(?:of|through|thru)(?:\s+(?:this|these|the\s+following))?)?|(?P<m>\d{{1,2}})\s*[x×](?:\s*(?:through|thru))?"
    rf"|[x×]\s*(?P<k>\d{{1,2}})(?:\s*(?:through|thru))?|(?P<word>twice))\s*[:.]?\s*[({{\[)}}\]]?",
    re.IGNORECASE,
)
#: A closing bracket, with or without a count.
CLOSES = regex(r"[)}\]]\s*(?:[x×*]\s*\d{1,2}|\d{1,2}\s*[x×]|\d{1,2}\s*times)?", re.IGNORECASE)


def _goes_on(scrap: Scrap, above: Scrap) -> bool:
    """Whether a line continues the set above it."""
    deeper = scrap.indent > above.indent
    if re.search(r"\binstead\b", scrap.text, re.IGNORECASE):
        return False
    if deeper and (PARTS.match(scrap.text) or _REST.match(scrap.text) and not SET_LIKE.search(scrap.text)):
        return True
    if re.match(r"(?:odds?|evens?)\b", scrap.text, re.IGNORECASE) and not re.search(r"\d\s*[x×*]", above.text):
        return False  # one repeat is neither odd nor even
    return bool(_MORE.match(scrap.text)) and not SET_LIKE.search(scrap.text)


def _apart(above: list[Scrap]) -> bool:
    """Whether there is a blank line, a rule or nothing above."""
    return not above or above[-1].kind in (Kind.BLANK, Kind.RULE, Kind.HEAD, Kind.TITLE)


def _leads(scraps: list[Scrap], place: int) -> bool:
    """Whether the next line with words is a set."""
    for below in scraps[place + 1 :]:
        if below.text and not is_rule(below.text):
            return (is_set(below.text) or _is_rounds(below.text)) and not head_of(below.text)
    return False


def _is_remark(text: str) -> bool:
    return bool(_GREETING.fullmatch(text) or _KEYED.fullmatch(text)) or text.endswith((",", "?"))


def _end(scraps: list[Scrap]) -> None:
    """Keep words at the page's end, apart from the sets, as remarks; they are not for the swimmers."""
    for place in range(len(scraps) - 1, -1, -1):
        scrap = scraps[place]
        if scrap.kind in (Kind.SET, Kind.SECTION, Kind.ROUNDS, Kind.MORE):
            return
        if scrap.kind is Kind.NOTE and any(
            each.kind in (Kind.BLANK, Kind.RULE, Kind.TOTAL) for each in _since(scraps, place)
        ):
            scrap.kind = Kind.REMARK


def _named_only(scraps: list[Scrap]) -> None:
    """A section's name with words and no sets below it, such as `wd - til they kick us out`, is a note."""
    for place, scrap in enumerate(scraps):
        if scrap.kind is not Kind.SECTION or not scrap.cue:
            continue
        kinds = (each.kind for each in scraps[place + 1 :])
        below = next((kind for kind in kinds if kind in (Kind.SET, Kind.ROUNDS, Kind.SECTION)), None)
        if below in (None, Kind.SECTION) and any(each.kind is Kind.SET for each in scraps[:place]):
            scrap.kind, scrap.text, scrap.cue = Kind.NOTE, scrap.written.strip(), ""


def _since(scraps: list[Scrap], place: int) -> list[Scrap]:
    """The lines between the last set above a line and the line."""
    start = next((at for at in range(place - 1, -1, -1) if scraps[at].kind in (Kind.SET, Kind.MORE)), -1)
    return scraps[start + 1 : place]
