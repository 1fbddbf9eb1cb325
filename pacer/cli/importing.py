"""`pacer import`: takes in what another tablet exported, without losing or doubling anything."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from pacer.cli.arguments import FINE, STOPPED, UNREADABLE, Told, bytes_of, read_named
from pacer.cli.exporting import texts_in
from pacer.disk import reason_of, write_whole
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.storage.takingin import take_in
from pacer.squad.files.unnamed import without_names


def add_import(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command."""
    told = "import an archive from `pacer export --archive`; nothing is overwritten or doubled"
    made = command("import", import_archive, told, plan=None, squad=False)
    made.add_argument("archive", metavar="ARCHIVE", help="the archive's zip file")


def import_archive(options: argparse.Namespace) -> int:
    """Import an archive, and say what is new."""
    # Imported here so that no other command has to wait for it.
    from pacer.review.exports.archive import BadArchive
    from pacer.review.exports.archivereading import read_archive
    from pacer.review.exports.textmerge import new_texts

    data = read_named(lambda: bytes_of(options.archive), options.archive)
    try:
        archive = read_archive(data)
    except BadArchive as why:
        raise Told(f"{options.archive}: {why}. Nothing was imported.", UNREADABLE) from None
    store = Store()
    try:
        for told in store.open():
            print(told, file=sys.stderr)
        taken = take_in(store, archive.sessions)
    except StoreTrouble as trouble:
        raise Told(f"pacer import: {trouble} Nothing was imported.", STOPPED) from None
    folder = Path(store.folder)
    plans = new_texts(texts_in(folder / "plans", "*.txt"), archive.plans)
    squads = new_texts(texts_in(folder / "squads", "*.toml"), archive.squads, without_names)
    drills = new_texts(texts_in(folder, "drills*.toml"), archive.drills)
    _write(folder / "plans", plans, ".txt")
    _write(folder / "squads", squads, ".toml")
    _write(folder, drills, ".toml")
    print(f"sessions: {taken.new} new, {taken.fuller} completed, {taken.same} already here")
    for what, texts in (("plans", plans), ("squads", squads), ("drill books", drills)):
        print(f"{what}: {', '.join(texts) or 'none new'}")
    return FINE


def _write(folder: Path, texts: Mapping[str, str], suffix: str) -> None:
    for name, text in texts.items():
        try:
            write_whole(folder / f"{name}{suffix}", text.encode())
        except OSError as error:
            raise Told(
                f"{name}{suffix} could not be written: {reason_of(error)}. Import it again when there is room.", STOPPED
            ) from None
