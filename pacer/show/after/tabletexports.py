"""What the tablet exports and imports, and how that is said to the coach. No Kivy."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from pathlib import Path

from pacer.disk import reason_of
from pacer.language import tr, tr_n
from pacer.plan.library.newplan import header_of
from pacer.plan.library.plancards import Card
from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.plan.problem import Unreadable
from pacer.plan.sentence import sentence
from pacer.plan.titles import titled
from pacer.review.exports.archivecontent import HeldBack, held_back, known_of
from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.archivezip import BadArchive
from pacer.review.exports.calendarfile import events_of, ics_text, unnamed, unread_plans
from pacer.review.exports.cancelledevents import with_cancelled
from pacer.review.exports.knownnames import known_names
from pacer.review.exports.lastexchange import plans_known_by, remember, renamed_plan
from pacer.review.exports.tabletarchive import Imported, export_archive, import_archive, plan_cards, texts_of
from pacer.review.exports.textmerge import MergedTexts
from pacer.session.storage.deleting import deleted, would_delete
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timezone import day_said
from pacer.show.after.origins import from_other
from pacer.squad.files.squadreader import read_squad

#: The kinds of text as they are said, one and many.
KINDS = (("plan", tr("Plans")), ("squad", tr("Squads")), (tr("drill book"), tr("Drill books")))


def leaving(store: Store) -> tuple[str, ...]:
    """What an export takes along, in sentences. Raises StoreTrouble."""
    told: list[str] = []
    texts = texts_of(Path(store.folder), told.append)
    sessions = len(_all(store))
    plans, squads = (len(mine.shown) + len(mine.hidden) for mine in (texts.plans, texts.squads))
    what = (
        tr_n("{n} session", "{n} sessions", sessions) if sessions else "",
        tr_n("{n} plan", "{n} plans", plans) if plans else "",
        tr_n("{n} squad", "{n} squads", squads) if squads else "",
        tr("the drill book") if texts.drills.shown else "",
    )
    return (tr("One file: {what}.", what=", ".join(filter(None, what))), *(f"{said}." for said in told))


def archive(store: Store, names: bool) -> bytes:
    """Everything of the tablet as an archive. Raises StoreTrouble."""
    return archive_told(store, names)[0]


def archive_told(store: Store, names: bool) -> tuple[bytes, tuple[str, ...]]:
    """The archive, and in sentences what stays here because a name is in it. Raises StoreTrouble."""
    kept, texts = [store.session(listed.number) for listed in _all(store)], texts_of(Path(store.folder))
    made = export_archive(kept, texts, names, deleted(store))
    with contextlib.suppress(OSError):  # then a later change is another version, and nothing is lost
        remember(Path(store.folder), texts)
    return made, () if names else stays_said(held_back(kept, texts, known_of(kept, texts)))


def has_a_name(folder: Path, text: str) -> bool:
    """Whether the name of a swimmer in one of the tablet's squads is in a text."""
    squads = texts_of(folder).squads
    return known_names((squads.shown, squads.hidden), ()).in_text(text)


def rename_plan(shelf: Shelf, name: str, title: str) -> Card:
    """Change a plan's title, and its file's name to match; an import renames it on the other tablet too.

    Raises ShelfTrouble.
    """
    card = shelf.rename(name, title)
    with contextlib.suppress(OSError):  # then the other tablet has it under both names
        renamed_plan(shelf.folder, name, card.name)
    return card


def stays_said(held: HeldBack) -> tuple[str, ...]:
    """What an export without names leaves here, because a swimmer's name is in it."""
    what = [f"{one} {name}" for (one, _), named in zip(KINDS, held.texts) for name in named]
    what += [tr("session {called}", called=called(one)) for one in held.sessions]
    return (tr("Not exported, because a swimmer's name is in it: {what}.", what=", ".join(what)),) if what else ()


def _all(store: Store) -> tuple[Listed, ...]:
    return (*store.sessions(), *store.sessions(hidden=True))


def calendar(store: Store, now_ms: int) -> bytes:
    """The sessions that were swum and those that are planned as a calendar; nobody is named. Raises StoreTrouble.

    What was exported once and is gone is in it as cancelled at `now_ms` (wall time).
    """
    folder = Path(store.folder)
    texts = texts_of(folder)
    shown = texts.plans.shown
    cards, known_by = plan_cards(folder, shown), plans_known_by(folder, shown)
    events = events_of(store.sessions(), cards, store.plans, known_by)
    known = known_of((store.session(one.number) for one in _all(store)), texts)
    every = with_cancelled(folder, unnamed(events, known), now_ms, unread_plans(cards, known_by))
    return ics_text(unnamed(every, known)).encode()


class AskFirst(ShelfTrouble):
    """An archive would delete sessions that are in the log; the message says which."""


def imported(store: Store, data: bytes, agreed: bool = False, day: str = "") -> tuple[str, ...]:
    """Take an archive in on `day`, and say what came of it. Raises ShelfTrouble, and nothing is changed then.

    Raises AskFirst if it would delete sessions that are in the log, unless the coach has `agreed`.
    """
    try:
        archive = read_archive(data)
        if not agreed and (gone := would_delete(store, archive.deleted)):
            raise AskFirst(
                tr("On the other tablet these were deleted for good: {gone}.", gone=", ".join(map(called, gone)))
            )
        return _said(import_archive(store, archive, day), day)
    except BadArchive as why:
        raise ShelfTrouble(tr("{trouble} Nothing was imported.", trouble=sentence(str(why)))) from None
    except StoreTrouble as trouble:
        raise ShelfTrouble(tr("{trouble} Nothing was imported.", trouble=trouble)) from None
    except OSError as error:
        raise ShelfTrouble(
            tr("Not everything could be saved: {reason}. Import it again when there is room.", reason=reason_of(error))
        ) from None


def _said(brought: Imported, day: str) -> tuple[str, ...]:
    taken = brought.sessions
    counted = ((taken.new, tr("new")), (taken.fuller, tr("filled in")), (taken.same, tr("already here")))
    parts = [f"{count} {what}" for count, what in counted if count]
    rows = [tr("Sessions: {parts}.", parts=", ".join(parts))] if parts else []
    rows += [
        f"{what}: {', '.join(titles_of(kind, made, made.new))}."
        for (kind, what), made in zip(KINDS, brought.texts)
        if made.new
    ]
    if not (taken.new or taken.fuller or any(made.new or made.newer or made.renamed for made in brought.texts)):
        rows.append(tr("Everything in it was here already."))
    return (*rows, *changes_said(brought, day))


def changes_said(brought: Imported, day: str) -> list[str]:
    """What an import on `day` changed here, what it kept side by side, and which sessions are there twice perhaps."""
    rows = []
    for what, sessions in (
        (tr("Hidden, as on the other tablet"), brought.hidden),
        (tr("Back in the log"), brought.shown),
        (tr("Deleted, as on the other tablet"), brought.deleted),
    ):
        if sessions:
            rows.append(f"{what}: {', '.join(map(called, sessions))}.")
    for (one, _), made in zip(KINDS, brought.texts):
        for what, names in (
            (tr("Changed, as on the other tablet"), made.newer),
            (tr("Hidden, as on the other tablet"), made.hid),
            (tr("Shown again"), made.back),
        ):
            if names:
                rows.append(f"{what}: {', '.join(f'{one} {title}' for title in titles_of(one, made, names))}.")
        rows += [
            tr(
                "Renamed, as on the other tablet: {title} is now {new}.",
                title=title_of(one, text, name),
                new=title_of(one, made.texts.shown[new], new),
            )
            for name, text, new in made.renamed
        ]
        rows += [
            tr(
                "{title} came without names and comments and took the place of yours, which is under Hidden plans.",
                title=title,
            )
            for title in titles_of(one, made, made.kept)
        ]
    rows += [
        tr(
            "{new} was {old} until it was renamed on one tablet; {old} was changed on the other, so both are here.",
            new=title_of(kind, made.texts.shown[now], now),
            old=title_of(kind, made.texts.shown[old], old),
        )
        for (kind, _), made in zip(KINDS, brought.texts)
        for old, now in made.parted
    ]
    rows += [
        tr(
            "Two versions of {title}: yours is unchanged, the other one says “{origin}”.",
            title=title_of(kind, made.texts.shown[new], here),
            origin=from_other(day)[0],
        )
        if made is not brought.texts.drills
        else tr("Two versions of the drill book: yours is unchanged, the other one is {new}.", new=new)
        for (kind, _), made in zip(KINDS, brought.texts)
        for here, new in made.other
    ]
    rows += [
        tr(
            "Possible duplicate: {called} (sessions {other} and {number}). Choose in the log.",
            called=called(one),
            other=other,
            number=one.number,
        )
        for one, other in brought.doubles
    ]
    return rows


def titles_of(kind: str, made: MergedTexts, names: Iterable[str]) -> list[str]:
    """Texts by their titles, those without one by their files' names."""
    return [title_of(kind, made.texts.shown.get(name) or made.texts.hidden.get(name, ""), name) for name in names]


def title_of(kind: str, text: str, name: str) -> str:
    """The title of a plan or a squad; else the file's name."""
    if kind == "plan":
        return header_of(text).get("title") or name
    with contextlib.suppress(Unreadable):
        return (read_squad(text).name if kind == "squad" else "") or name
    return name


def called(one: Listed) -> str:
    """A session by its title and its day."""
    day = "" if one.begun_ms is None else f", {day_said(one.begun_ms, one.zone)}"
    return f"{titled(one.title)}{day}"
