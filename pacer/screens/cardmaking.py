"""Card lists: what a lane screen shows for all the rest of the session, made by the code that feeds the window.

A *card* says what is shown of one `part` of a screen from `at_ms` on, until the next card of that part. What counts is
an instant (a key that ends in `_ms`): the page counts to it or from it, and knows nothing else of a session. Ways to
say a thing are lists, the longest first. No card names a swimmer.

| part | of the view | what it holds |
| --- | --- | --- |
| `lane` | lane | a lane's own view |
| `band 0`, `band 1` … | dial, pool | a lane's row, by its index |
| `swimmer 0 0` … | pool | where a lane's swimmer is, by both indexes: `swimmercards` |
| `pool` | all | what is said of all lanes: clock, all stopped; for the dial its marks, for the pool its header |
| `beep` | all | at this instant ends a count-down that the tablet sounds |

Everything is worked out by readers of its own: those that the window asks belong to the drawing thread.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from pacer.language import tr
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.times import SECOND_MS
from pacer.screens.swimmercards import home_cards, swimmer_cards
from pacer.session.running.replay import Run
from pacer.show.measure.fitting import cue_words
from pacer.show.view.bandpriority import needs_of
from pacer.show.view.bandreader import BandReader
from pacer.show.view.instantview import (
    Homeward,
    PoolReader,
    dial_section,
    marks_of,
    out_words,
    section_of,
    session_words,
)
from pacer.show.view.onelaneview import foot_ways, lane_card, lane_changes, later_ways, work_ways
from pacer.show.view.viewvalues import BandCard, BandText
from pacer.show.wording.viewtext import clock_ways, say
from pacer.squad.lanenumbers import spans

Card = dict[str, Any]

LATER_MS = 59_000  #: with more than that to go a count-down has minutes: the dial's mark is hollow


def card_list(
    run: Run,
    lane: int,
    kind: str,
    from_ms: int,
    until_ms: int,
    *,
    whose: str = "own",
    book: DrillBook = EMPTY_BOOK,
    sounds: Sequence[int] = (),
) -> list[Card]:
    """The cards of a view (`kind`: lane, dial, pool) in force at `from_ms` and up to before `until_ms`.

    Ascending; the first ones, one for each part, are in force at `from_ms`. The same instant gives the same card,
    whatever `from_ms`. `whose`: whose clock is shown. `sounds`: the instants that the tablet counts down to aloud
    (`soundplan.sound_instants`). Asked by one thread alone.
    """
    maker = _maker(run, whose, book)
    if kind == "lane":
        cards = [maker.clock(from_ms), *maker.lane(lane, from_ms, until_ms)]
    else:
        cards = maker.pool(from_ms, until_ms, header=kind == "pool")
        for index in range(len(run.timeline.tracks)):
            cards += maker.band(index, kind == "pool", from_ms, until_ms)
            cards += maker.swimmers(index, from_ms, until_ms) if kind == "pool" else []
    cards += [{"part": "beep", "at_ms": at_ms} for at_ms in sounds if from_ms <= at_ms < until_ms]
    return sorted(cards, key=lambda card: card["at_ms"])


def pack(cards: Sequence[Card]) -> dict[str, list]:
    """Cards for the network: keys and texts once. Values of keys in `_ms` stay, the others are indexes of `texts`."""
    shapes: dict[tuple[str, ...], int] = {}
    texts: list[Any] = []
    known: dict[str, int] = {}
    packed = []
    for card in cards:
        keys = tuple(card)
        row = [shapes.setdefault(keys, len(shapes))]
        for key, value in card.items():
            if not key.endswith("_ms"):
                name = repr(value)
                if name not in known:
                    known[name] = len(texts)
                    texts.append(value)
                value = known[name]
            row.append(value)
        packed.append(row)
    return {"shapes": [list(keys) for keys in shapes], "texts": texts, "cards": packed}


_makers: list[CardMaker] = []  #: of the runs asked for last


def _maker(run: Run, whose: str, book: DrillBook) -> CardMaker:
    for maker in _makers:
        if maker.run is run and maker.whose == whose and maker.book is book:
            return maker
    made = CardMaker(run, whose, book, _makers[0].reader if _makers else None)
    _makers[:] = [made, *_makers[:1]]
    return made


class CardMaker:
    """Makes the cards of one run, part by part."""

    def __init__(self, run: Run, whose: str = "own", book: DrillBook = EMPTY_BOOK, known: PoolReader | None = None):
        self.run, self.whose, self.book = run, whose, book
        self.reader = PoolReader(run.timeline, run.course, known)
        self.home = None if run.ended_ms is None else Homeward(run.timeline, run.course)
        self._words: dict[BandText, Card] = {}

    def lane(self, lane: int, from_ms: int, until_ms: int) -> list[Card]:
        """A lane's own view."""
        return _changing([self._lane(lane, at) for at in self._instants(lane, from_ms, until_ms, lane_changes)])

    def band(self, lane: int, pool: bool, from_ms: int, until_ms: int) -> list[Card]:
        """A lane's row in the dial, or its band in the `pool`."""
        instants = self._instants(lane, from_ms, until_ms, BandReader.changes)
        return _changing([self._band(lane, pool, at) for at in instants])

    def swimmers(self, lane: int, from_ms: int, until_ms: int) -> list[Card]:
        """Where a lane's swimmers are."""
        reader, run = self.reader.lanes[lane], self.run
        if self.home is not None and self.home.is_out(lane, from_ms):
            out = self.home.reader.lanes[lane]
            home_ms = self.home.home_ms(lane)
            cards = swimmer_cards(out, from_ms, min(until_ms, home_ms))
            return cards + (home_cards(out, home_ms) if home_ms < until_ms else [])
        if run.begun is None or run.ended_ms is not None:
            return home_cards(reader, from_ms)
        return swimmer_cards(reader, from_ms, until_ms)

    def clock(self, at_ms: int) -> Card:
        """What a lane's own view says of all lanes together."""
        run = self.run
        return {
            "part": "pool",
            "at_ms": at_ms,
            "phase_ms": run.phase_ms,
            "stopped": say("all stopped") if run.stopped and run.ended_ms is None else "",
            "whose": list(clock_ways(self.whose)),
            "swum": [say("swum"), say("swum short"), ""],
        }

    def pool(self, from_ms: int, until_ms: int, header: bool = True) -> list[Card]:
        """What is said of all lanes together; `header`: with what the pool view says above them."""
        run, found = self.run, {from_ms}
        for lane, track in enumerate(run.timeline.tracks):
            found |= set(self._instants(lane, from_ms, until_ms, BandReader.changes))
            found |= {at for at in (0, track.end_ms) if from_ms < at < until_ms}
        for card in [self._card_at(lane, at) for lane in range(len(run.timeline.tracks)) for at in sorted(found)]:
            if card.leave_ms is not None and from_ms < card.leave_ms - LATER_MS < until_ms:
                found.add(card.leave_ms - LATER_MS)
        held = [track.paused_ms for track in run.timeline.tracks if track.paused_ms is not None]
        if header and held and run.ended_ms is None:  # a session that waits ends later, second by second
            first = from_ms + SECOND_MS - (from_ms - min(held)) % SECOND_MS
            found |= _turns(range(first, until_ms, SECOND_MS), lambda at_ms: out_words(run, at_ms))
        return _changing([self._pool(at, header) for at in sorted(found)])

    # -- who is asked at an instant -------------------------------------------------------------------------

    def _asked(self, lane: int, at_ms: int) -> tuple[BandReader, Run, int]:
        """Who knows what the lane says at `at_ms`, about which run, and at which of its instants."""
        ended_ms = self.run.ended_ms
        if self.home is not None and self.home.is_out(lane, at_ms):
            return self.home.reader.lanes[lane], self.home.run, at_ms
        return self.reader.lanes[lane], self.run, at_ms if ended_ms is None else min(at_ms, ended_ms)

    def _instants(self, lane: int, from_ms: int, until_ms: int, changes) -> list[int]:
        found = {from_ms} | changes(self.reader.lanes[lane], self.run, from_ms, until_ms)
        if self.home is not None:
            found |= changes(self.home.reader.lanes[lane], self.home.run, from_ms, until_ms)
        return sorted(found)

    def _card_at(self, lane: int, at_ms: int) -> BandCard:
        reader, run, at_ms = self._asked(lane, at_ms)
        return reader.card(at_ms, run, self.run.phase_ms, reader.track.index_at(at_ms))

    # -- cards ----------------------------------------------------------------------------------------------------

    def _lane(self, lane: int, at_ms: int) -> Card:
        reader, run, asked_ms = self._asked(lane, at_ms)
        card = lane_card(reader, asked_ms, run, self.run.phase_ms)
        text = card.band.text
        drill = self.book.drill(text.name) if text.name else None
        return {
            "part": "lane",
            "at_ms": at_ms,
            **_counted(card.band),
            "hero_ms": card.hero_ms,
            "label_ms": card.label_ms,
            "lane": text.lane,
            "state": text.state,
            "shape": text.shape,
            "word": text.word,
            "kind": card.kind,
            "hero": card.hero,
            "hero_label": card.hero_label,
            "inverted": card.inverted,
            "leave_label": card.leave_label,
            "leave": card.leave,
            "later": list(later_ways(card.leavers)),
            "several": len(card.leavers) > 1,
            "in_all": list(text.swum),
            "present": text.present,
            "doing": list(work_ways(text)),
            "ribbon": _ribbon(text),
            "lit": text.lit,
            "cue": cue_words(text.cue)[0],
            "how": drill.how if drill else "",
            "tight": list(text.tight),
            "foot": list(foot_ways(card.set_words, text)),
            "after": list(card.after),
        }

    def _band(self, lane: int, pool: bool, at_ms: int) -> Card:
        band = self._card_at(lane, at_ms)
        text = band.text
        words = {
            "lane": text.lane,
            "state": text.state,
            "shape": text.shape,
            "word": text.word,
            "clock": text.clock,
            "leave_label": text.leave_label,
        }
        if pool:
            known = self._words.get(text)
            if known is None:
                known = self._words[text] = _band_words(text)
            words |= known
        return {"part": tr("band {lane}", lane=lane), "at_ms": at_ms, **_counted(band), **words}

    def _pool(self, at_ms: int, header: bool) -> Card:
        run = self.run
        asked_ms = at_ms if run.ended_ms is None else min(at_ms, run.ended_ms)
        cards = [self._card_at(lane, at_ms) for lane in range(len(run.timeline.tracks))]
        texts = [card.text for card in cards]
        later = [card.leave_ms is not None and card.leave_ms - at_ms > LATER_MS for card in cards]
        section = section_of(self.reader, texts)
        label, session = session_words(run, asked_ms)
        counts = run.begun is not None and run.ended_ms is None
        more: Card = {}
        if header:
            out, spare, over = out_words(run, asked_ms)
            more = {"section": section, "title": self.reader.title, "out": out, "spare": list(spare), "over": over}
        return {
            **self.clock(at_ms),
            **more,
            "to_ms": 0 if counts and at_ms < 0 else None,
            "since_ms": 0 if counts and at_ms >= 0 else None,
            "session_label": label,
            "session": "" if counts else session,
            "session_short": say("session"),
            "begun": run.begun is not None and asked_ms >= 0,
            "dial_section": dial_section(texts, section),
            "marks": [
                [mark.second, spans([int(lane) for lane in mark.lanes]), mark.colour, mark.later]
                for mark in marks_of(texts, later)
            ],
        }


def _counted(card: BandCard) -> Card:
    return {"leave_ms": card.leave_ms, "sent_ms": card.sent_ms, "from_ms": card.from_ms, "takes_ms": card.takes_ms}


def _ribbon(text: BandText) -> list:
    return [[list(piece.labels), round(piece.start, 4), round(piece.end, 4)] for piece in text.ribbon]


def _band_words(text: BandText) -> Card:
    """What is to be said in the water, what matters most first, with room for a drill's name in a row and without."""
    named, unnamed = (list(map(list, needs_of(text, labelled=False, own_row=True, fits=fits))) for fits in (_yes, _no))
    shared = sum(1 for _ in needs_of(text, labelled=False, own_row=False, fits=_yes))
    return {
        "name": text.name,
        "needs": named,
        "unnamed": unnamed if unnamed != named else None,
        "own_row": len(named) - shared,
        "timed": text.timed,
        "ribbon": _ribbon(text),
        "lit": text.lit,
    }


def _turns(instants: Sequence[int], said: Callable[[int], object]) -> set[int]:
    """The first of ascending instants, and those at which `said` changes; it never says the same thing again later."""
    if not instants:
        return set()
    found = {instants[0]}
    stretches = [(0, len(instants) - 1)]
    while stretches:
        low, high = stretches.pop()
        if said(instants[low]) == said(instants[high]):
            continue
        if high - low == 1:
            found.add(instants[high])
        else:
            stretches += [(low, (low + high) // 2), ((low + high) // 2, high)]
    return found


def _yes(_words: str) -> bool:
    return True


def _no(_words: str) -> bool:
    return False


def _changing(cards: list[Card]) -> list[Card]:
    """The cards that say something else than the one before."""
    return cards[:1] + [card for before, card in pairwise(cards) if card | {"at_ms": 0} != before | {"at_ms": 0}]
