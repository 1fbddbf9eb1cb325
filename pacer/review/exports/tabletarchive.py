"""Everything of one tablet into an archive, and an archive into a tablet.

A plan or a squad that is hidden here stays hidden, even if the archive has it unhidden; one that is hidden there and
unknown here is imported hidden. If two texts of one name differ, both are kept. A session that was hidden on one of the
tablets is hidden on both (`session/storage/hiding.py`).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from pacer.disk import write_whole
from pacer.plan.filetext import text_from_bytes
from pacer.plan.library import shelf
from pacer.plan.problem import Unreadable
from pacer.review.doubles import possible_doubles
from pacer.review.exports.archive import archive_bytes
from pacer.review.exports.archivecontent import HiddenTexts, archive_files
from pacer.review.exports.archivereading import Archive
from pacer.review.exports.textmerge import Bare, base_of, new_texts
from pacer.session.storage.savedsession import KeptSession, Listed
from pacer.session.storage.sessionimport import TakenIn, take_in
from pacer.session.storage.store import Store
from pacer.squad.files.drillreader import read_drills
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.withoutnames import without_names
from pacer.squad.register import squadfolder
from pacer.squad.register.drillfile import NAME as DRILLS


class Place(NamedTuple):
    """The place of one kind of text: a folder on the tablet, and how its files' names begin and end."""

    folder: str
    suffix: str
    begins: str = ""


PLANS, HIDDEN_PLANS = Place(shelf.PLANS, shelf.SUFFIX), Place(shelf.AWAY, shelf.SUFFIX)
SQUADS, HIDDEN_SQUADS = (
    Place(squadfolder.FOLDER, squadfolder.SUFFIX),
    Place(squadfolder.AWAY, squadfolder.SUFFIX),
)
BOOKS = Place("", Path(DRILLS).suffix, Path(DRILLS).stem)


@dataclass(frozen=True, slots=True)
class Imported:
    """What an archive brought: sessions, and the names of texts that are new.

    `other`: texts of which another version was imported: the name here, and the name that the other version got.
    `hidden`: sessions that were in the log, and that the other tablet has hidden; `shown`: the other way round.
    `doubles`: new sessions that are perhaps the same as one that was here, each with the number of that one.
    """

    sessions: TakenIn
    plans: tuple[str, ...]
    squads: tuple[str, ...]
    drills: tuple[str, ...]
    other: tuple[tuple[str, str], ...]
    hidden: tuple[Listed, ...] = ()
    shown: tuple[Listed, ...] = ()
    doubles: tuple[tuple[Listed, int], ...] = ()


@dataclass(frozen=True, slots=True)
class TabletTexts:
    """The texts of a tablet, by name."""

    plans: Mapping[str, str]
    squads: Mapping[str, str]
    drills: Mapping[str, str]
    hidden: HiddenTexts


def texts_of(folder: Path, told: Callable[[str], None] = lambda said: None) -> TabletTexts:
    """The texts in a tablet's folder; unreadable ones are left out, and reported to `told`."""
    plans, hidden_plans = (_texts_in(folder, place, str, told) for place in (PLANS, HIDDEN_PLANS))
    squads, hidden_squads = (_texts_in(folder, place, read_squad, told) for place in (SQUADS, HIDDEN_SQUADS))
    return TabletTexts(
        plans, squads, _texts_in(folder, BOOKS, read_drills, told), HiddenTexts(hidden_plans, hidden_squads)
    )


def export_archive(kept: Iterable[KeptSession], texts: TabletTexts, names: bool) -> bytes:
    """The archive of sessions and texts, with swimmers' names only if `names`."""
    files = archive_files(kept, texts.plans, texts.squads, texts.drills, names, texts.hidden)
    return archive_bytes(files, {"names": names})


def import_archive(store: Store, archive: Archive) -> Imported:
    """Import an archive into the tablet of an open store. Raises StoreTrouble; then nothing has changed.

    Raises OSError if a text could not be written: importing again adds the rest.
    """
    folder = Path(store.folder)
    ours = texts_of(folder)
    seen, away = ({one.number for one in store.sessions(hidden)} for hidden in (False, True))
    taken = take_in(store, archive.sessions)
    now = store.sessions()
    other: list[tuple[str, str]] = []
    plans = _merge(folder, PLANS, ours.plans, ours.hidden.plans, archive.plans, str, other)
    _merge(folder, HIDDEN_PLANS, ours.hidden.plans, ours.plans, archive.hidden.plans, str, other)
    squads = _merge(folder, SQUADS, ours.squads, ours.hidden.squads, archive.squads, without_names, other)
    _merge(folder, HIDDEN_SQUADS, ours.hidden.squads, ours.squads, archive.hidden.squads, without_names, other)
    drills = _merge(folder, BOOKS, ours.drills, {}, archive.drills, str, other)
    hidden = tuple(one for one in store.sessions(hidden=True) if one.number in seen)
    shown = tuple(one for one in now if one.number in away)
    return Imported(taken, plans, squads, drills, tuple(other), hidden, shown, _doubles(store, now, seen))


def _doubles(store: Store, now: Sequence[Listed], seen: Collection[int]) -> tuple[tuple[Listed, int], ...]:
    """New sessions that are perhaps the same as others; `seen` holds the numbers of those that were here before."""
    if all(one.number in seen for one in now):
        return ()
    twins = possible_doubles(store, now)
    return tuple((one, twins[one.number][0]) for one in now if one.number in twins and one.number not in seen)


def _merge(
    folder: Path,
    place: Place,
    ours: Mapping[str, str],
    elsewhere: Mapping[str, str],
    theirs: Mapping[str, str],
    bare: Bare,
    other: list[tuple[str, str]],
) -> tuple[str, ...]:
    """Write the new texts of `theirs`. Texts `elsewhere`, hidden or not hidden as opposed to here, stay there."""
    known = {bare(text) or text for text in elsewhere.values()}
    new = new_texts(ours, {name: text for name, text in theirs.items() if (bare(text) or text) not in known}, bare)
    for name, text in new.items():
        write_whole(folder / place.folder / f"{name}{place.suffix}", text.encode())
        base = base_of(name, text, bare)
        if base != name:
            other.append((base, name))
    return tuple(new)


def _texts_in(folder: Path, place: Place, read: Callable[[str], object], told: Callable[[str], None]) -> dict[str, str]:
    made = {}
    for path in sorted((folder / place.folder).glob(f"{place.begins}*{place.suffix}")):
        if path.name.startswith("."):
            continue
        try:
            text = text_from_bytes(path.read_bytes())
            read(text)
            made[path.stem] = text
        except (OSError, Unreadable):
            told(f"{path.name} can't be read and was left out")
    return made
