"""Offers in words: the new value, the evidence, how sure it is, and its effect on the next plan."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import expm1
from typing import NamedTuple

from pacer.language import listed, tr, tr_n
from pacer.plan.decimals import decimals, short_decimal
from pacer.plan.times import in_tenths, text_from_ms, whole_up
from pacer.review.learning.learned import written_factor
from pacer.review.learning.offereffect import PlanChange, SetChange, Way
from pacer.review.learning.offers import Offer
from pacer.review.learning.takenoffers import Taken
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.writtenvalues import percent
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.swims import Swum
from pacer.squad.factors import merged_factors
from pacer.squad.pace import text_from_pace
from pacer.squad.squad import Pace

ALL_OF_IT = 0.01  #: so near, a base or factor is said to be all that the times are off by


def value_text(value: Pace | object) -> str:
    """A base or a factor as it is shown: `1:24.5`, `1.52`."""
    return text_from_pace(value) if isinstance(value, Pace) else short_decimal(value, 2)  # type: ignore[arg-type]


class OfferSaid(NamedTuple):
    """An offer in words, with what it rests on. `taken` is its record if it was accepted."""

    key: str
    text: str
    evidence: str
    offer: Offer | None
    taken: Taken | None


def offers_said(
    review: Review, offers: Sequence[Offer], taken: Sequence[Taken], called: ReviewNames
) -> tuple[OfferSaid, ...]:
    """A session's offers lane by lane, with those that were accepted, whether its times still suggest them or not."""
    accepted = {one.key: one for one in taken}
    made = [
        (offer.lane, offer.factor, OfferSaid(offer.key, *_said(offer, accepted.get(offer.key), called)))
        for offer in offers
    ]
    offered = {offer.key for offer in offers}
    evidence = tr("accepted (later times don't support it)")
    made += [
        (one.lane, one.factor, OfferSaid(one.key, _taken_text(one, review, called), evidence, None, one))
        for one in taken
        if one.key not in offered
    ]
    order = {number: at for at, number in enumerate(review.lanes)}
    return tuple(said for _, _, said in sorted(made, key=lambda row: (order.get(row[0], len(order)), row[1] != "")))


def _said(offer: Offer, taken: Taken | None, called: ReviewNames) -> tuple[str, str, Offer, Taken | None]:
    evidence = evidence_text(offer, called)
    if taken is None or taken.new == offer.new:
        return offer_text(offer, called), evidence, offer, taken
    now = tr("accepted; the times now suggest {new}: {evidence}", new=value_text(offer.new), evidence=evidence)
    return _taken_text(taken, called.review, called), now, offer, taken


def _taken_text(taken: Taken, review: Review, called: ReviewNames) -> str:
    """An accepted offer as it was when it was accepted."""
    at = next((at for at, number in enumerate(review.lanes) if number == taken.lane), None)
    whose = tr("lane {lane}", lane=taken.lane)
    if taken.place is not None:
        who = next((one.number for one in review.people if (one.lane, one.place) == (at, taken.place)), None)
        whose = whose if who is None else called.who(who)
    old = taken.old
    if old is None and at is not None:
        squad = review.replay.begun.squad
        old = written_factor(taken.factor, merged_factors(squad, squad.lanes[at]))
    told = {"whose": whose, "what": taken.factor or tr("base"), "new": value_text(taken.new)}
    return tr("{whose}, {what} {new} instead of {old}", old=value_text(old), **told)


def offer_text(offer: Offer, called: ReviewNames) -> str:
    """`Kit, base 1:25.5 instead of 1:30`, `lane 3, kick 1.58 instead of 1.45`."""
    whose = (
        called.who(offer.who)
        if offer.who is not None and offer.place is not None
        else tr("lane {lane}", lane=offer.lane)
    )
    what = offer.factor or tr("base")
    return tr(
        "{whose}, {what} {new} instead of {old}",
        whose=whose,
        what=what,
        new=value_text(offer.new),
        old=value_text(offer.old),
    )


def evidence_text(offer: Offer, called: ReviewNames) -> str:
    """`14 timed repeats in 2 sets, 5.0% faster than expected; 95% likely between 1:25.1 and 1:25.9`.

    Where the times are off by more than this base or factor, `29.6% faster than expected, 10.5% of it from choice`.
    """
    found = offer.estimate
    least, most = (
        tuple(map(in_tenths, offer.bounds))
        if isinstance(offer.new, Pace)
        else tuple(decimals(v, 2) for v in offer.bounds)
    )
    told = {
        "times": tr_n("{n:,} timed repeat", "{n:,} timed repeats", found.times),
        "sets": tr_n("{n:,} set", "{n:,} sets", found.sets),
        "share": _share(offer),
        "least": least,
        "most": most,
    }
    said = tr("{times} in {sets}, {share}; 95% likely between {least} and {most}", **told)
    if offer.who is not None and offer.place is None:
        said = tr(
            "{times} of swimmer {place}, the lane's slowest, in {sets}, {share}; 95% likely between {least} and {most}",
            place=called.review.people[offer.who].place + 1,
            **told,
        )
    if not offer.also:
        return said
    others = listed([_named(other, called) for other in offer.also])
    return tr("{said}; the same times suggest {others} too", said=said, others=others)


def _share(offer: Offer) -> str:
    """How far the times are off, and how much of it this base or factor explains, if that is not all."""
    part, whole = float(_of(offer.new) / _of(offer.old)) - 1, expm1(offer.estimate.whole)
    if abs(whole - part) < ALL_OF_IT and not offer.also:
        return tr("{off} than expected", off=_off(part))
    if not 0 < part / (whole or 1) < 1:
        return tr("{off} than their other times suggest", off=_off(part))
    what = offer.factor or tr("the base")
    return tr("{whole} than expected, {part} of it from {what}", whole=_off(whole), part=percent(part), what=what)


def _off(share: float) -> str:
    return (
        tr("{percent} slower", percent=percent(share)) if share > 0 else tr("{percent} faster", percent=percent(share))
    )


def _named(offer: Offer, called: ReviewNames) -> str:
    """`easy 1.04`, or `Kit's base 1:25.5`."""
    what = f"{offer.factor or tr('base')} {value_text(offer.new)}"
    if offer.who is None or offer.place is None:
        return what
    return tr("{who}'s {what}", who=called.who(offer.who), what=what)


def _of(value: Pace | Fraction) -> Fraction:
    return Fraction(value.ms if isinstance(value, Pace) else value)


def change_text(one: SetChange, made: bool = False) -> str:
    """`lane 3, Main set, set 1: on 1:45 instead of 1:40, rest 0:20 instead of 0:18`.

    If the change is `made`: `now on 1:45 (was 1:40), rest 0:20 (was 0:18)`.
    """
    place = tr("lane {lane}, {section}, set {line}", lane=one.lane, section=one.section, line=one.line)
    if one.before is None or one.after is None:
        return tr("{place}: skipped", place=place) if one.after is None else tr("{place}: added", place=place)
    what = ", ".join(_changed(one.before, one.after, made))
    return tr("{place}: now {what}", place=place, what=what) if made else f"{place}: {what}"


def _shown(sets: Sequence[SetChange]) -> list[SetChange]:
    """The changes that can be seen: not those of less than a second."""
    return [one for one in sets if one.before is None or one.after is None or _changed(one.before, one.after, False)]


def _changed(before: Way, after: Way, made: bool) -> list[str]:
    """What is another in a lane's way to swim a set."""
    said = []
    if before.interval_ms is not None and after.interval_ms is not None and before.interval_ms != after.interval_ms:
        interval, earlier = text_from_ms(after.interval_ms), text_from_ms(before.interval_ms)
        said.append(
            tr("on {interval} (was {before})", interval=interval, before=earlier)
            if made
            else tr("on {interval} instead of {before}", interval=interval, before=earlier)
        )
    if before.repeats != after.repeats:
        counted = tr_n("{n:,} repeat", "{n:,} repeats", after.repeats)
        said.append(
            tr("{counted} (was {repeats:,})", counted=counted, repeats=before.repeats)
            if made
            else tr("{counted} instead of {repeats:,}", counted=counted, repeats=before.repeats)
        )
    if _rest(before) != _rest(after):
        said.append(
            tr("rest {rest} (was {before_rest})", rest=_rest(after), before_rest=_rest(before))
            if made
            else tr("rest {rest} instead of {before_rest}", rest=_rest(after), before_rest=_rest(before))
        )
    return said


def _rest(way: Way) -> str:
    return tr("none") if way.rest_ms is None else text_from_ms(way.rest_ms // 1000 * 1000)


def change_lines(change: PlanChange, made: bool = False, most: int = 3) -> tuple[str, ...]:
    """An offer's changes in a plan, one in each line: new send-offs first, then new rests. `made`: it was accepted."""
    shown = _shown(change.sets)
    sets = [one for one in shown if one.send_offs] or shown
    told = [change_text(one, made) for one in sets[:most]] or [tr("no send-offs change in that plan")]
    if len(sets) > most:
        told.append(tr_n("{n:,} more set", "{n:,} more sets", len(sets) - most))
    after, before = whole_up(change.end_after_ms), whole_up(change.end_before_ms)
    if after != before:
        told.append(
            tr("lasts {end_after} (was {end_before})", end_after=after, end_before=before)
            if made
            else tr("lasts {end_after} instead of {end_before}", end_after=after, end_before=before)
        )
    return tuple(told)


def changes_text(change: PlanChange, most: int = 3) -> str:
    """An offer's changes in the next plan, the send-offs first; a sentence that says so if there are none."""
    shown = _shown(change.sets)
    told = [change_text(one) for one in shown[:most]] or [tr("no send-offs change in the next plan")]
    more = len(shown) - most
    if more > 0:
        told.append(tr_n("{n:,} more set", "{n:,} more sets", more))
    after, before = whole_up(change.end_after_ms), whole_up(change.end_before_ms)
    if after != before:
        told.append(tr("lasts {end_after} instead of {end_before}", end_after=after, end_before=before))
    return "; ".join(told)


def left_out_text(swim: Swum, called: ReviewNames) -> str:
    """`Kit, Main set, set 1, repeat 7: 1:20.0, expected 0:40.0`."""
    place = {"section": called.section(swim.section), "line": swim.line, "repeat": swim.repeat}
    where = (
        tr("{section}, set {line}, round {round}, repeat {repeat}", round=swim.round, **place)
        if swim.round > 1
        else tr("{section}, set {line}, repeat {repeat}", **place)
    )
    return tr(
        "{who}, {where}: {time}, expected {predicted}",
        who=called.who(swim.who),
        where=where,
        time=in_tenths(swim.time_ms or 0),
        predicted=in_tenths(swim.predicted_ms),
    )
