"""The questions about words of a pasted page: whether they are swum, change a set, or are for the swimmers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import dropwhile

from pacer.language import tr
from pacer.plan.freewords.betweenwords import in_between_rows
from pacer.plan.freewords.lanewords import about_lanes, lanes_apart, shorter_for
from pacer.plan.freewords.notedline import swum_in
from pacer.plan.freewords.plainreading import counted_metres, least_metres, plainly
from pacer.plan.freewords.roundwords import about_rounds, rows_apart
from pacer.plan.freewords.wordsbelow import again, changed
from pacer.plan.layout.pagetotals import sums_of
from pacer.plan.layout.pastedline import Ask, Kind
from pacer.plan.model import Item, SetLine
from pacer.plan.notation.pagelines import LABELLED
from pacer.plan.parts.lineinparts import better, counts_a_set, extra_for_lanes, in_parts
from pacer.plan.pasted.joining import HAS_TIME
from pacer.plan.pasted.pastedheader import SENTENCE
from pacer.plan.pasted.planrows import INDENT, Row
from pacer.plan.pasted.question import OPENS, REMARK, SHOWN, Answer, Question
from pacer.plan.regex import regex
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import write_line
from pacer.plan.words.countedwords import counted, likely_swum
from pacer.plan.words.labels import groups_of

#: Words about a break, or about a rest in rounds.
_BREAK = regex(
    r"\b(?:chat|water|drinks?|talk|toilets?|loo|break|explain|brief(?:ing)?|stop|demo\w*|stretch|breather|extra|xtra"
    r"|(?:after|between|btwn?|betw)\s+(?:each|every|rds?|rounds?|sets?))\b",
    re.IGNORECASE,
)
#: `20 secs between`
_BETWEEN = regex(
    r"(?<![\w:.])(?P<time>\d{1,2})\s*(?:s|secs?|seconds?)\s+(?:rest\s+)?(?:in\s+)?(?:between|btwn|after\s+(?:each|every))(?!\s+(?:sets?|rounds?|rds?)\b)",
    re.IGNORECASE,
)
#: What all do together for some time, without a distance.
_TOGETHER = regex(r"\brelays?\b", re.IGNORECASE)
_MINUTES = regex(r"(?<![\w:.])(?P<n>\d{1,2})\s*(?:mins?|minutes)\b", re.IGNORECASE)
#: Words about something that only some swim, or only if.
_ONLY_IF = regex(
    r"\b(?:if|or(?!\s+so\b)|unless|miss|anyone|otherwise|homework|next\s+(?:wk|week|time|session))\b|=", re.IGNORECASE
)

#: After a group's sets: somebody else swims the next ones.
_OTHERS = regex(r"\b(?:others|else)\b", re.IGNORECASE)
_FOR_SOME = regex(r"\b(?:groups?|lanes?|L\d|else|R\d)\b", re.IGNORECASE)


def words_question(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Question:
    """The question whether words that count something are swum."""
    row = rows[place]
    note, remark = _note_or_remark(place, row)
    if said := _once_more(place, rows, words, pool, live):
        return Question(said[0], (said[1], note, remark))
    if between := _swum_between(place, rows, words, pool, live):
        return Question(tr("is this swum between the repeats?"), (between, note, remark))
    if apart := _lanes_changed(place, rows, words, pool, live):
        return Question(tr("do some lanes swim something else?"), (apart, note, remark))
    above = next((each.kind for each in reversed(rows[:place]) if each.kind in (Kind.SET, Kind.SECTION)), None)
    made = _swum_words(words, pool, live)
    row_says = " ".join(row.plan[:2])
    if not made and row.kind is Kind.SECTION and (timed := _MINUTES.search(words)) and _TOGETHER.search(row_says):
        quoted = words.replace('"', "''")
        made = f'{timed["n"]} min choice "{quoted}"'
        return Question(tr("is this swum, or a note?"), (Answer(made, _with_note_as(place, row, made)), note, remark))
    if (rest := _rest_for_above(place, rows, words, pool, live)) is not None:
        return Question(tr("does this change the set above?"), (rest, note, remark))
    begins = made.partition(": ")[2] or made  # after the lanes
    label = "; ".join(made.split("\n"))
    swum = [Answer(label, _with_note_as(place, row, made))] if begins[:1].isdigit() or made.startswith("rest") else []
    breaks = made.startswith("rest") and _BREAK.search(words) and above is Kind.SET and row.kind is not Kind.SECTION
    count = counted(words)
    far = made[:1].isdigit() and count is not None and bool(count["set"] or count["far"])
    far = far or bool(re.match(r"\d+ x \d+ (?:s|secs?|mins?)\b", made))
    sure = not _only_some(words) and counts_a_set(words) or extra_for_lanes(words)
    first = breaks or far and not _ONLY_IF.search(words) or likely_swum(words) or sure
    ways = (*swum, note) if first else (note, *swum)
    return Question(tr("is this swum, or a note?"), (*ways, remark))


def _swum_words(words: str, pool: str, live: LivePage) -> str:
    """What words say to swim, in the notation; "" if they count nothing."""
    made = swum_in(words, pool, live) or _counts(words, pool, live)
    some = _only_some(words) and not extra_for_lanes(words)
    parted = "" if some else in_parts(words, pool, live)
    return parted if better(parted, made, words) else made


def _counts(words: str, pool: str, live: LivePage) -> str:
    """The sets that words count, with the other words as their note; "" if they count none."""
    if not counted_metres(words) or _only_some(words):
        return ""
    return plainly(words, lambda text: not live.would([pool, f"  {text}"]).problems)


def _only_some(words: str) -> bool:
    """Whether words are about what only some swim, or only if."""
    return bool(_FOR_SOME.search(words) or _ONLY_IF.search(words))


def nothing_lost(answers: Sequence[Answer], lines: list[str], at: int, live: LivePage) -> str:
    """Line `at` with all the sets that it counts, if its first answer swims less; "" if nothing is lost."""
    source = lines[at]
    need = least_metres(source)
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    first = [line for _, own in answers[0].plan for line in own] if answers else []
    got = max(counted_metres("\n".join(first)), _swum([pool, *first], live)) if need else 0
    if got >= need or _OTHERS.search(source) or not got and _only_some(source):
        return ""
    label = LABELLED.match(source.lstrip())
    lead = source[: len(source) - len(source.lstrip())]
    lead += label[0] if label and groups_of(label[1]) is not None else ""
    made = plainly(source[len(lead) :], lambda text: not live.would([pool, f"  {text}"]).problems)
    return f"{lead}{made}" if made else ""


def _swum(lines: list[str], live: LivePage) -> int:
    """The most that lines of a plan swim; 0 if they cannot be read."""
    reading = live.would(lines)
    sums = sums_of(reading.plan)[0] if reading.plan and not reading.problems else []
    return sums[-1].page[1] if sums else 0


def changes_question(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Question:
    """The question about words that change a set, or what some swim; what is not clear, pacer can only show."""
    kept = _note_or_remark(place, rows[place])
    if between := _swum_between(place, rows, words, pool, live):
        return Question(tr("is this swum between the repeats?"), (between, *kept))
    if apart := _lanes_changed(place, rows, words, pool, live):
        return Question(tr("do some lanes swim something else?"), (apart, *kept))
    if by_round := _rounds_changed(place, rows, words, pool, live):
        return Question(tr("is each round swum in its own way?"), (by_round, *kept))
    if made := _set_changed(place, rows, words, pool, live):
        return Question(tr("does this change the set above?"), (made, *kept))
    if said := _once_more(place, rows, words, pool, live):
        return Question(said[0], (said[1], *kept))
    return Question(tr("pacer can't act on this: keep it as a note?"), kept)


def _once_more(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> tuple[str, Answer] | None:
    """The question whether words say that the last set or rounds are swum again, and that answer."""
    same = again(_above(rows, place), words, pool, live)
    if not same:
        return None
    plan = tuple(line for line in rows[place].plan if not line.lstrip().startswith('"'))
    return tr("is this the set above once more?"), Answer("; ".join(map(str.strip, same)), ((place, (*plan, *same)),))


def _set_changed(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Answer | None:
    """The answer that a row's words change the set above; None if they do not."""
    found = _set_above(place, rows)
    made = changed(rows[found[0]].plan[found[1]], words, pool, live) if found else ""
    return _instead(place, rows, found, made.split("\n"), " ") if found and made else None


def _rest_for_above(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Answer | None:
    """The answer that the rest in a row's words is that of the set above, which has none; None if it is not."""
    found, match = _set_above(place, rows), _BETWEEN.search(words)
    line = rows[found[0]].plan[found[1]].strip() if found else ""
    if not found or match is None or HAS_TIME.search(line) or '"' in line:
        return None
    said = words.replace('"', "''").replace("“", "''").replace("”", "''")
    made = f'{line}, rest {match["time"]} s "{said}"'
    return None if live.would([pool, f"  {made}"]).problems else _instead(place, rows, found, [made], " ")


def _lanes_changed(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Answer | None:
    """The answer that a row's words say what some lanes swim of the set above; None if they do not."""
    found = _set_above(place, rows)
    line = rows[found[0]].plan[found[1]].strip() if found else ""
    if not found or not about_lanes(words):
        return None
    if other := shorter_for(rows[found[0]].plan, words, pool, live):
        return Answer("; ".join(map(str.strip, other)), ((found[0], tuple(other)), (place, ())))
    last = _last_swum(place, rows, pool, live)
    if last is not None and isinstance(last.item, SetLine) and last.item.cue:  # its note is for all lanes
        made = lanes_apart(f"{write_line(replace(last.item, cue=''))}, {words}", pool, live)
        made = [_cued(each, last.item.cue) for each in made]
        return last.answer(made, place, rows) if made else None
    made = lanes_apart(f"{line}, {words}", pool, live) if '"' not in line else []
    return _instead(place, rows, found, made, "; ") if made else None


def _cued(line: str, cue: str) -> str:
    own = re.search(r' "([^"]*)"$', line)
    return f'{line[: own.start()]} "{cue}; {own[1]}"' if own else f'{line} "{cue}"'


@dataclass(frozen=True, slots=True)
class _Swum:
    """The last set or rounds above a row, and how many lines of which rows they are."""

    item: Item
    lines: Counter[int]

    def answer(self, made: Sequence[str], place: int, rows: Sequence[Row]) -> Answer:
        """The answer that other lines come in their place, and nothing is left of the row at `place`."""
        top, *others = self.lines
        above = rows[top].plan[: len(rows[top].plan) - self.lines[top]]
        new = tuple(f"{INDENT}{line.removeprefix(INDENT)}" for line in made)
        changes = ((top, (*above, *new)), *((at, ()) for at in others), (place, ()))
        return Answer("; ".join(map(str.strip, made)), changes)


def _last_swum(place: int, rows: Sequence[Row], pool: str, live: LivePage) -> _Swum | None:
    """The last set or rounds of the section above a row; None if they cannot be read, or share a row with others."""
    start = next((at for at in range(place - 1, -1, -1) if rows[at].kind is Kind.SECTION), 0)
    lines = [(at, line) for at in range(start, place) for line in rows[at].plan if line.startswith(INDENT)]
    lines = list(dropwhile(lambda each: _is_cue(each[1]), lines))
    reading = live.would([pool, *(line for _, line in lines)])
    items = reading.plan.sections[-1].items if reading.whole and reading.plan and reading.plan.sections else ()
    if not items or items[-1].span is None:
        return None
    own = Counter(at for at, _ in lines[items[-1].span.line - 2 :])  # below the pool's line
    whole = all(own[at] == sum(line.startswith(INDENT) for line in rows[at].plan) for at in list(own)[1:])
    return _Swum(items[-1], own) if whole else None


def _rounds_changed(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Answer | None:
    """The answer that a row's words say how single rounds above it are swum; None if they do not."""
    if not about_rounds(words):
        return None
    head = next((rows[at].plan for at in range(place - 1, -1, -1) if rows[at].kind is Kind.SECTION), ())
    if any(re.search(r",.*\brounds\b", line) for line in head):  # they are the section's
        return None
    last = _last_swum(place, rows, pool, live)
    made = rows_apart(last.item, words, pool, live, INDENT) if last else []
    return last.answer(made, place, rows) if last and made else None


def _swum_between(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Answer | None:
    """The answer that a row's words say what is swum between the repeats of the set above; None if they do not."""
    last = _last_swum(place, rows, pool, live)
    made = in_between_rows(last.item, words, pool, live, INDENT) if last else []
    return last.answer(made, place, rows) if last and made else None


def _set_above(place: int, rows: Sequence[Row]) -> tuple[int, int] | None:
    """The row of the set right above a row, and the set's line in its plan; None if there is none."""
    above = next((at for at in range(place - 1, -1, -1) if rows[at].kind in (Kind.SET, Kind.SECTION)), None)
    if above is None or rows[above].kind is Kind.SECTION:
        return None
    plan = rows[above].plan
    at = next((at for at in range(len(plan) - 1, -1, -1) if not plan[at].lstrip().startswith(('"', "#"))), None)
    return None if at is None else (above, at)


def _instead(place: int, rows: Sequence[Row], found: tuple[int, int], made: Sequence[str], joint: str) -> Answer:
    """The answer that some lines come in the place of the set above, and nothing is left of a row's note."""
    above, at = found
    plan = rows[above].plan
    lead = plan[at][: len(plan[at]) - len(plan[at].lstrip())]
    new = (*plan[:at], *(f"{lead}{line}" for line in made), *plan[at + 1 :])
    left = tuple(line for line in rows[place].plan if not line.lstrip().startswith('"'))
    return Answer(joint.join(made), ((above, new), (place, left)))


def _above(rows: Sequence[Row], place: int) -> list[str]:
    """The lines of the section up to a row."""
    start = next((at for at in range(place - 1, -1, -1) if rows[at].kind is Kind.SECTION), 0)
    lines = [line for row in rows[start:place] for line in row.plan if line.startswith(INDENT)]
    lines = [line for line in lines if not line.lstrip().startswith("#")]
    return list(dropwhile(_is_cue, lines))  # the section's own


def _is_cue(line: str) -> bool:
    return line.lstrip().startswith('"')


def _note_or_remark(place: int, row: Row) -> tuple[Answer, Answer]:
    """The answers that keep a row's note as it is, and as a comment."""
    words = row.plan[_note_of_row(row)].strip().strip('"')
    return Answer(SHOWN, ((place, row.plan),)), Answer(REMARK, _with_note_as(place, row, f"# {words}"))


def _with_note_as(place: int, row: Row, text: str) -> tuple[tuple[int, tuple[str, ...]], ...]:
    """A row with another line in the place of its note."""
    at = _note_of_row(row)
    lead = row.plan[at][: len(row.plan[at]) - len(row.plan[at].lstrip())]
    lines = (f"{lead}{line}" for line in text.split("\n"))
    return ((place, (*row.plan[:at], *lines, *row.plan[at + 1 :])),)


def _note_of_row(row: Row) -> int:
    """The place of the line with the row's note."""
    return next(at for at, line in enumerate(row.plan) if line.lstrip().startswith('"'))


def shared_question(place: int, row: Row, ask: Ask) -> Question:
    """The question whether what is written with one of several lanes' sets is for all of them."""
    only = tuple(
        line
        if line.lstrip().startswith(f"{ask.whose}:") or not line.endswith(ask.said)
        else line.removesuffix(ask.said).rstrip(" ,")
        for line in row.plan
    )
    return Question(
        tr("Is “{said}” for all of them?", said=ask.said),
        (
            Answer(tr("For all of them"), ((place, row.plan),), "all"),
            Answer(tr("Only for {who}", who=ask.whose), ((place, only),), "one"),
        ),
    )


def beside_question(place: int, row: Row, ask: Ask) -> Question:
    """The question whether sets side by side are for one lane each, as the row's plan has them, or all are swum."""
    after = tuple(line.replace(ask.whose, ask.said, 1) for line in row.plan)
    return Question(
        tr("Who swims “{sets}”?", sets=ask.said),
        (
            Answer(tr("One for each lane"), ((place, row.plan),), "lanes"),
            Answer(tr("One after the other"), ((place, after),), "after"),
        ),
    )


def above_question(place: int, rows: Sequence[Row], words: str, pool: str, live: LivePage) -> Question:
    """The question whether words above all sets are for the swimmers, who see them with the first section or set."""
    remark = Answer(REMARK, ((place, rows[place].plan),), "comment")
    if (likely_swum(words) or not _only_some(words) and counts_a_set(words)) and (
        made := _swum_words(words, pool, live)
    ):
        swum = Answer("; ".join(made.split("\n")), ((place, tuple(f"{INDENT}{line}" for line in made.split("\n"))),))
        return Question(tr("is this swum, or a note?"), (swum, remark))
    found = ((at, _first_swum(rows[at], pool, live)) for at in range(place + 1, len(rows)))
    at, line = next(((at, line) for at, line in found if line is not None), (0, 0))
    if not at:
        return Question(tr("Is this for the swimmers?"), (remark,))
    plan = rows[at].plan
    while line + 1 < len(plan) and plan[line + 1].lstrip().startswith('"'):
        line += 1
    said = words.replace('"', "''").replace("“", "''").replace("”", "''")
    note = Answer(SHOWN, ((place, ()), (at, (*plan[: line + 1], f'{INDENT}"{said}"', *plan[line + 1 :]))), "note")
    ways = (remark, note) if len(words.split()) > SENTENCE else (note, remark)
    return Question(tr("Is this for the swimmers?"), ways)


def _first_swum(row: Row, pool: str, live: LivePage) -> int | None:
    """The place of the first line of a row that can have a note: a section's name, or a set that can be read."""
    if row.kind is Kind.SET and live.would([pool, *row.plan]).problems or row.kind not in (Kind.SECTION, Kind.SET):
        return None
    return next(
        (
            at
            for at, line in enumerate(row.plan)
            if line and not line.lstrip().startswith(("#", '"')) and not OPENS.fullmatch(line)
        ),
        None,
    )
