"""A time that was taken, in words: how far it is from the prediction or `hold`, and the rest it leaves."""

from __future__ import annotations

from pacer.language import tr
from pacer.session.journal.recordentries import Touched
from pacer.session.records.touches import difference, tenths, time_figures
from pacer.session.running.runstate import Run
from pacer.show.wording.timereadings import count_down
from pacer.show.wording.viewtext import nth


def time_ways(run: Run, entry: Touched) -> tuple[str, ...]:
    """A time that was taken: whose, the time, the difference from the prediction or `hold`, the rest left."""
    return (*(f"{nth(entry.swimmer)} {way}" for way in value_ways(run, entry)), tenths(entry.time_cs))


def value_ways(run: Run, entry: Touched) -> tuple[str, ...]:
    """The same without whose it is."""
    time = tenths(entry.time_cs)
    said = time_figures(run, entry)
    if said is None:
        return (time,)
    over = (
        difference(said.over_predicted_ms)
        if said.over_hold_ms is None
        else tr("target {difference}", difference=difference(said.over_hold_ms))
    )  # it replaces the prediction
    rest = said.rest_ms is not None and said.rest_ms >= 0
    left = [tr("rest {rest}", rest=count_down((said.rest_ms or 0) // 1000))] if rest else []
    whole = "  ".join([time, over, *left])
    return tuple(dict.fromkeys((whole, " ".join(whole.split()), f"{time}  {over}", time)))
