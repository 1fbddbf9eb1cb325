"""The next page of a series, drafted from the last session: steps that can each be left out, and their result.

Nothing is saved here. A step is offered only if the page runs with it, has no more findings than before, and leaves no
section without a swim.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from difflib import SequenceMatcher
from functools import partial
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.library.drillbook import DrillBook
from pacer.plan.library.newplan import next_title
from pacer.plan.model import Flexible, Plan
from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_plan
from pacer.plan.times import late_by
from pacer.review.learning.learned import learn
from pacer.review.series.mainsetrules import main_notes, main_steps
from pacer.review.series.pagestep import Kind, PageStep, applied
from pacer.review.series.roundsteps import not_swum
from pacer.review.series.skillsteps import drill_steps, shorter_steps, skipped_skills
from pacer.review.series.visited import Visited
from pacer.review.swum.sessionreview import Review
from pacer.session.timezone import day_title, is_day_title, local_day, time_of_day, weekday_and_date
from pacer.squad.bygroup import by_group
from pacer.squad.drillfactors import with_other_names
from pacer.squad.squad import Squad
from pacer.timeline.checks.planchecks import findings
from pacer.timeline.findings import CannotRun, Severity
from pacer.timeline.summary.planned import planned

WEEK = timedelta(days=7)
MARK_MIN = 5  #: a session that began at 18:31 was meant for 18:30


class NoDraft(Exception):
    """Says in a sentence why no next page can be drafted."""


class PageLine(NamedTuple):
    """A line of the drafted page; `new`: it is not on the last page."""

    text: str
    new: bool


@dataclass(frozen=True, slots=True)
class NextPage:
    """The next page of a series for a squad; it starts from `base`, the last page with the next title.

    `before` is the last page's canonical text. `notes` say what stays as planned because nobody swam it, and why.
    """

    squad: Squad
    base: Plan
    before: str
    steps: tuple[PageStep, ...]
    notes: tuple[str, ...] = ()

    def turned(self, number: int, without: Collection[int]) -> frozenset[int]:
        """The steps to leave out after step `number` is left out or put back, with those that go with it."""
        name = self.steps[number - 1].name
        moved = {number, *(at for at, step in enumerate(self.steps, 1) if step.goes_with == name)}
        return frozenset(without) - moved if number in without else frozenset(without) | moved

    def plan(self, without: Collection[int] = ()) -> Plan:
        """The page without the steps that have these numbers (from 1)."""
        return applied(self.base, [step for number, step in enumerate(self.steps, 1) if number not in without])

    def text(self, without: Collection[int] = ()) -> str:
        """The page's text."""
        return write_plan(self.plan(without))

    def lines(self, without: Collection[int] = ()) -> tuple[PageLine, ...]:
        """The page line by line, with new lines marked."""
        old, new = self.before.splitlines(), self.text(without).splitlines()
        same: set[int] = set()
        for block in SequenceMatcher(None, old, new, autojunk=False).get_matching_blocks():
            same.update(range(block.b, block.b + block.size))
        return tuple(PageLine(text, bool(text) and at not in same) for at, text in enumerate(new))


def next_page(
    review: Review,
    visited: Visited,
    book: DrillBook,
    today: date,
    *,
    squad: Squad | None = None,
    titles: Iterable[str] = (),
    title: str = "",
    earlier: Sequence[Review] = (),
) -> NextPage:
    """Draft the page that follows the session of `review`; `titles` are already used. Its plan's title is now `title`.

    `earlier`: the sessions of the series that the squad swam before, oldest first.

    It is for `squad`, if that still has the lanes and groups it had then; else for the session's own squad. Raises
    NoDraft if the session's page runs with neither.
    """
    plan = review.replay.begun.plan
    plan = replace(plan, title=title or plan.title)
    squads = [squad] if squad is not None and _alike(squad, review.squad) else []
    for swims in (*squads, review.squad):
        drafted = _drafted(plan, swims, review, visited, book, today, titles, earlier)
        if drafted is not None:
            return drafted
    raise NoDraft(tr("This version can't run the last plan of the series, so it can't draft the next one."))


def next_of_plan(
    plan: Plan, squad: Squad, visited: Visited, book: DrillBook, today: date, *, titles: Iterable[str] = ()
) -> NextPage:
    """Draft the page that follows a plan that was not swum yet: its sets stay. Raises NoDraft if it can't run."""
    drafted = _drafted(plan, squad, None, visited, book, today, titles)
    if drafted is None:
        raise NoDraft(tr("This plan can't run with this squad: fix what Checks says first."))
    return drafted


def _alike(one: Squad, other: Squad) -> bool:
    return [(lane.number, lane.group) for lane in one.lanes] == [(lane.number, lane.group) for lane in other.lanes]


def _drafted(
    plan: Plan,
    squad: Squad,
    review: Review | None,
    visited: Visited,
    book: DrillBook,
    today: date,
    titles: Iterable[str],
    earlier: Sequence[Review] = (),
) -> NextPage | None:
    """The draft; None if the plan cannot run with the squad."""
    squad = with_other_names(squad, book)
    page = by_group(plan, squad.lanes)
    try:
        stands = _stands(page, squad)
    except (CannotRun, Unreadable, ValueError):
        return None
    taken = frozenset(map(str.casefold, titles))
    when = _when(review, page.date)
    title = next_title(page.title) if page.title else tr("Next plan")
    if is_day_title(page.title, today):
        title = day_title(_following(when[0], today) if when[0] else today)
    while title.casefold() in taken:
        title = f"{title} 2" if is_day_title(title, today) else next_title(title)
    first = min((section.span.line for section in page.sections if section.span is not None), default=0)
    base = replace(page, title=title, date="", revisits=page.title or page.revisits)
    swum = None if review is None else {(swim.section, swim.line) for swim in review.swims}
    every = [
        *(shorter_steps(base, swum) if swum is not None else ()),
        *drill_steps(base, visited, book, today, squad.words, swum),
        *(_main_steps(base, review, squad, book, earlier) if review is not None else ()),
        *_comment_step(page, first),
        *_date_step(*when, today),
    ]
    steps = [step for step in every if _runs(applied(base, [step]), squad, stands)]
    while steps and not _runs(applied(base, steps), squad, stands):
        given_up = next((step for step in reversed(steps) if step.adds), steps[-1])
        steps.remove(given_up)
    idle = [step for step in steps if step.adds and _far(base, steps, squad) == _far(base, steps, squad, step)]
    steps = [step for step in steps if step not in idle]
    there = {step.name for step in steps}  # a focus without its drill would be one that the page doesn't train
    steps = [step for step in steps if not step.goes_with or step.goes_with in there]
    return NextPage(squad, base, write_plan(page), tuple(steps), tuple(_notes(base, review, swum or ())))


def _notes(base: Plan, review: Review | None, swum: Collection[tuple[int, int]]) -> Iterator[str]:
    if review is not None:
        yield from map(not_swum, skipped_skills(base, swum))
        yield from main_notes(base, review)


def _main_steps(
    base: Plan, review: Review, squad: Squad, book: DrillBook, earlier: Sequence[Review]
) -> Iterator[PageStep]:
    out = frozenset(ratio.swim.entry for one in learn(review, book) for ratio in one.left_out)
    return main_steps(base, review, squad, out, earlier)


def _when(review: Review | None, written: str) -> tuple[str, str]:
    """The day of the last page and its time of day, each "" if not known: as it was swum, else as it says.

    A page's own time comes before that at which the session began.
    """
    day, at = written[:10], written[11:]
    listed = None if review is None else review.listed
    if listed is None or listed.begun_ms is None:
        return day, at
    day = local_day(listed.begun_ms, listed.zone)
    if day and not at:
        hour, minute, _ = map(int, time_of_day(listed.begun_ms, listed.zone).split(":"))
        minutes = min(MARK_MIN * round((60 * hour + minute) / MARK_MIN), 24 * 60 - MARK_MIN)
        at = f"{minutes // 60:02d}:{minutes % 60:02d}"
    return day, at


def _comment_step(page: Plan, first: int) -> Iterator[PageStep]:
    """Comments at the head of a page, before its `first` section, are about that page."""
    head = [remark for remark in page.comments if remark[0] < first]
    if head:
        said = " ".join(text for _, text in head)
        rest = tuple(remark for remark in page.comments if remark not in head)
        yield PageStep(
            "comment",
            tr("Left out the comment at the top, about the last plan: {comment}", comment=said),
            Kind.HEADER,
            partial(replace, comments=rest),
        )


def _date_step(day: str, at: str, today: date) -> Iterator[PageStep]:
    """The same weekday and time a week later, or a later week if that day has passed."""
    if not day:
        return
    following = _following(day, today)
    said = f"{weekday_and_date(following)}, {at}" if at else weekday_and_date(following)
    made = f"{following.isoformat()} {at}".strip()
    yield PageStep(
        "date", tr("Date: {said}, the same day of the week.", said=said), Kind.HEADER, partial(replace, date=made)
    )


def _following(day: str, today: date) -> date:
    """The same weekday a week later, or in a later week if that day has passed."""
    following = date.fromisoformat(day) + WEEK
    while following < today:
        following += WEEK
    return following


def _far(base: Plan, steps: Iterable[PageStep], squad: Squad, without: PageStep | None = None) -> list[int]:
    """How far each lane swims. A step that adds rounds which no longer fit into the time changes nothing."""
    timeline = planned(applied(base, [step for step in steps if step is not without]), squad)[0]
    return [timeline.distance(lane) for lane in range(len(squad.lanes))]


class _Stand(NamedTuple):
    """How good a page is: its number of findings of WRONG or worse, how far it runs over its time, what is swum of it.

    `swum` counts the sections, except those `if time`, that each lane swims something of: half of a minute may be too
    short for any repeat.
    """

    wrong: int
    over_ms: int
    swum: int


def _stands(plan: Plan, squad: Squad) -> _Stand:
    """How good a page is. Raises CannotRun, Unreadable or ValueError if it cannot be written, read again and run."""
    timeline = planned(read_plan(write_plan(plan), squad.words), squad)[0]
    found = findings(timeline)
    if any(each.severity is Severity.STOPS for each in found):
        raise CannotRun(list(found))
    if_time = [isinstance(one.rounds, Flexible) and not one.rounds.least for one in plan.sections]
    passes = ((lane, one.section) for lane, track in enumerate(timeline.tracks) for one in track.passes)
    swum = {(lane, section) for lane, section in passes if not if_time[section]}
    wrong = sum(each.severity <= Severity.WRONG for each in found)
    return _Stand(wrong, late_by(timeline.end_ms, plan.out_ms), len(swum))


def _runs(plan: Plan, squad: Squad, before: _Stand) -> bool:
    """Whether a page runs, with no more findings than before."""
    try:
        now = _stands(plan, squad)
    except (CannotRun, Unreadable, ValueError):
        return False
    return now.wrong <= before.wrong and now.over_ms <= before.over_ms and now.swum >= before.swum
