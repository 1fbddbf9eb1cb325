"""What the columns of other people's files mean, asked about once: by options, or at the terminal."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from typing import TypeVar

from pacer.cli.inputoutput import UNREADABLE, CommandEnded, read_named
from pacer.disk import reason_of
from pacer.language import tr
from pacer.session.storage.datafolder import home
from pacer.squad.files.csvcolumns import SKIP, Column, Kind, UnknownColumns, answer_of
from pacer.squad.register.columnmemory import ColumnMemory

Read = TypeVar("Read")


def add_columns(command: argparse.ArgumentParser, kind: Kind) -> None:
    """Add the options."""
    choices = ", ".join([*kind.meanings, SKIP])
    command.add_argument(
        "--column",
        metavar="NAME=MEANING",
        action="append",
        default=[],
        help=tr(
            "what a column of the file means: {choices}; may be repeated; pacer remembers it for the next file",
            choices=choices,
        ),
    )
    command.add_argument("--ask-again", action="store_true", help=tr("forget your answers about columns"))


def read_asking(options: argparse.Namespace, kind: Kind, name: str, read: Callable[[dict[str, str]], Read]) -> Read:
    """What `read` gives with all that is known of columns; at a terminal the others are asked about."""
    memory = ColumnMemory(home())
    try:
        if options.ask_again:
            memory.forget(kind)
        memory.learn(kind, dict(_told(kind, text) for text in options.column))
        while True:
            try:
                return read_named(lambda: _knowing(read, memory.known(kind)), name)
            except _Asked as asked:
                memory.learn(kind, _answers(kind, asked.columns, name))
    except OSError as error:
        raise CommandEnded(
            tr("{path} could not be written: {reason}", path=memory.path, reason=reason_of(error)), UNREADABLE
        ) from None


class _Asked(Exception):
    def __init__(self, columns: Sequence[Column]):
        self.columns = columns
        super().__init__()


def _knowing(read: Callable[[dict[str, str]], Read], known: dict[str, str]) -> Read:
    try:
        return read(known)
    except UnknownColumns as unknown:
        raise _Asked(unknown.columns) from None


def _told(kind: Kind, text: str) -> tuple[str, str]:
    name, equals, said = text.rpartition("=")
    meaning = answer_of(kind, said)
    if not equals or not name.strip():
        raise CommandEnded(tr("--column: “{text}” has no name and meaning: write 'Bib=swimmer'", text=text), UNREADABLE)
    if not meaning:
        raise CommandEnded(
            tr("--column: “{said}” isn't one of the choices: {choices}", said=said, choices=_choices(kind)), UNREADABLE
        )
    return name, meaning


def _choices(kind: Kind) -> str:
    return "\n".join(
        f"  {meaning:<12}{words}" for meaning, words in {**kind.meanings, SKIP: tr("leave it out")}.items()
    )


def _answers(kind: Kind, columns: Sequence[Column], name: str) -> dict[str, str]:
    """Ask at the terminal; without one the command ends and says what to type."""
    if not sys.stdin.isatty():
        rows = [tr("{name}: pacer doesn't know these columns. Say what each is, once:", name=name)]
        rows += [
            "  "
            + tr(
                '--column "{name}=…"   such as {samples}',
                name=column.name,
                samples=", ".join(column.samples) or tr("nothing"),
            )
            for column in columns
        ]
        raise CommandEnded("\n".join([*rows, tr("Choose from:"), _choices(kind)]), UNREADABLE)
    print(
        tr("{name}: what are these columns? Choose from:\n{choices}", name=name, choices=_choices(kind)),
        file=sys.stderr,
    )
    answers = {}
    for column in columns:
        meaning = ""
        while not meaning:
            print(f"{column.name} ({', '.join(column.samples)}): ", end="", file=sys.stderr, flush=True)
            line = sys.stdin.readline()
            if not line:
                raise CommandEnded(tr("\nNothing was imported."), UNREADABLE)
            meaning = answer_of(kind, line)
        answers[column.name] = meaning
    return answers
