"""The content of the archive: sessions in full and as tables; plans, squads and drills as their texts."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable
from dataclasses import replace
from typing import Any, Generic, NamedTuple, TypeVar

from pacer.language import tr
from pacer.plan.text.withoutcomments import without_comments
from pacer.plan.textmark import Bare
from pacer.review.exports.csvfiles import csv_files, csv_rows
from pacer.review.exports.exporttables import Exported, exported
from pacer.review.exports.jsonexport import SCHEMA_FILE, export_json
from pacer.review.exports.knownnames import KnownNames, known_names
from pacer.review.exports.textcounts import Texts, known_counts, text_key, to_export
from pacer.review.exports.textmerge import marked
from pacer.review.sessionlog import entry_json, session_json
from pacer.session.storage.savedsession import KeptSession, Listed
from pacer.session.storage.sessionmerge import rows_of
from pacer.squad.files.withoutnames import drills_without_comments, without_names

README = tr("""pacer archive

plans/      plans, as they were written
squads/     squads, TOML
hidden/     plans, squads and drill books that were hidden
drills.toml the drill book
deleted.txt marks of deleted sessions, if any; the marks say nothing about them
versions.csv texts that were hidden, shown again or replaced, if any: name, SHA-256, how often, present name
sessions/   every session in full, JSON: plan, squad, what was pressed; if its name ends in "hidden", no table has it
tables/     the same as tables, CSV (RFC 4180) and one JSON file with its schema; times in seconds, in JSON milliseconds
manifest.json lists every file with its length and its SHA-256.

""")
SESSION_FORMAT = "pacer-session/1"
WITHOUT = tr("Swimmers' names were left out, and so were notes and comments, which may contain names.\n")
WITH = tr("It contains swimmers' names, perhaps children's. Keep it as you would keep a register.\n")


DELETED = "deleted.txt"
VERSIONS = "versions.csv"
VERSION_HEADS = ("kind", "name", "mark", "count", "words", "now")


Thing = TypeVar("Thing")


class ByKind(NamedTuple, Generic[Thing]):
    """Something for each kind of text."""

    plans: Thing
    squads: Thing
    drills: Thing


TabletTexts = ByKind[Texts]  #: the texts of a tablet or of an archive
KINDS = ByKind._fields
#: What a text of each kind says without its comments and names.
BARE: ByKind[Bare] = ByKind(without_comments, without_names, drills_without_comments)
SUFFIXES = {"plans": ".txt", "squads": ".toml", "drills": ".toml"}


class HeldBack(NamedTuple):
    """What stays on the tablet without names, because one is in it: sessions, and texts by their names."""

    sessions: tuple[Listed, ...] = ()
    texts: ByKind[tuple[str, ...]] = ByKind((), (), ())


def known_of(kept: Iterable[KeptSession], texts: TabletTexts) -> KnownNames:
    """All swimmers' names of these sessions and squads."""
    return known_names((texts.squads.shown, texts.squads.hidden), kept)


def held_back(sessions: Collection[KeptSession], texts: TabletTexts, known: KnownNames) -> HeldBack:
    """What has a `known` name where everybody reads it: in a title, a cue, a section, a drill."""
    named = [
        tuple(
            name
            for name, text in sorted([*mine.shown.items(), *mine.hidden.items()])
            if known.in_file(name, bare(text))
        )
        for bare, mine in zip(BARE, texts)
    ]
    return HeldBack(tuple(one.listed for one in sessions if known.in_text(public_words(one))), ByKind(*named))


def public_words(kept: KeptSession) -> str:
    """All words of a session that everybody may read."""
    session = kept.session
    words = [session.title, session.pool, without_comments(session.plan), session.unnamed_squad]
    for line in kept.lines:
        words += [value for value in entry_json(line, names=False).values() if isinstance(value, str)]
    return "\n".join(words)


def archive_files(kept: Iterable[KeptSession], texts: TabletTexts, names: bool = False) -> dict[str, bytes]:
    """Every file of the archive by its path.

    Sessions are numbered in order of their start, so that two tablets with the same sessions make the same archive.
    """
    kept = list(kept)
    if not names:
        known = known_of(kept, texts)
        held = held_back(kept, texts, known)
        numbers = {one.number for one in held.sessions}
        kept = [one for one in kept if one.listed.number not in numbers]
        texts = ByKind(*(_without(mine, gone, bare, known) for mine, gone, bare in zip(texts, held.texts, BARE)))
    every = [exported(one) for one in in_order(kept)]
    sessions = [one for one in every if not one.kept.listed.hidden]
    files = {"README.txt": README + (WITH if names else WITHOUT)}
    texts = ByKind(*(to_export(mine, bare) for mine, bare in zip(texts, BARE)))
    for kind, bare, mine in zip(KINDS, BARE, texts):
        for folder, found in ((kind, mine.shown), (f"hidden/{kind}", mine.hidden)):
            for name, text in marked(found, bare).items():
                path = f"{name}{SUFFIXES[kind]}" if folder == "drills" else f"{folder}/{name}{SUFFIXES[kind]}"
                files[path] = text if names else bare(text)
    files |= _versions(texts, names)
    for one in every:
        files[f"sessions/{one.kept.listed.number:06d}.json"] = _json(whole_session(one, names))
    files["tables/export.json"] = _json(export_json(sessions, names))
    files["tables/export.schema.json"] = SCHEMA_FILE.read_text(encoding="utf-8")
    made = {path: text.encode() for path, text in files.items()}
    return made | {f"tables/{name}": data for name, data in csv_files(sessions, names).items()}


def _without(texts: Texts, names: Collection[str], bare: Bare, known: KnownNames) -> Texts:
    """The texts without some of them, by their names, and without what is counted of those."""
    both = {**texts.hidden, **texts.shown}
    gone = {text_key(name, both[name], bare) for name in names}
    shown, hidden = (
        {name: text for name, text in some.items() if name not in names} for some in (texts.shown, texts.hidden)
    )
    counts = {
        key: count._replace(now="" if known.in_file(count.now, "") else count.now)
        for key, count in texts.counts.items()
        if key not in gone and not known.in_file(key.name, "")
    }
    return Texts(shown, hidden, counts)


def _versions(texts: TabletTexts, names: bool) -> dict[str, str]:
    """The counts of texts as a table; no file if there are none to tell."""
    rows = [
        (kind, *key, *count)
        for kind, bare, mine in zip(KINDS, BARE, texts)
        for key, count in sorted(known_counts(mine if names else _uncounted(mine), bare).items())
    ]
    return {VERSIONS: csv_rows([VERSION_HEADS, *rows])} if rows else {}


def _uncounted(texts: Texts) -> Texts:
    """The texts without the counts of what is left out."""
    return replace(texts, counts={key: count._replace(words=0) for key, count in texts.counts.items()})


def in_order(kept: Iterable[KeptSession]) -> list[KeptSession]:
    """Sessions in order of their start, numbered again from 1, without what only this tablet knows."""
    rows = [(one, rows_of(one)) for one in kept]
    rows.sort(key=lambda pair: (pair[0].listed.begun_ms or 0, pair[1].plan, [row[:3] for row in pair[1].rows]))
    return [
        replace(
            one,
            listed=replace(one.listed, number=number, seen_ms=max((row.wall_ms for row in its.rows), default=None)),
            seen_boot_ms=None,
        )
        for number, (one, its) in enumerate(rows, 1)
    ]


def whole_session(one: Exported, names: bool) -> dict[str, Any]:
    """A session in full: each entry of its journal as recorded, and when that was (`written_ms`).

    Without names, notes have no words either, because a note may name somebody.
    """
    told = session_json(one.kept, names=names)
    told["format"] = SESSION_FORMAT
    told["session"]["journal"] = [
        {"number": line.number, "written_ms": line.wall_ms, "entry": entry_json(line, names=names)}
        for line in one.kept.lines
    ]
    return told


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1) + "\n"
