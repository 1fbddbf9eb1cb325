"""Everything of one tablet into an archive, and an archive into a tablet.

What one of the tablets hid, changed or deleted is hidden, changed or deleted on both (`textmerge.py`,
`session/storage/hiding.py`, `deleting.py`). Two versions of a text that were changed on both are kept side by side.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

from pacer.disk import write_whole
from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.library import shelf
from pacer.plan.library.plancards import Card, card_of
from pacer.plan.problem import Unreadable
from pacer.plan.textmark import Bare, mark_of
from pacer.review.doubles import possible_doubles
from pacer.review.exports.archivecontent import BARE, DELETED, KINDS, ByKind, TabletTexts, archive_files
from pacer.review.exports.archivereading import Archive
from pacer.review.exports.archivezip import archive_bytes
from pacer.review.exports.lastexchange import recall, remember
from pacer.review.exports.textcounts import Texts, counted
from pacer.review.exports.textmerge import MergedTexts, merge_texts
from pacer.review.season.ledger import forget_sums
from pacer.session.storage.savedsession import KeptSession, Listed
from pacer.session.storage.sessionimport import ImportCounts, take_in
from pacer.session.storage.store import Store
from pacer.squad.files.drillreader import read_drills
from pacer.squad.files.squadreader import read_squad
from pacer.squad.register import squadfolder
from pacer.squad.register.drillfile import NAME as DRILLS
from pacer.squad.register.otherdrillbooks import AWAY as BOOKS_AWAY

DRILL_BOOK = Path(DRILLS).stem


class Place(NamedTuple):
    """The place of one kind of text: a folder on the tablet, and how its files' names begin and end."""

    folder: str
    suffix: str
    begins: str = ""

    def path(self, home: Path, name: str) -> Path:
        """The file of a text."""
        return home / self.folder / f"{name}{self.suffix}"


class Kind(NamedTuple):
    """A kind of text: where it is, where hidden ones are, what `bare` and reading it is."""

    shown: Place
    hidden: Place
    bare: Bare
    read: Callable[[str], object]


PLACES: ByKind[Kind] = ByKind(
    Kind(Place(shelf.PLANS, shelf.SUFFIX), Place(shelf.AWAY, shelf.SUFFIX), BARE.plans, str),
    Kind(
        Place(squadfolder.FOLDER, squadfolder.SUFFIX),
        Place(squadfolder.AWAY, squadfolder.SUFFIX),
        BARE.squads,
        read_squad,
    ),
    Kind(
        Place("", Path(DRILLS).suffix, DRILL_BOOK),
        Place(BOOKS_AWAY, Path(DRILLS).suffix),
        BARE.drills,
        read_drills,
    ),
)
_EARLIER = Place(shelf.EARLIER, shelf.SUFFIX)


@dataclass(frozen=True, slots=True)
class Imported:
    """What an archive brought: sessions, and what came of the texts of each kind.

    `hidden`: sessions that were in the log, and that the other tablet has hidden; `shown`: the other way round.
    `deleted`: those that were here and that the other tablet has deleted. `doubles`: new sessions that are perhaps the
    same as one that was here, each with the number of that one.
    """

    sessions: ImportCounts
    texts: ByKind[MergedTexts]
    hidden: tuple[Listed, ...] = ()
    shown: tuple[Listed, ...] = ()
    deleted: tuple[Listed, ...] = ()
    doubles: tuple[tuple[Listed, int], ...] = ()


# -- what the tablet has ------------------------------------------------------------------------------------


def texts_of(folder: Path, told: Callable[[str], None] = lambda said: None) -> TabletTexts:
    """The texts in a tablet's folder; unreadable ones are left out, and reported to `told`."""
    was = recall(folder)
    made = []
    for name, kind in zip(KINDS, PLACES):
        shown = _texts_in(folder, kind.shown, kind.read, told)
        hidden = _texts_in(folder, kind.hidden, kind.read, told)
        made.append(counted(shown, hidden, was[name], kind.bare))
    return TabletTexts(*made)


def export_archive(
    kept: Iterable[KeptSession], texts: TabletTexts, names: bool, deleted: Collection[str] = ()
) -> bytes:
    """The archive of sessions and texts, with swimmers' names only if `names`; `deleted`: marks of deleted sessions."""
    files = archive_files(kept, texts, names)
    if deleted:
        files[DELETED] = "".join(f"{mark}\n" for mark in sorted(deleted)).encode()
    return archive_bytes(files, {"names": names})


def plan_cards(folder: Path, plans: Mapping[str, str]) -> list[Card]:
    """The cards of a tablet's plans, each with when its file was last changed."""
    made = []
    for name, text in plans.items():
        changed_ns = 0
        with contextlib.suppress(OSError):
            changed_ns = PLACES.plans.shown.path(folder, name).stat().st_mtime_ns
        made.append(card_of(name, text, changed_ns // 1_000_000))
    return made


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
            told(tr("{name} can't be read and was left out", name=path.name))
    return made


# -- importing ------------------------------------------------------------------------------------------------


def import_archive(store: Store, archive: Archive, day: str = "") -> Imported:
    """Import an archive into the tablet of an open store, on `day`. Raises StoreTrouble; then nothing has changed.

    Raises OSError if a text could not be written: importing again adds the rest.
    """
    folder = Path(store.folder)
    ours = texts_of(folder)
    before = {one.number: one for hidden in (False, True) for one in store.sessions(hidden)}
    taken = take_in(store, archive.sessions, archive.deleted)
    now, away = store.sessions(), store.sessions(hidden=True)
    there = {one.number for one in (*now, *away)}
    gone = tuple(one for number, one in sorted(before.items()) if number not in there)
    if gone:
        forget_sums(store)
    texts = [
        merge_texts(mine, its, kind.bare, complete=archive.names)
        for kind, mine, its in zip(PLACES, ours, archive.texts)
    ]
    if DRILL_BOOK in ours.drills.shown or not (folder / DRILLS).exists():  # there is none, or one that can be read
        texts[-1] = _with_a_book(texts[-1])
    renamed = [{name: now for name, _, now in made.renamed} for made in texts]
    for kind, made, new in zip(PLACES, texts, renamed):
        _write(folder, kind, made.texts, new)
    came = {name: [new for _, new in made.other] for name, made in zip(KINDS, texts)}
    remember(folder, TabletTexts(*(made.texts for made in texts)), came, day, renamed[0], texts[0].new)
    hidden = tuple(one for one in away if one.number in before and not before[one.number].hidden)
    shown = tuple(one for one in now if one.number in before and before[one.number].hidden)
    seen = {number for number in before if number in there}
    return Imported(taken, ByKind(*texts), hidden, shown, gone, _doubles(store, now, seen))


def _with_a_book(made: MergedTexts) -> MergedTexts:
    """The drill books, of which one has the name of the tablet's own: it uses no other one."""
    shown = dict(made.texts.shown)
    if DRILL_BOOK in shown or not shown:
        return made
    shown[DRILL_BOOK] = shown.pop(min(shown))
    return replace(made, texts=replace(made.texts, shown=shown))


def _doubles(store: Store, now: Sequence[Listed], seen: Collection[int]) -> tuple[tuple[Listed, int], ...]:
    """New sessions that are perhaps the same as others; `seen` holds the numbers of those that were here before."""
    if all(one.number in seen for one in now):
        return ()
    twins = possible_doubles(store, now)
    return tuple((one, twins[one.number][0]) for one in now if one.number in twins and one.number not in seen)


def _write(folder: Path, kind: Kind, texts: Texts, renamed: Mapping[str, str]) -> None:
    """Bring a kind's files to what they are after the merge. The last version of a plan is kept among the earlier ones.

    That is under its new name if it was `renamed`.

    New files are written before old ones are deleted, so that an interruption loses nothing.
    """
    gone = []
    for place, wanted in ((kind.shown, texts.shown), (kind.hidden, texts.hidden)):
        there = _texts_in(folder, place, kind.read, lambda said: None)
        for name, text in wanted.items():
            if there.get(name) == text:
                continue
            path = place.path(folder, name)
            if name in there and kind is PLACES.plans and place is kind.shown:
                write_whole(_EARLIER.path(folder, name), there[name].encode())
            elif name not in there and path.exists():  # a file that can't be read is not overwritten
                path = place.path(folder, f"{name}-{mark_of(text, kind.bare)}")
            write_whole(path, text.encode())
        for name, text in there.items():
            if name not in wanted:
                gone.append(place.path(folder, name))
                if name in renamed and kind is PLACES.plans and place is kind.shown:
                    write_whole(_EARLIER.path(folder, renamed[name]), text.encode())
    for path in gone:
        path.unlink(missing_ok=True)
