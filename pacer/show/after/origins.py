"""What tells plans or squads with the same title apart, as after an import: where each is from. No Kivy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from pacer.language import tr
from pacer.review.exports.lastexchange import plans_from
from pacer.session.timezone import date_said


def from_other(day: str) -> tuple[str, ...]:
    """Where a version is from that was imported on a day (`2026-03-22`), the longest way first.

    >>> from_other("2026-03-22")
    ('from the other tablet, 22 March', 'other tablet, 22 Mar', 'other tablet')
    >>> from_other("")
    ('from the other tablet', 'other tablet')
    """
    if not day:
        return tr("from the other tablet"), tr("other tablet")
    whole, short = (date_said(date.fromisoformat(day), short=short).rpartition(" ")[0] for short in (False, True))
    return (
        tr("from the other tablet, {day}", day=whole),
        tr("other tablet, {day}", day=short),
        tr("other tablet"),
    )


def plan_origin(folder: Path, name: str) -> str:
    """Where a plan of the tablet in `folder` is from, as its page says it; "" if that is not known."""
    found = plans_from(folder).get(name)
    if found is None:
        return ""
    return tr("drafted from {after}", after=found.after) if found.after else from_other(found.day)[0]


def origins(titles: Iterable[tuple[str, str]], came: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Where each of several texts with one title is from, the longest way first; `titles`: files' names with titles.

    `came`: the days of those that came from another tablet. Those that are from the same place have their file's name.

    >>> origins([("a", "Roll"), ("a-1", "Roll"), ("b", "Kick")], {"a-1": "2026-03-22"})["a"]
    ('from this tablet', 'this tablet')
    >>> origins([("a", "Roll"), ("c", "roll")], {})
    {'a': ('a',), 'c': ('c',)}
    """
    every = [(name, title.casefold()) for name, title in titles]
    twice = {title for title, count in Counter(title for _, title in every).items() if count > 1}
    alike = Counter((title, came.get(name)) for name, title in every)
    return {
        name: (name,)
        if alike[title, came.get(name)] > 1
        else from_other(came[name])
        if name in came
        else (tr("from this tablet"), tr("this tablet"))
        for name, title in every
        if title in twice
    }


def with_origin(origin: tuple[str, ...], focus: str, pool: str) -> tuple[str, ...]:
    """What a card says of a plan below its title: where it is from, if that tells it apart, its focus and pool.

    >>> with_origin(("from this tablet", "this tablet"), "", "25 m")
    ('from this tablet; 25 m', 'from this tablet', 'this tablet')
    """
    about = ", ".join(filter(None, (focus, pool)))
    if origin:
        return (f"{origin[0]}; {about}", *origin) if about else origin
    return (about, focus, pool) if about else ("",)
