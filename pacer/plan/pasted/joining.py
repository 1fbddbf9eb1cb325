"""Lines of a pasted page that continue the set above them, and counts that divide it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from pacer.plan.layout.pastedline import Kind, PastedLine
from pacer.plan.layout.roundsaid import rest_with_words
from pacer.plan.regex import regex
from pacer.plan.words.labels import is_work
from pacer.plan.words.linepatterns import REST_BETWEEN

#: A line indented deeper than a set that says how each part of the set is swum.
PARTS = regex(
    r"\(.*\)$|#?\d{1,2}\s*(?:-|to|&)\s*#?\d{1,2}\s*[:=]?\s+[a-z]|(?:1st|2nd|3rd|\dth|first|second|third|last)\s+\d*"
    r"|\d{2,4}\s*m?\s+[a-z][a-z ]*(?:\s*[/,+-]\s*\d{2,4}\s*m?\s+[a-z][a-z ]*)+$",
    re.IGNORECASE,
)
_FIRST = regex(
    r"(?P<length>\s*(?:\d+\s*(?:x|×|\*|by)\s*)?\d[\d,]*\s*(?:m|mtrs?|met(?:re|er)s?|yds?)?(?:'?s)?)(?P<rest>\b.*)$",
    re.IGNORECASE,
)
#: A word before a set: the name of a section or of a group.
LABEL = regex(
    r"([^\W\d_]{2,}(?: [^\W\d_][\w'’-]+){0,2}(?: \d{1,2})?|[A-Z] [^\W\d_]{3,}|[^\W\d_]+(?:-\w+)+"
    r"|\d(?:st|nd|rd|th)s?|[a-z]/[a-z])\s*:\s+(?=\d)"
)
_ROUNDS = regex(r"(?P<sets>\d+\s*[x×]\s*[(\[{].*)(?P<close>[)\]}])(?P<behind>[^()\[\]{}]*)")
#: `#1`, the number of a repeat.
NUMBERED = regex(r"#\s*(?=\d)")
_ONE_LISTED = regex(r"(#\s*\d{1,2}(?:\s*(?:,|&|and)\s*#?\d{1,2})*)\s+((?!and\b)[a-z][a-z ]*)", re.IGNORECASE)
_LISTED = regex(rf"(?:{_ONE_LISTED.pattern}(?:\s*,\s*)?){{2,}}", re.IGNORECASE)


def without_marks(text: str) -> str:
    """A set's text without the marks of its repeats' numbers; `#1, 3 swim, #2, 4 pull` is put in the repeats' order.

    >>> without_marks("4 x 100 #1, 3 swim, #2, 4 pull"), without_marks("8 x 50 #1-4 kick")
    ('4 x 100 repeats 1 swim / 2 pull / 3 swim / 4 pull', '8 x 50 #1-4 kick')
    """
    match = _LISTED.search(text)
    if match is None:
        return text
    work: dict[int, str] = {}
    for numbers, said in _ONE_LISTED.findall(match[0]):
        work.update(dict.fromkeys(map(int, re.findall(r"\d+", numbers)), said.strip()))
    ranges = " / ".join(f"{number} {work[number]}" for number in sorted(work))
    head, rest = text[: match.start()].rstrip(" ,:"), text[match.end() :].strip(" ,")
    first = _FIRST.match(head)
    if first and first["rest"].strip(" ,"):
        return f"{first['length'].strip()} repeats {ranges}, {first['rest'].strip(' ,')}" + (
            f", {rest}" if rest else ""
        )
    return f"{head} repeats {ranges}" + (f", {rest}" if rest else "")


def named_set(texts: Iterable[str]) -> tuple[str, list[str]] | None:
    """The name in front of a set in one of some texts, and the first two numbers of the set; None if it has none.

    >>> named_set(["Year 9 - 6 x 100", "  Year 9: 6 x 100"])
    ('Year 9', ['6', '100'])
    """
    for text in map(str.lstrip, texts):
        if match := LABEL.match(text):
            return match[1], re.findall(r"\d+", text[match.end() :])[:2]
    return None


def join(page: list[PastedLine]) -> None:
    """Add the lines that continue a set to the set's text."""
    _rest_for_all(page)
    _between_rounds(page)
    _share_out_lines(page)
    above: PastedLine | None = None
    parts: list[str] = []
    behind: list[str] = []
    for pasted in [*page, PastedLine(0, "", "")]:
        if pasted.kind is Kind.MORE:
            text = pasted.text.strip(" ,;")
            if not text:
                continue
            deeper = PARTS.match(text) or re.match(r"odds?\b|evens?\b|#", text, re.IGNORECASE)
            (parts if deeper else behind).append(without_marks(text))
            if pasted.total and above and not above.total:
                above.total, pasted.total = pasted.total, None
        elif pasted.kind in (Kind.NOTE, Kind.BLANK) and pasted.number:
            continue
        else:
            if above is not None and (parts or behind):
                above.text = _joined(above.text, parts, behind)
            above, parts, behind = pasted if pasted.kind is Kind.SET else None, [], []
    _share_out(page)


def _joined(text: str, parts: list[str], behind: list[str]) -> str:
    """A set's text with the parts of its repeats before its details, and more details after them."""
    text = re.sub(r"\s*(?::|\bas)$", "", text)
    first = _FIRST.match(text)
    first = None if first and re.fullmatch(r"\s*\d\s*", first["length"]) else first  # 3 goes of: 100, 50
    if parts and first:
        ranges = [re.sub(r"^([\d\s&-]+?)\s*[:=]?\s+(?=[a-z])", r"\1 ", part, flags=re.IGNORECASE) for part in parts]
        if all(re.match(r"\d{1,2}(?:\s*-\s*\d{1,2})?\s+[a-z]", part, re.IGNORECASE) for part in ranges):
            said = f"repeats {' / '.join(ranges)}"
        else:
            said = ", ".join(parts)
            said = f"({said})" if re.match(r"\d", said) else said
        rest = first["rest"].strip(" ,")
        text = f"{first['length'].strip()} {said}" + (f", {rest}" if rest else "")
        parts = []
    return ", ".join([text, *parts, *behind])


#: `16 x 50 on 1:00`, `Threshold: 30 x 100`, `KICK 12 x 50`, with lines for some of them below.
_SHARED = regex(
    r"(?:(?P<name>[^\W\d_]+)(?P<colon>:)?\s+)?(?P<n>\d+)\s*[x×]\s*(?P<length>\d{2,4})\s*(?:m|s)?\s*(?P<rest>.*?)[\s:]*"
)


def _share_out(page: list[PastedLine]) -> None:
    """Counts below a set that add up to its own, such as `4 fly` below `16 x 50`, become sets of their own."""
    for place, pasted in enumerate(page):
        whole = _SHARED.fullmatch(pasted.text) if pasted.kind is Kind.SET else None
        if whole is None:
            continue
        shares = []
        for below in page[place + 1 :]:
            share = re.match(r"(\d{1,2})\s+(?=[a-z])(?!x\s*\d|goes|rounds|times|lots)", below.text, re.IGNORECASE)
            if share is None or below.kind not in (Kind.SET, Kind.NOTE):
                break
            shares.append((below, int(share[1]), below.text[share.end() :]))
        if not shares or sum(count for _, count, _ in shares) != int(whole["n"]):
            continue
        work = [] if whole["colon"] or not whole["name"] else [whole["name"]]
        first, behind = whole["rest"].split(" ")[0], [whole["rest"]] if whole["rest"] else []
        if first and is_work(first):
            work, behind = [*work, whole["rest"]], []
        for below, count, rest in shares:
            below.kind = Kind.SET
            below.text = ", ".join([" ".join([f"{count} x {whole['length']}", *work, rest]), *behind])
        pasted.text = ""
        if whole["colon"]:
            pasted.kind, pasted.text, pasted.ask = Kind.SECTION, whole["name"], None


#: `:30 rest between everything`, `20 secs after each`, `30s between`
_FOR_ALL = regex(
    r"(?:rest\s+(?P<a>:?\d[\d:]*\s*(?:s|secs?|seconds?|mins?|\")?)|(?P<b>:?\d[\d:]*\s*(?:s|secs?|seconds?|mins?|\")?)\s*(?:rest|ri)?)"
    r"\s+(?:in\s+)?(?:(?:between|btwn|betw|btw|after)\s+(?:everything|all|every(?:\s+(?:one|swim|rep|length))?"
    r"|(?P<each>each)(?:\s+(?:one|swim|rep|length|\d{2,3}))?|(?:the\s+)?(?:reps|repeats|lengths|swims|\d{2,3}s))|(?P<bare>between)(?=\s*(?:[,.;(]|$)))"
    r"(?P<more>\W.*)?",
    re.IGNORECASE,
)
_COUNTED = regex(r"(?:[^\W\d]+\s+)*(?:[2-9]|\d\d)\s*[x×]")
HAS_TIME = regex(
    r"\b(?:on|off|rest|ri?|every)\b\s*:?\d|@\s*:?\d(?!\d*\s?%)|\d\s*(?:s|secs?|\")(?!\w)|:\d\d", re.IGNORECASE
)


def _rest_for_all(page: list[PastedLine]) -> None:
    """Add `:30 rest between everything`, below sets that have no time of their own, to each of them.

    `30s between` may be between rounds: below rounds it isn't added to the sets.
    """
    for place, pasted in enumerate(page):
        match = _FOR_ALL.fullmatch(pasted.text) if pasted.kind is Kind.SET else None
        if match is None:
            continue
        above: list[PastedLine] = []
        rounds = False
        for before in reversed(page[:place]):
            if before.kind in (Kind.BLANK, Kind.SECTION, Kind.RULE, Kind.ROUNDS):
                rounds = before.kind is Kind.ROUNDS or any(
                    each.endswith(("round", "rounds")) for each in before.details
                )
                break
            if before.kind is Kind.SET:
                rounds = rounds or bool(_ROUNDS.fullmatch(before.text))
                above.append(before)
        if rounds and (match["each"] or match["bare"]):
            continue
        if match["bare"]:
            if not above or not _COUNTED.match(above[0].text):
                continue
            del above[1:]
        if above and not any(HAS_TIME.search(each.text) for each in above):
            for each in above:
                each.text += f", rest {match['a'] or match['b']}"
            pasted.kind, pasted.text = Kind.NOTE, (match["more"] or "").strip(" ,-") and pasted.text


def _between_rounds(page: list[PastedLine]) -> None:
    """Move `1:00 rest between rounds`, below rounds in one line, into their bracket."""
    above = None
    for pasted in page:
        match = REST_BETWEEN.fullmatch(pasted.text) if pasted.kind is Kind.SET else None
        if match:
            rest = f"rest {rest_with_words(match)}"
            rounds = _ROUNDS.fullmatch(above.text) if above is not None else None
            if above is not None and rounds is not None:
                above.text = f"{rounds['sets']} + {rest}{rounds['close']}{rounds['behind']}"
                pasted.text, pasted.kind = "", Kind.MORE
            else:
                pasted.between, pasted.text = pasted.text, rest
        elif pasted.kind is Kind.SET:
            above = pasted


# ---- lines below a set that each say one repeat of it, or how many go on which interval

#: `4 x 400 f/c`, with a line for each of the four below it.
_SHARED_OUT = regex(r"(?P<n>\d{1,2})\s*[x×]\s*(?P<length>\d{2,4})\s*m?\b(?P<rest>.*)", re.IGNORECASE)
_REPEAT = regex(r"#?\s*(?P<n>\d{1,2})\s*(?:[-–.):=]+\s*|\s+(?=[a-z@#]))(?P<said>\S.*)", re.IGNORECASE)
#: `100s - 5 on 1:45`, with `4 on 1:40` below it.
_PLURAL = regex(r"(?P<length>\d{2,4})\s*'?s\s*[-–:]*\s*(?P<first>\d{1,2}\s+(?:on|off|@)\s*\S.*)?", re.IGNORECASE)
_SO_MANY = regex(r"\d{1,2}\s+(?:on|off|@)\s*:?\d\S*.*", re.IGNORECASE)
_LINES = (Kind.SET, Kind.NOTE, Kind.MORE)


def _share_out_lines(page: list[PastedLine]) -> None:
    """Make sets of the lines below a set that share its repeats out."""
    for place, pasted in enumerate(page):
        if pasted.kind not in (Kind.SET, Kind.NOTE):
            continue
        if (match := _PLURAL.fullmatch(pasted.text)) is not None:
            _by_interval(page, place, match)
        elif pasted.kind is Kind.SET and (match := _SHARED_OUT.fullmatch(pasted.text)) is not None:
            _one_by_one(page, place, match)


def _by_interval(page: list[PastedLine], place: int, match: re.Match[str]) -> None:
    below = []
    for pasted in page[place + 1 :]:
        if pasted.kind not in _LINES or not _SO_MANY.fullmatch(pasted.text):
            break
        below.append(pasted)
    if not below:
        return
    for pasted in below:
        count, _, rest = pasted.text.partition(" ")
        pasted.kind, pasted.text = Kind.SET, f"{count} x {match['length']} {rest.strip()}"
    first = match["first"]
    page[place].kind = Kind.SET
    page[place].text = re.sub(r"^(\d{1,2})\s+", rf"\1 x {match['length']} ", first) if first else ""


def _one_by_one(page: list[PastedLine], place: int, match: re.Match[str]) -> None:
    count = int(match["n"])
    below = []
    for number, pasted in enumerate(page[place + 1 : place + 1 + count], start=1):
        one = _REPEAT.fullmatch(pasted.text) if pasted.kind in _LINES else None
        if one is None or int(one["n"]) != number or pasted.indent < page[place].indent:
            return
        below.append((pasted, one["said"]))
    if len(below) != count or count < 2:
        return
    rest = match["rest"].strip(" ,:")
    for pasted, said in below:
        pasted.kind, pasted.text = Kind.SET, f"{match['length']} {rest} {said}".replace("  ", " ")
    page[place].text = ""
