"""Find words in a plan for things that can hurt people: breath-holding, few breaths, underwater distance.

The fit adds nothing to such a line, and nobody is timed or ranked on it. A flag is only a flag: the coach decides, and
confirms each flagged line for each session.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from pacer.language import tr
from pacer.plan.model import Plan, Section, SetLine
from pacer.plan.planlines import numbered_lines
from pacer.plan.regex import regex
from pacer.timeline.findings import Finding, Severity

BREATH_WARNING = tr(
    "swimmers can pass out under water without warning. Rules: one swimmer at a time, supervised, fully rested "
    "first; no hyperventilation (fast, deep breaths); never repeated, never as a competition; stop at the urge to "
    "breathe"
)
DIVE_WARNING = tr(
    "check the depth and that the water is clear; only swimmers who have been taught to dive; the "
    "pool's own rules come first"
)

#: Breathing only every so many arm strokes, or less often, counts as few breaths. Common practice, no source.
FEW_BREATHS_FROM = 6

_BREATH = regex(
    r"""
      \b(?:no|without|zero|hold(?:ing)?(?:\s+(?:your|the|their|a))?|one|single|few(?:er)?|limited|minimal|[0-4])[\s-]+
          (?:breath(?:s|e|ing)?|air)\b
    | \bbreath[\s-]*(?:hold|control|restrict)\w*
    | \b(?:don['’]?t|do\s+not|never|not)\s+breathe\b
    | \bhypoxic\b | \bapno?ea\b
    | \blung[\s-]?bust\w*
    | \bunder[\s-]?water\b(?!\s+(?:recovery|arms?|pull|catch|press|sweep|phase|stroke|view|camera|video))
    | \bsubmerged?\b | \bunder\s+the\s+surface\b
    """,
    re.I | re.X,
)
_EVERY = regex(r"\bbreath(?:e|ing|s)?\s+every\s+(\d+)(?:\s*(?:[-–/,]|to)\s*(\d+))*", re.I)
_DIVE = regex(r"\b(?:dives?|diving|dive[\s-]?start|racing\s+starts?|block\s+starts?|off\s+the\s+blocks?)\b", re.I)


def warning_in(text: str) -> str:
    """The warning for words of a line or cue, "" for none.

    >>> warning_in("breathe every 3"), bool(warning_in("25 underwater, no breath"))
    ('', True)
    """
    if _BREATH.search(text):
        return BREATH_WARNING
    for found in _EVERY.finditer(text):
        if max(int(number) for number in re.findall(r"\d+", found[0])) >= FEW_BREATHS_FROM:
            return BREATH_WARNING
    return DIVE_WARNING if _DIVE.search(text) else ""


def hazards(plan: Plan) -> tuple[tuple[int, int, Finding], ...]:
    """A finding for each line whose work or cue, or whose section's name or cue, contains a hazard.

    Each with the section's index and the line's number.
    """
    made = []
    for index, number, section, line in _flagged(plan):
        warning = next(filter(None, map(warning_in, _words(section, line))))
        said = next(text for text in _words(section, line) if warning_in(text))
        message = tr("“{said}” can be dangerous", said=said)
        at = line.span.line if line.span else None
        made.append((index, number, Finding(Severity.HAZARD, at, (), message, warning)))
    return tuple(made)


def hazard_lines(plan: Plan) -> frozenset[tuple[int, int]]:
    """Flagged lines as (section index, line number); the fit adds nothing to them."""
    return frozenset((section, number) for section, number, _, _ in _flagged(plan))


def flagged(section: Section, line: SetLine) -> bool:
    """Whether a line of a section is flagged: it is never timed."""
    return any(map(warning_in, _words(section, line)))


def _flagged(plan: Plan) -> Iterator[tuple[int, int, Section, SetLine]]:
    for index, number, section, line in numbered_lines(plan):
        if flagged(section, line):
            yield index, number, section, line


def _words(section: Section, line: SetLine) -> list[str]:
    words = [line.cue]
    for part in line.pattern.parts:
        for segment in part.segments:
            words += [segment.work.name, segment.cue]
    return [text for text in (*words, section.name, section.cue) if text]
