"""Numbers that a line gives to all lines below it: `Drills, all 4 x 25, 15s` above `a) front scull`."""

from __future__ import annotations

import re
from dataclasses import replace

from pacer.plan.layout.headings import known_heading
from pacer.plan.layout.pastedline import Kind, PastedLine
from pacer.plan.layout.tables import DEEPER
from pacer.plan.regex import regex
from pacer.plan.words.labels import kind_of_work

_EACH = r"(?:of\s+)?(?:each(?:\s+(?:one|drill|of))?|all|the\s+following|these)\b(?:\s+of)?(?:\s+these)?"
#: The name, the numbers with a word that they are for all, and what else is said.
_GIVES = regex(
    rf"(?P<name>[^\W\d][^\d:;,(]*?)?[\s:;,(–-]*(?P<all>\b(?:all|each|everything)\s+(?:(?:is|are|done|as|of)\s+)?)?"
    rf"(?P<set>(?:\d{{1,2}}\s*[x×]\s*)?\d{{2,4}}\s?m?)(?![\d:.x×%]|\s*[x×])(?P<each>\s*{_EACH})?[\s,;:)]*(?P<rest>(?:[^:]|:(?=\d\d))*?)\s*[:–-]?",
    re.IGNORECASE,
)
_MARKED = regex(r"\s*(?:[-*•]|\(?[a-hA-H][.):]|\(?\d{1,2}[.)])\s*\S")
_OWN = regex(r"\d\s*[x×]\s*\d|^\d{2,4}(?![\d/])|^\d{1,2}\s?-\s?\d|\b\d{2,4}\s?m\b", re.IGNORECASE)
_COUNTED = regex(r"\d\s*[x×]\s*\d", re.IGNORECASE)
_WORK = regex(r"(?:technique|drill\w*|kick\w*|pull\w*|scull\w*|swim|skills?)\b", re.IGNORECASE)
_SEVERAL = regex(r"drills?|exercises|skills|kicks", re.IGNORECASE)
#: A set whose parts are below it, one of them, and some of its repeats with their time.
_WHOLE = regex(
    r"(?P<set>(?:\d{1,2}\s*[x×]\s*)?(?P<far>\d{2,4})\s?m?)\b(?![:.]\d)(?P<rest>[^\d].*?)?[\s,]*(?:each(?:\s+one)?|as)?\s*[:–-]?",
    re.IGNORECASE,
)
_PART = regex(r"(?P<far>\d{2,4})\s?m?\s+[^\W\d][^\d×]*", re.IGNORECASE)
_REPEATS = regex(
    r"\#?(?P<a>\d{1,2})\s*[-–]\s*\#?(?P<b>\d{1,2})\s*[:,]?\s*(?P<said>(?:@|on\b|off\b|\d?\d[:.]\d\d|:\d\d).*)",
    re.IGNORECASE,
)
_SEVERAL_OF = regex(
    r"(?P<name>[^\W\d][^\d]*?)?[\s:–-]*\b(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4}\s?m?)\b(?P<rest>.*)", re.IGNORECASE
)
_TIMED = regex(r"[:.]\d\d|@|\b(?:on|off|rest|ri?)\b", re.IGNORECASE)
LEAST_GIVEN = 2  #: lines that get the numbers


def numbers_given(page: list[PastedLine]) -> list[PastedLine]:
    """A page whose lines below such a line have its numbers."""
    made: list[PastedLine] = []
    at = 0
    while at < len(page):
        pasted = page[at]
        if shared := _parts_below(page, at) or _repeats_below(page, at):
            made += shared
            at += len(shared)
            continue
        match = _GIVES.fullmatch(pasted.text)
        below = _below(page, at) if match and not _COUNTED.search(match["rest"]) else []
        set_ = _for_each(match, len(below)) if match and len(below) >= LEAST_GIVEN else ""
        at += 1
        if not match or not set_:
            made.append(pasted)
            continue
        name, rest = (match["name"] or "").strip(), match["rest"].strip(" ,;()")
        rest = re.sub(r"^(?:drills?|kicks?)\b[\s,]*", "", rest, flags=re.IGNORECASE)
        said = name.split()[0] if _WORK.match(name) else ""
        said = "drill" if said and kind_of_work(said) != "ACTIVITY" else said
        made.append(
            replace(pasted, text=f"{name}:" if name else "", marked=bool(name), kind=Kind.BLANK if name else Kind.LABEL)
        )
        for line in below:
            text = _line(line.text, set_, said, rest)
            made.append(replace(line, text=text, indent=pasted.indent + DEEPER))
        at += len(below)
    return made


def _for_each(match: re.Match[str], lines: int) -> str:
    """The set of each line: the one that is given for each, or one repeat if there are as many lines as repeats."""
    said = match["set"].strip()
    if match["all"] or match["each"]:
        return said
    count, _, far = re.sub(r"\s*[x×]\s*", "x", said, flags=re.IGNORECASE).partition("x")
    return far if _SEVERAL.search(match["name"] or "") and count == str(lines) else ""


def _parts_below(page: list[PastedLine], at: int) -> list[PastedLine]:
    """A set with the distances on the marked or indented lines below as its parts, if they add up to it."""
    head, match = page[at], _WHOLE.fullmatch(page[at].text)
    below: list[PastedLine] = []
    left = int(match["far"]) if match else 0
    for pasted in page[at + 1 :] if match else ():
        part = _PART.fullmatch(pasted.text)
        if part is None or not _deeper(pasted, head) or left <= 0:
            break
        left -= int(part["far"])
        below.append(pasted)
    after = page[at + len(below) + 1 :][:1]
    if match is None or len(below) < LEAST_GIVEN or left or after and after[0].text and _deeper(after[0], head):
        return []
    text = f"{match['set']} ({' / '.join(pasted.text for pasted in below)}){match['rest'] or ''}"
    return [replace(head, text=text), *(replace(pasted, text="", kind=Kind.MORE) for pasted in below)]


def _repeats_below(page: list[PastedLine], at: int) -> list[PastedLine]:
    """`24 x 100` above `1-8 on 1.30` and `9-24 on 1.25`: a set for each of these lines."""
    match = _SEVERAL_OF.fullmatch(page[at].text)
    made: list[PastedLine] = []
    done = 0
    for pasted in page[at + 1 :] if match and not _TIMED.search(match["rest"]) else ():
        some = _REPEATS.fullmatch(pasted.text)
        if match is None or some is None or int(some["a"]) != done + 1 or not done < int(some["b"]) <= int(match["n"]):
            break
        text = f"{int(some['b']) - done} x {match['far']} {match['rest'].strip(' ,:')} {some['said']}"
        made.append(replace(pasted, text=" ".join(text.split())))
        done = int(some["b"])
    if match is None or done != int(match["n"]):
        return []
    name = match["name"] or ""
    if known_heading(f"{name}:"):
        return [replace(page[at], text=f"{name}:"), *made]
    for pasted in made:
        pasted.text = f"{name} {pasted.text}".strip()
    return [replace(page[at], text="", kind=Kind.LABEL), *made]


def _deeper(pasted: PastedLine, head: PastedLine) -> bool:
    return pasted.indent > head.indent or bool(_MARKED.match(pasted.written)) and not _MARKED.match(head.written)


def _below(page: list[PastedLine], at: int) -> list[PastedLine]:
    """The lines right below a line that are marked or indented and count nothing."""
    found = []
    for pasted in page[at + 1 :]:
        if not pasted.text or not _deeper(pasted, page[at]) or _OWN.search(pasted.text):
            break
        found.append(pasted)
    return found


def _line(text: str, given: str, name: str, rest: str) -> str:
    """One of the lines as a set: its first words are the work, the others its note."""
    work, _, note = text.partition(",")
    words = work.split() or [""]
    own = "ACTIVITY" in {kind_of_work(words[-1]), kind_of_work(words[0])} and words[0].casefold() != "drill"
    lead = "" if own or not name else f"{name} "
    behind = f", {rest}" if rest else ""
    note = note.strip().replace('"', "'")
    if re.search(r"\d", note):
        return f"{given} {lead}{work}, {note}{behind}"
    return f"{given} {lead}{work}{behind}" + (f' "{note}"' if note else "")
