"""A time that was taken, in words: how far it is from the prediction or `hold`, and the rest it leaves."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.session.journal.recordentries import Touched
from pacer.session.records.expectedtimes import doubted
from pacer.session.records.touches import TakenTime, difference, tenths, time_figures
from pacer.session.running.runstate import Run
from pacer.show.wording.timereadings import count_down
from pacer.show.wording.viewtext import nth


def time_ways(run: Run, entry: Touched, taken: Iterable[TakenTime] = ()) -> tuple[str, ...]:
    """A time that was taken: whose, the time, the difference from the prediction or `hold`, the rest left.

    `taken` are all times of the session. Of one that looks wrong beside them, it is said instead that it is left out.
    """
    return (*(f"{nth(entry.swimmer)} {way}" for way in value_ways(run, entry, taken)), tenths(entry.time_cs))


def value_ways(run: Run, entry: Touched, taken: Iterable[TakenTime] = ()) -> tuple[str, ...]:
    """The same without whose it is."""
    time = tenths(entry.time_cs)
    said = time_figures(run, entry)
    if said is None:
        return (time,)
    if doubted(run, entry, taken):
        expected = tenths(entry.time_cs - half_up(Fraction(said.over_predicted_ms, 10)))
        return (
            tr("{time}? expected {expected}: left out", time=time, expected=expected),
            tr("{time}? left out", time=time),
            f"{time}?",
        )
    if said.over_hold_ms is None:
        short = difference(said.over_predicted_ms)
    else:
        short = tr("target {difference}", difference=difference(said.over_hold_ms))  # it replaces the prediction
    over = tr("{difference} s", difference=short)
    rest = said.rest_ms is not None and said.rest_ms >= 0
    left = [tr("rest {rest}", rest=count_down((said.rest_ms or 0) // 1000))] if rest else []
    whole = "  ".join([time, over, *left])
    close = (" ".join(whole.split()), *([" ".join([time, short, *left])] if rest else []))
    return tuple(dict.fromkeys((whole, *close, f"{time}  {over}", time)))
