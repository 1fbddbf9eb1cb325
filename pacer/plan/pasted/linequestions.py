"""The questions about lines of a pasted page, and what a line becomes with each answer."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from pacer.language import tr
from pacer.plan.cutting.wordsfirst import NOTED
from pacer.plan.freewords.betweenwords import in_between_on
from pacer.plan.freewords.lanewords import lanes_apart_on
from pacer.plan.freewords.notedline import as_above, in_other_words, noted_line, solved, uncounted
from pacer.plan.freewords.roundwords import between_rounds_on, rounds_apart_on
from pacer.plan.layout.pastedline import Ask, Kind, Open
from pacer.plan.parts.lineinparts import instead
from pacer.plan.pasted.joining import named_set
from pacer.plan.pasted.notequestions import (
    above_question,
    beside_question,
    changes_question,
    nothing_lost,
    shared_question,
    words_question,
)
from pacer.plan.pasted.planrows import INDENT, Row
from pacer.plan.pasted.question import OPENS, REMARK, SHOWN, Answer, Question, lanes_first, numberless
from pacer.plan.problem import Problem
from pacer.plan.regex import regex
from pacer.plan.text.fixes import REMARK as COMMENTED
from pacer.plan.text.fixes import fixes_for
from pacer.plan.text.livepage import LivePage
from pacer.plan.words.labels import group_name, kind_of_work
from pacer.plan.words.vocabulary import LINE_WORDS

MAX_WORDS, MAX_TRIED = 20, 150  #: words of a line in which a note is sought; ways to choose them that are tried


#: A name for swimmers: `Sprinters`, `Juniors`, `Gold`.
_SWIMMERS = regex(
    r"\b(?:\w{3,}(?:ers|ors|ies|ists|ans|s)|gold|silver|bronze|youth|comp|dev|\d(?:st|nd|rd|th)s?|squad|team|group|club)$",
    re.IGNORECASE,
)


def open_question(
    place: int, rows: Sequence[Row], ask: Ask, pools: tuple[str, ...], pool: str, live: LivePage
) -> Question:
    """The question about what a row leaves open; `pool` is the plan's line about it."""
    row = rows[place]
    match ask.about:
        case Open.POOL:
            ways = tuple(Answer(each, ((place, (f"pool: {each}",)),)) for each in pools)
            return Question(tr("How long is the pool?"), ways)
        case Open.REPEATED:
            return _rounds_question(place, rows, ask)
        case Open.ENDS:
            return _ends_question(place, rows, ask)
        case Open.NAME:
            return _label_question(place, row, ask.said, any(_beside(rows, place, at) for at in (place - 1, place + 1)))
        case Open.WORDS:
            return words_question(place, rows, ask.said, pool, live)
        case Open.CHANGES:
            return changes_question(place, rows, ask.said, pool, live)
        case Open.LENGTHS:
            return _lengths_question(place, row, ask.said)
        case Open.SHARED:
            return shared_question(place, row, ask)
        case Open.BESIDE:
            return beside_question(place, row, ask)
        case Open.ABOVE:
            return above_question(place, rows, ask.said, pool, live)
        case Open.MINUTES:
            return _minutes_question(place, row, ask.said, pool, live)


def _minutes_question(place: int, row: Row, said: str, pool: str, live: LivePage) -> Question:
    """The question what a time after a section's name means."""
    name = next(at for at, line in enumerate(row.plan) if line and not line.startswith(" "))

    def with_head(head: str) -> tuple[tuple[int, tuple[str, ...]], ...]:
        return ((place, (*row.plan[:name], head, *row.plan[name + 1 :])),)

    head = row.plan[name]
    cue = row.plan[name + 1].strip().strip('"') if len(row.plan) == name + 2 else ""
    swum: tuple[Answer, ...] = ()
    if kind_of_work(cue.split(" ")[0]) and (made := solved(f"{said} {cue}", pool, live) or f"{said} {cue}"):
        swum = (Answer(made, ((place, (*row.plan[:name], head, f"{INDENT}{made}")),)),)
    return Question(
        tr("What does {said} mean here?", said=said),
        (
            *swum,
            Answer(tr("Roughly this long"), with_head(f"{head}  # {said}")),
            Answer(tr("Keep going for {said}", said=said), with_head(f"{head}, for {said}")),
            Answer(tr("Stop after {said}", said=said), with_head(f"{head}, at most {said}")),
        ),
    )


def _lengths_question(place: int, row: Row, count: str) -> Question:
    """The question whether a rest is after each of some lengths, or after all of them."""
    at = next(at for at, line in enumerate(row.plan) if re.match(rf"\s*{count} x \d", line))
    set_ = re.sub(rf"{count} x (\d+)", lambda found: str(int(count) * int(found[1])), row.plan[at], count=1)
    whole = (*row.plan[:at], set_, *row.plan[at + 1 :])
    return Question(
        tr("Is the rest after each length?"),
        (
            Answer(tr("After each length"), ((place, row.plan),), "each"),
            Answer(tr("After all {count} lengths", count=count), ((place, whole),), "all"),
        ),
    )


def _beside(rows: Sequence[Row], place: int, at: int) -> bool:
    """Whether rows are for one group after the other: both have a name that is no work, and sets alike or swimmers."""
    if not 0 <= at < len(rows) or rows[at].kind is not Kind.SET:
        return False
    one, other = (named_set([rows[each].written, *rows[each].plan]) for each in (place, at))
    if not one or not other or not all(line.startswith(INDENT) for line in rows[at].plan):
        return False
    swimmers = any(_SWIMMERS.search(name) for name, _ in (one, other))
    if any(kind_of_work(word) for name, _ in (one, other) for word in name.split() if not _SWIMMERS.search(name)):
        return False
    return swimmers or any(mine == theirs for mine, theirs in zip(one[1], other[1]))


def _label_question(place: int, row: Row, word: str, several: bool) -> Question:
    """The question what a word before a set names; after `several` such rows, a group is likelier than a section."""
    at = next(at for at, line in enumerate(row.plan) if line.lstrip().startswith(word))
    rest = row.plan[at].lstrip().removeprefix(word).lstrip(" :")
    section = (*row.plan[:at], "", word, f"{INDENT}{rest}", *row.plan[at + 1 :])
    group = (*row.plan[:at], row.plan[at].replace(f"{word}:", f"{group_name(word)}:", 1), *row.plan[at + 1 :])
    answers = (
        Answer(tr("A section"), ((place, section),), tr("a section")),
        Answer(tr("A group of the squad"), ((place, group),), tr("a group")),
    )
    return Question(tr("What is “{word}”?", word=word), answers[::-1] if several else answers)


def _wrapped(rows: Sequence[Row], first: int, last: int, count: str) -> dict[int, tuple[str, ...]]:
    """The plan of the rows from `first` to `last` inside rounds; names of sections stay outside."""
    changed = {
        at: tuple(INDENT + line if line.startswith(INDENT) else line for line in rows[at].plan)
        for at in range(first, last + 1)
        if rows[at].plan
    }
    own = changed[first]
    top = next((at for at, line in enumerate(own) if line.startswith(INDENT * 2) and line.lstrip()[0] != '"'), 0)
    outer = rows[first].plan[top]
    lead = outer[: len(outer) - len(outer.lstrip())] or INDENT
    changed[first] = (*own[:top], f"{lead}{count}", *own[top:])
    return changed


def _rounds_question(place: int, rows: Sequence[Row], ask: Ask) -> Question:
    """The question what a count on its own repeats."""
    row, count, answers = rows[place], ask.said, []
    over = [at for at in ask.over if rows[at].plan]
    for first in dict.fromkeys((over[:1] + over[-1:]) if over else ()):
        changed = _wrapped(rows, first, max(place, over[-1]), count)
        sets = sum(1 for at in over if at >= first)
        last = tr("{count} of the last set", count=count)
        label = tr("{count} of the {sets} sets above", count=count, sets=sets) if sets > 1 else last
        answers.append(Answer(label, tuple(changed.items())))
    answers.append(Answer(REMARK, ((place, row.plan or (f"{INDENT}# {row.written}",)),)))
    return Question(tr("{count} of what?", count=count), tuple(answers))


def _ends_question(place: int, rows: Sequence[Row], ask: Ask) -> Question:
    """The question where rounds end."""
    rounds, own = ask.said, rows[place].plan
    heads = any(line and not line.startswith(INDENT) for line in own)  # they are a section's
    answers = []
    for end in ask.ends:
        whole = end == ask.over[-1]
        gap = any(row.kind is Kind.BLANK for row in rows[end : next((at for at in ask.over if at > end), end)])
        if heads and whole:
            answers.append(Answer(tr("At the end of the section"), ((place, own),), tr("at the end")))
            continue
        changed = _wrapped(rows, ask.over[0], end, rounds)
        if heads:
            changed[place] = tuple(line.replace(f", {rounds}", "", 1) for line in changed.get(place, own))
        label = tr("At the empty line") if gap else tr("After “{written}”", written=rows[end].written)
        answers.append(Answer(label, tuple(sorted(changed.items())), tr("at the empty line") if gap else ""))
    return Question(tr("Where do the {rounds} end?", rounds=rounds), tuple(answers))


def asked_of(
    problem: Problem, place: int, rows: Sequence[Row], lines: list[str], places: list[int], live: LivePage
) -> Question:
    """The question about a line that is not understood; one answer always keeps it as a remark."""
    row = rows[place]
    answers: list[Answer] = []
    halves: list[Answer] = []
    for fix in fixes_for(problem, lines, lambda page: live.would(page).problems):
        if fix.says == COMMENTED:
            continue  # it is the last answer anyway
        page = fix.applied(lines)
        at = problem.line - 1
        said = page[at].strip() if len(page) == len(lines) and fix.line == at else fix.says
        plan = tuple(changes(page, lines, places))
        if not all(line.lstrip().startswith("#") or OPENS.fullmatch(line) for _, own in plan for line in own):
            same = numberless(problem.message)
            after = [each for each in live.would(page).problems if each.line == problem.line]
            left = any(numberless(each.message) != same for each in after)
            counted = bool(re.search(r'"[^"]*\d[^"]*"', said)) and '"' not in lines[at]  # a number is a note now
            left = left or counted and fix.says != NOTED
            (halves if left else answers).append(Answer(said, plan, numberless(fix.says)))
    lanes_first(answers, lines)
    at = problem.line - 1
    if same := as_above(lines, at, live) or between_rounds_on(lines, at):
        page = [*lines[:at], same, *lines[at + 1 :]]
        answers.insert(0, Answer(same.strip(), tuple(changes(page, lines, places))))
    start, between = in_between_on(lines, at, live)
    if between:
        page = [*lines[:start], *between, *lines[at + 1 :]]
        answers.insert(0, Answer("; ".join(map(str.strip, between)), tuple(changes(page, lines, places))))
        return _asked(tr("is this swum between the repeats?"), answers, place, row)
    if by_round := rounds_apart_on(lines, at, live):
        page = [*lines[:at], *by_round, *lines[at + 1 :]]
        answers.insert(0, Answer("; ".join(map(str.strip, by_round)), tuple(changes(page, lines, places))))
        return _asked(tr("is each round swum in its own way?"), answers, place, row)
    apart = [] if same or answers and not _keeps_words(answers[0].label, lines[at]) else lanes_apart_on(lines, at, live)
    if apart:
        below = at + 1
        while below < len(lines) and lines[below].lstrip().startswith('"') and not rows[places[below]].ask:
            below += 1
        cues = [line.strip().strip('"') for line in lines[at + 1 : below]]  # they are for all lanes
        apart = [_cued(line, cues) for line in apart]
        found = changes([*lines[:at], *apart, *lines[below:]], lines, places)
        own = tuple(line for _, plan in found for line in plan)  # with the notes below
        plans = ((found[0][0], own), *((other, ()) for other, _ in found[1:]))
        answers.insert(0, Answer("; ".join(map(str.strip, apart)), plans))
        return _asked(tr("do some lanes swim something else?"), answers, place, row)
    noted = "" if same else noted_line(lines, at, live)
    other = in_other_words(lines[at])
    if noted and answers and not other and not uncounted(answers[0].label) and not noted.lstrip().startswith("rest "):
        fewer = 0 < _quoted_words(noted) < _quoted_words(answers[0].label) and not answers[0].label.startswith("rest ")
        noted = noted if fewer else ""
    if not noted and answers and _loses_a_number(answers[0].label, lines[at]):
        kept = noted_line(lines, at, live, lenient=True)
        noted = kept if kept and not _loses_a_number(kept, lines[at]) else ""
    if not noted and not answers and not halves:
        few, past = _with_note(lines, problem, live)
        noted = few or noted_line(lines, at, live, lenient=True) or past
    text = problem.message
    mended = [half for half in halves if not _keeps_words(half.label, lines[at])]
    meant = LINE_WORDS.get(problem.edits[0].text, ("",))[0] if problem.edits else ""
    misspelt = meant == "ACTIVITY" and lines[at][slice(*_span(problem))].isalpha()
    if not answers and mended and misspelt and (not noted or _keeps_words(noted, lines[at])):  # drill/swm
        answers, noted = mended[:1], ""
    if noted and noted.strip() not in (answer.label for answer in answers):
        changed = [*lines[:at], noted, *lines[at + 1 :]]
        answers.insert(0, Answer(noted.strip(), tuple(changes(changed, lines, places))))
        if (note := _note_in(noted).strip()) and not _shares_a_word(note, text):
            text = tr("keep “{note}” as a note?", note=note)
    answers = answers or halves
    if safe := nothing_lost(answers, lines, at, live):
        text = problem.message
        answers.insert(0, Answer(safe.strip(), tuple(changes([*lines[:at], safe, *lines[at + 1 :]], lines, places))))
    partly = answers is halves and answers and "@" not in text  # it is asked about again
    if made := instead(lines, at, live, answers[0].label if answers and not partly else ""):
        text = problem.message
        page = [*lines[:at], *made.split("\n"), *lines[at + 1 :]]
        label = "; ".join(map(str.strip, made.split("\n")))
        answers.insert(0, Answer(label, tuple(changes(page, lines, places)), answers[0].way if answers else ""))
    if not answers and (shown := _shown(row, lines, at, live)):
        answers = [Answer(SHOWN, ((place, shown),))]
    return _asked(text, answers, place, row)


def _asked(text: str, answers: list[Answer], place: int, row: Row) -> Question:
    """A question whose last answer keeps the row as a comment."""
    kept = tuple(line if OPENS.fullmatch(line) else f"{INDENT}# {line.strip()}" for line in row.plan if line.strip())
    return Question(text, (*answers, Answer(REMARK, ((place, kept),))))


def _loses_a_number(made: str, line: str) -> bool:
    """Whether an answer leaves out a number of the line, or has another one in its place; ranges are not counted."""
    was, now = (Counter(re.findall(r"(?<![\w.:–-])\d+(?!\s*[-–]\s*\d)", text)) for text in (line, made))
    return bool(was - now)


def _cued(line: str, cues: list[str]) -> str:
    """A line with more words in its note."""
    if not cues:
        return line
    own = re.search(r'\s*"([^"]*)"$', line)
    return f'{line[: own.start()] if own else line} "{"; ".join([*([own[1]] if own else []), *cues])}"'


def _span(problem: Problem) -> tuple[int, int]:
    """The columns of a problem, from 0."""
    return problem.column - 1, problem.end_column - 1


def _keeps_words(made: str, line: str) -> bool:
    """Whether an answer puts words of a line in quotes that it has not there."""
    return made.count('"') > line.count('"')


def _quoted_words(line: str) -> int:
    """How many words of a line are in quotes."""
    return sum(len(note.split()) for note in re.findall(r'"([^"]*)"', line))


def _shown(row: Row, lines: list[str], at: int, live: LivePage) -> tuple[str, ...]:
    """The row's lines with line `at` of the plan as a note for the swimmers; none if it has its own quotes."""
    words = lines[at].strip()
    if '"' in words or words not in (line.strip() for line in row.plan):
        return ()
    noted = [*lines[:at], f'{INDENT}"{words}"', *lines[at + 1 :]]
    if any(each.line == at + 1 for each in live.would(noted).problems):
        return ()
    return tuple(f'{INDENT}"{words}"' if line.strip() == words else line for line in row.plan)


def _note_in(line: str) -> str:
    """The words that a line keeps as its note."""
    found = re.findall(r'"([^"]*)"', line)
    return found[-1] if found else ""


def _shares_a_word(one: str, other: str) -> bool:
    """Whether two texts have a word in common, so that a question is clear about what it is asked."""
    return bool({*re.findall(r"\w{3,}", one.casefold())} & {*re.findall(r"\w{3,}", other.casefold())})


def _with_note(lines: list[str], problem: Problem, live: LivePage) -> tuple[str, str]:
    """The line with as few words as possible made a note: read as a whole, and read past its problem; "" if none is."""
    source = lines[problem.line - 1]
    indent, words = source[: len(source) - len(source.lstrip())], source.split()
    if not indent or len(words) > MAX_WORDS or '"' in source:
        return "", ""
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    spans = [(start, start + size) for size in range(1, len(words) - 1) for start in range(1, len(words) - size + 1)]
    spans.sort(key=lambda span: _unlikely(words, *span))
    past = ""
    for start, end in spans[:MAX_TRIED]:
        note = " ".join(words[start:end]).strip(" ,;:-/")
        note = note[1:-1] if note.startswith("(") and note.endswith(")") else note
        text = re.sub(r"\(\s*\)", "", " ".join([*words[:start], *words[end:]])).rstrip(" ,;:-/(")
        line = f'{indent}{text} "{note}"'
        counted = any(sign.isdigit() for sign in note)
        counts = start > 1 and re.fullmatch(r"\d{1,2}", words[start - 1]) and words[start - 2][-1] in "+,(&"
        if counted or counts or not _noteworthy(note):  # 200 + 10 press-ups
            continue
        reading = live.would([pool, line])
        if reading.whole and reading.plan and len(reading.plan.sections[0].items) == 1:
            return line, ""
        if (
            not past
            and not counted
            and len(note.split()) == 1
            and reading.problems
            and reading.problems[0].message != problem.message
        ):
            past = line
    return "", past


def _unlikely(words: list[str], start: int, end: int) -> tuple[bool, bool, int]:
    """A key to sort notes by, the likeliest first: words without a number, words between two commas, few words."""
    counted = any(sign.isdigit() for word in words[start:end] for sign in word)
    apart = words[start - 1].endswith(",") and (end == len(words) or words[end - 1].endswith(","))
    return counted, not apart, end - start


def _noteworthy(note: str) -> bool:
    """Whether words can be a note for the swimmers: at least one has no other meaning, and their brackets close."""
    words = re.findall(r"[^\W\d_]{3,}", note.casefold())
    return any(word not in LINE_WORDS and word != "off" for word in words) and note.count("(") == note.count(")")


def changes(page: list[str], lines: list[str], places: list[int]) -> list[tuple[int, tuple[str, ...]]]:
    """The rows whose lines differ on a changed page, with their new lines; the page differs in one place only."""
    start = next((at for at, (old, new) in enumerate(zip(lines, page)) if old != new), min(len(lines), len(page)) - 1)
    more = len(page) - len(lines)
    end = next(
        (back for back in range(len(lines) - start) if lines[-1 - back] != page[-1 - back]), len(lines) - start - 1
    )
    last = len(lines) - end  # the first line that is the same again
    first_row, last_row = places[start], places[max(start, last - 1)]
    made = []
    for place in range(first_row, last_row + 1):
        own = [at for at, each in enumerate(places) if each == place]
        if own:
            until = own[-1] + 1 + (more if place == last_row else 0)
            made.append((place, tuple(page[own[0] : until])))
    return made
