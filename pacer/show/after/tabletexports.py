"""What the tablet exports and imports, and how that is said to the coach. No Kivy."""

from __future__ import annotations

from pathlib import Path

from pacer.disk import reason_of
from pacer.language import tr_n
from pacer.plan.library.plancards import card_of
from pacer.plan.library.shelf import ShelfTrouble
from pacer.review.exports.archive import BadArchive
from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.calendarfile import events_of, ics_text
from pacer.review.exports.tabletarchive import Imported, export_archive, import_archive, texts_of
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timezone import day_said


def leaving(store: Store) -> tuple[str, ...]:
    """What an export takes along, in sentences. Raises StoreTrouble."""
    told: list[str] = []
    texts = texts_of(Path(store.folder), told.append)
    sessions = len(_all(store))
    plans, squads = len(texts.plans) + len(texts.hidden.plans), len(texts.squads) + len(texts.hidden.squads)
    what = (
        tr_n("{n} session", "{n} sessions", sessions) if sessions else "",
        tr_n("{n} plan", "{n} plans", plans) if plans else "",
        tr_n("{n} squad", "{n} squads", squads) if squads else "",
        "the drill book" if texts.drills else "",
    )
    return (f"One file: {', '.join(filter(None, what))}.", *(f"{said}." for said in told))


def archive(store: Store, names: bool) -> bytes:
    """Everything of the tablet as an archive. Raises StoreTrouble."""
    kept = [store.session(listed.number) for listed in _all(store)]
    return export_archive(kept, texts_of(Path(store.folder)), names)


def _all(store: Store) -> tuple[Listed, ...]:
    return (*store.sessions(), *store.sessions(hidden=True))


def calendar(store: Store, stamp_ms: int) -> bytes:
    """The sessions that were swum and those that are planned as a calendar; nobody is named. Raises StoreTrouble."""
    cards = (card_of(name, text) for name, text in texts_of(Path(store.folder)).plans.items())
    plans = [card.plan for card in cards if card.plan is not None]
    return ics_text(events_of(store.sessions(), plans, stamp_ms)).encode()


def imported(store: Store, data: bytes) -> tuple[str, ...]:
    """Take an archive in, and say what came of it. Raises ShelfTrouble, and nothing is changed then."""
    try:
        return _said(import_archive(store, read_archive(data)))
    except BadArchive as why:
        raise ShelfTrouble(f"{str(why)[:1].upper()}{str(why)[1:]}. Nothing was imported.") from None
    except StoreTrouble as trouble:
        raise ShelfTrouble(f"{trouble} Nothing was imported.") from None
    except OSError as error:
        raise ShelfTrouble(
            f"Not everything could be saved: {reason_of(error)}. Import it again when there is room."
        ) from None


def _said(brought: Imported) -> tuple[str, ...]:
    taken = brought.sessions
    counted = ((taken.new, "new"), (taken.fuller, "completed"), (taken.same, "already here"))
    parts = [f"{count} {what}" for count, what in counted if count]
    rows = [f"Sessions: {', '.join(parts)}."] if parts else []
    for what, names in (("Plans", brought.plans), ("Squads", brought.squads), ("Drill books", brought.drills)):
        if names:
            rows.append(f"{what}: {', '.join(names)}.")
    if not (taken.new or taken.fuller or brought.plans or brought.squads or brought.drills):
        rows.append("Everything in it was here already.")
    rows += hidings_said(brought)
    rows += [f"Two versions of {here}: yours is unchanged, the other one is {new}." for here, new in brought.other]
    return tuple(rows)


def hidings_said(brought: Imported) -> list[str]:
    """What an import hid or brought back, and which sessions are there twice perhaps."""
    rows = []
    for what, sessions in (("Hidden, as on the other tablet", brought.hidden), ("Back in the log", brought.shown)):
        if sessions:
            rows.append(f"{what}: {', '.join(map(called, sessions))}.")
    rows += [
        f"Possible duplicate: {called(one)} (sessions {other} and {one.number}). Choose in the log."
        for one, other in brought.doubles
    ]
    return rows


def called(one: Listed) -> str:
    """A session by its title and its day."""
    day = "" if one.begun_ms is None else f", {day_said(one.begun_ms, one.zone)}"
    return f"{one.title or 'an untitled session'}{day}"
