"""Input and output of the commands: the files and times named on the command line, findings and JSON as printed."""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections.abc import Callable
from contextlib import nullcontext
from datetime import datetime
from pathlib import Path

from pacer.disk import reason_of, write_whole
from pacer.language import tr, tr_n
from pacer.plan.library.drillbook import DrillBook
from pacer.plan.model import Plan
from pacer.plan.notation.planreader import plan_from_bytes
from pacer.plan.planlabels import labels_of
from pacer.plan.problem import Unreadable
from pacer.plan.times import BadTime, ms_from_text
from pacer.plan.words.ownwords import NO_WORDS, OwnWords
from pacer.session.storage.datafolder import home
from pacer.shippedfiles import DRILLS
from pacer.squad.defaultsquad import default_squad
from pacer.squad.drillfactors import with_other_names
from pacer.squad.files.squadreader import squad_from_bytes
from pacer.squad.register.drillfile import DrillFile
from pacer.squad.squad import Squad
from pacer.squad.trials.basefromtrials import doubts_of
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.summary.planned import planned
from pacer.timeline.timeline import Timeline

FINE, STOPPED, UNREADABLE = 0, 1, 2
_AT = re.compile(r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d")

#: In JSON, whose words are the same in every language.
SEVERITY_SAID = {
    Severity.STOPS: "cannot run",
    Severity.HAZARD: "danger",
    Severity.WRONG: "will not work",
    Severity.CARE: "warning",
    Severity.REMARK: "note",
}
#: As a coach reads it.
_SAID = {
    Severity.STOPS: tr("error"),
    Severity.HAZARD: tr("danger"),
    Severity.WRONG: tr("warning"),
    Severity.CARE: tr("warning"),
    Severity.REMARK: tr("note"),
}


class CommandEnded(Exception):
    """Ends a command with a message and an exit code."""

    def __init__(self, message: str, code: int):
        self.code = code
        super().__init__(message)


def json_option(command: argparse.ArgumentParser) -> None:
    """Add the option for what other programs read."""
    command.add_argument("--json", action="store_true", help=tr("print one JSON object"))


def names_option(command: argparse.ArgumentParser) -> None:
    """Add the option without which nobody is named."""
    command.add_argument("--names", action="store_true", help=tr("include swimmers' names, which are personal data"))


def write_file(path: Path, data: bytes) -> None:
    """Write a file whole and print where it is; ends the command if it cannot be written."""
    try:
        write_whole(path, data)
    except OSError as error:
        raise CommandEnded(
            tr("{path} could not be written: {reason}", path=path, reason=reason_of(error)), UNREADABLE
        ) from None
    print(path)


def read_named(read: Callable, name: str):
    """The result of `read`; ends the command if `name` cannot be read or opened."""
    try:
        return read()
    except Unreadable as error:
        raise CommandEnded(error.text(name), UNREADABLE) from None
    except OSError as error:
        raise CommandEnded(
            tr("{name} can't be opened: {strerror}", name=name, strerror=error.strerror or error), UNREADABLE
        ) from None


def bytes_of(name: str, most: int | None = None) -> bytes:
    """The bytes of a file, `-` for standard input. Raises OSError if there are more than `most`."""
    with nullcontext(sys.stdin.buffer) if name == "-" else Path(name).open("rb") as file:
        data = file.read(-1 if most is None else most + 1)
    if most is not None and len(data) > most:
        raise OSError(0, tr("it is too large"))
    return data


def said_name(name: str) -> str:
    """The name of a file in messages."""
    return tr("standard input") if name == "-" else name


def plan_of(name: str, gear: OwnWords | tuple[str, ...]) -> Plan:
    """The plan in a file; `gear` are words that the squad adds."""
    return read_named(lambda: plan_from_bytes(bytes_of(name), gear), said_name(name))


def squad_of(name: str) -> Squad:
    """The squad in a file."""
    return read_named(lambda: squad_from_bytes(bytes_of(name)), tr("standard input") if name == "-" else name)


def plan_and_squad(options: argparse.Namespace) -> tuple[Plan, Squad]:
    """The plan and the squad that were named, or the default squad."""
    squad = squad_of(options.squad) if options.squad else None
    plan = plan_of(options.plan, squad.words if squad else NO_WORDS)
    book = book_here()
    return plan, default_squad(labels_of(plan)) if squad is None else with_other_names(squad, book)


def book_here(quiet: bool = False) -> DrillBook:
    """The tablet's drill book; says on standard error what is wrong with it, unless `quiet`."""
    kept = DrillFile(home(), DRILLS)
    for told in () if quiet else kept.told:
        print(told, file=sys.stderr)
    return kept.book


def timeline_for(plan: Plan, squad: Squad) -> Timeline:
    """The timeline that the fit chooses. Raises CannotRun."""
    return planned(plan, squad)[0]


def say_assumed(squad: Squad) -> None:
    """If no squad was named, say what is assumed."""
    if squad.assumed:
        group = squad.lanes[0].group
        said = (
            tr("no squad given: one lane, one swimmer, base 1:40, group {group}", group=group)
            if group
            else tr("no squad given: one lane, one swimmer, base 1:40")
        )
        print(said, file=sys.stderr)


def say_squad(squad: Squad) -> None:
    """Say what is assumed if no squad was named, and which test swims of the squad are doubtful."""
    say_assumed(squad)
    for number, doubt in doubts_of(squad):
        print(tr("lane {number}: {doubt}", number=number, doubt=doubt), file=sys.stderr)


def finding_text(finding: Finding, file: str) -> str:
    """A finding as `check` prints it: place, how bad, lanes, what, and what would help."""
    place = ":".join(str(part) for part in (file, finding.line) if part)
    said = finding.message
    if finding.lanes:
        numbers = ", ".join(map(str, finding.lanes))
        said = tr_n("lane {lanes}: {said}", "lanes {lanes}: {said}", len(finding.lanes), lanes=numbers, said=said)
    rows = [": ".join(filter(None, (place, _SAID[finding.severity], said)))]
    if finding.hint:
        rows.append(f"    {finding.hint}")
    return "\n".join(rows)


def read_rest(text: str) -> int:
    """A time typed for the option `--rest`."""
    try:
        return ms_from_text(text)
    except BadTime as error:
        raise CommandEnded(
            f"--rest: {error.message}" + (tr("\nhint: {hint}", hint=error.hint) if error.hint else ""), UNREADABLE
        ) from None


def instant_of(text: str) -> int:
    """The instant of a day and time by this device's clock, typed for `--at`: wall time in ms."""
    try:
        if not _AT.fullmatch(text):
            raise ValueError(text)
        return int(datetime.fromisoformat(text).timestamp()) * 1000
    except (ValueError, OverflowError, OSError):
        raise CommandEnded(
            tr("--at: “{text}” is not a day and time: write 2026-03-05 18:30", text=text), UNREADABLE
        ) from None


def print_json(told: dict) -> None:
    """Print one object, as every command with `--json` does."""
    json.dump(told, sys.stdout, ensure_ascii=False, indent=1)
    print()
