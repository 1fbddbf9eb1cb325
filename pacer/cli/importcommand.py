"""`pacer import`: takes in what another tablet exported, without duplicates, and without losing anything."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import date

from pacer.cli.inputoutput import FINE, STOPPED, UNREADABLE, CommandEnded, bytes_of, read_named
from pacer.disk import reason_of
from pacer.language import tr
from pacer.session.storage.store import Store, StoreTrouble


def add_import(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command."""
    told = tr("import an archive from `pacer export --archive`; there are no duplicates, and nothing is lost")
    made = command("import", take_archive, told, plan=None, squad=False)
    made.add_argument("archive", metavar="ARCHIVE", help=tr("the archive's zip file"))
    made.add_argument(
        "--delete",
        action="store_true",
        help=tr("also delete the sessions that were deleted for good on the other tablet"),
    )


def take_archive(options: argparse.Namespace) -> int:
    """Import an archive, and say what is new."""
    # Imported here so that no other command has to wait for it.
    from pacer.review.exports.archivereading import read_archive
    from pacer.review.exports.archivezip import MOST_PACKED, BadArchive
    from pacer.review.exports.tabletarchive import import_archive
    from pacer.session.storage.deleting import would_delete
    from pacer.show.after.tabletexports import KINDS, called, changes_said

    data = read_named(lambda: bytes_of(options.archive, MOST_PACKED), options.archive)
    try:
        archive = read_archive(data)
    except BadArchive as why:
        raise CommandEnded(
            tr("{archive}: {why}. Nothing was imported.", archive=options.archive, why=why), UNREADABLE
        ) from None
    store, today = Store(), date.today().isoformat()
    try:
        for said in store.open():
            print(said, file=sys.stderr)
        if not options.delete and (gone := would_delete(store, archive.deleted)):
            names = ", ".join(map(called, gone))
            raise CommandEnded(
                tr(
                    "pacer import: it would delete {names}. Nothing was imported: add --delete if you agree",
                    names=names,
                ),
                STOPPED,
            )
        brought = import_archive(store, archive, today)
    except StoreTrouble as trouble:
        raise CommandEnded(tr("pacer import: {trouble} Nothing was imported.", trouble=trouble), STOPPED) from None
    except OSError as error:
        why_not = tr(
            "pacer import: not everything could be written: {reason}. Import it again when there is room.",
            reason=reason_of(error),
        )
        raise CommandEnded(why_not, STOPPED) from None
    taken = brought.sessions
    print(
        tr(
            "sessions: {new} new, {fuller} filled in, {same} already here",
            new=taken.new,
            fuller=taken.fuller,
            same=taken.same,
        )
    )
    for (_, what), made in zip(KINDS, brought.texts):
        print(f"{what.casefold()}: {', '.join(made.new) or tr('none new')}")
    for row in changes_said(brought, today):
        print(row)
    return FINE
