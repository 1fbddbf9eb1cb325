"""A review as text for the terminal and as JSON for programs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap
from types import MappingProxyType

from pacer.language import tr
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.sentence import sentence
from pacer.plan.titles import titled
from pacer.review.alignedrows import aligned
from pacer.review.learning.learned import Estimate, Learned, learn
from pacer.review.learning.offereffect import PlanChange
from pacer.review.learning.offers import Offer, offers_of
from pacer.review.learning.takenoffers import Taken
from pacer.review.logtables import Table, about
from pacer.review.report.news import news_of, paragraph
from pacer.review.report.newskinds import News
from pacer.review.report.offerwords import changes_text, offers_said, value_text
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.reviewtables import all_tables
from pacer.review.swum.distances import by_section, shares
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.timedsets import TimedSet
from pacer.review.wasswum import TOO_SHORT, counts_as_swum

FORMAT = "pacer-review/1"
WIDTH = 100  #: letters in a row of the terminal
NO_CHANGES: Mapping[str, PlanChange] = MappingProxyType({})


class ReviewText:
    """A review with everything worked out from it. `names`: swimmers by name.

    A drill is learned under its main name in the `book`.
    """

    def __init__(self, review: Review, *, names: bool = False, book: DrillBook = EMPTY_BOOK):
        self.review, self.called = review, ReviewNames(review, names)
        self.learned: tuple[Learned, ...] = learn(review, book)
        self.offers: tuple[Offer, ...] = offers_of(review, self.learned)
        self.news: tuple[News, ...] = news_of(review, self.learned, self.called)

    @property
    def out(self) -> frozenset[int]:
        """The entries of the times that don't count."""
        return frozenset(ratio.swim.entry for one in self.learned for ratio in one.left_out)

    @property
    def paragraph(self) -> str:
        """The paragraph at the top."""
        return paragraph(self.news)

    @property
    def tables(self) -> tuple[Table, ...]:
        """The tables below the paragraph."""
        return all_tables(self.review, self.learned, self.called)


def review_text(
    reading: ReviewText, changes: Mapping[str, PlanChange] = NO_CHANGES, taken: Sequence[Taken] = ()
) -> str:
    """A review as text; `changes`: the effect of offers on the next plan, by key, if one was named.

    `taken` are the session's accepted offers.
    """
    listed = reading.review.listed
    blocks = [
        [
            tr("Review of session {number}: {title}", number=listed.number, title=titled(listed.title)),
            about(listed)[0],
        ]
    ]
    if not counts_as_swum(listed):
        blocks[0].append(TOO_SHORT)
    blocks.append(wrap(reading.paragraph, WIDTH))
    offers = []
    for said in offers_said(reading.review, reading.offers, taken, reading.called):
        text = tr("{suggestion} (accepted)", suggestion=said.text) if said.taken is not None else said.text
        offers += [f"  {sentence(text)}", f"    {said.evidence}"]
        if said.key in changes:
            offers.append(f"    {changes_text(changes[said.key])}")
    if offers:
        blocks.append([tr("Suggested"), *offers])
    blocks += [_table(table) for table in reading.tables]
    return "\n\n".join("\n".join(rows) for rows in blocks)


def _table(table: Table) -> list[str]:
    rows = [table.heads, *table.rows] if table.heads else list(table.rows)
    return [table.heading, *(f"  {row}".rstrip() for row in aligned(rows, left=(-1,)))]


def review_json(reading: ReviewText, taken: Sequence[Taken] = ()) -> dict:
    """A review for a program: all times in milliseconds, lanes by their numbers, swimmers by number in `people`.

    `taken` are the session's accepted offers.
    """
    review = reading.review
    lanes, cube = review.lanes, review.distances
    return {
        "format": FORMAT,
        "session": review.listed.number,
        "title": review.listed.title,
        "unit": review.unit,
        "swum": counts_as_swum(review.listed),
        "news": [{"text": one.text, "figure": one.figure} for one in reading.news],
        "people": [
            {
                "number": person.number,
                "lane": lanes[person.lane],
                "swimmer": person.place + 1,
                "base_ms": int(person.base.ms),
                **({"name": person.name} if reading.called.names and person.name else {}),
            }
            for person in review.people
        ],
        "plan": [{**done._asdict(), "lane": lanes[done.lane]} for done in review.plan],
        "distance": {
            "lanes": [
                {
                    "lane": number,
                    "activity": dict(shares(cube.by_lane, "activity", lane)),
                    "stroke": dict(shares(cube.by_lane, "stroke", lane)),
                    "effort": dict(shares(cube.by_lane, "effort", lane)),
                    "section": dict(by_section(cube.by_lane, review.sections, lane)),
                }
                for lane, number in enumerate(lanes)
            ],
            "people": {str(person.number): cube.of_person(person.number) for person in review.people},
        },
        "sets": [_set_json(table, lanes) for table in review.sets],
        "strokes": [
            {
                "entry": one.entry,
                "lane": lanes[one.lane],
                "person": one.who,
                "at_ms": one.at_ms,
                "rate": float(one.rate),
                "speed": _float(one.speed),
                "length": _float(one.length),
                "index": _float(one.index),
                "timed": one.timed,
                "speed_of": one.speed_of,
                "done": one.done,
            }
            for one in review.strokes
        ],
        "time": [one._asdict() for one in review.spent],
        "notes": [
            {
                "at_ms": note.at_ms,
                "text": note.text if reading.called.names else "",
                "lane": None if note.lane is None else lanes[note.lane],
                "person": note.who,
                "section": note.section,
                "set": note.line,
            }
            for note in review.notes
        ],
        "offers": [
            {
                "key": offer.key,
                "lane": offer.lane,
                "person": offer.who,
                "what": offer.factor or "base",
                "old": value_text(offer.old),
                "new": value_text(offer.new),
                **_estimate(offer.estimate),
            }
            for offer in reading.offers
        ],
        "accepted": [
            {"key": one.key, "lane": one.lane, "what": one.factor or "base", "new": value_text(one.new)}
            for one in taken
        ],
        "left_out": sorted(reading.out),
        "put_back": sorted(review.put_back),
    }


def _set_json(table: TimedSet, lanes: Sequence[int]) -> dict:
    return {
        "lane": lanes[table.lane],
        "section": table.section,
        "set": table.line,
        "text": table.text,
        "target": table.target,
        "repeats": [{"round": one.round, "repeat": one.repeat, "distance": one.distance} for one in table.columns],
        "swimmers": [
            {
                "person": row.who,
                "over_ms": row.over_ms,
                "spread_ms": row.spread_ms,
                "drift_ms": row.drift_ms,
                "times": [
                    {
                        "repeat": cell.column,
                        "time_ms": cell.time_ms,
                        "predicted_ms": cell.predicted_ms,
                        "entry": cell.entry,
                    }
                    for cell in row.cells
                ],
            }
            for row in table.rows
        ],
    }


def _estimate(found: Estimate) -> dict:
    return {"log_ratio": found.log, "standard_error": found.deviation, "times": found.times, "sets": found.sets}


def _float(value: object) -> float | None:
    return None if value is None else float(value)  # type: ignore[arg-type]
