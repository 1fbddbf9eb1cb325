"""The squads: one folder of TOML files, which of them is current, and who is absent today.

A file that cannot be read is set aside under another name, never deleted. Every error is a `SquadsTrouble` with a
sentence, and changes nothing. Swimmers' names leave the folder only if the coach asks for them.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from pacer.disk import fill_folder, free_path, reason_of, write_whole
from pacer.language import tr
from pacer.plan.filename import name_from_title
from pacer.plan.problem import Unreadable
from pacer.plan.textmark import place_for
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import squad_from_bytes
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.files.tomlcomments import with_comments
from pacer.squad.files.withoutnames import nameless, without_names
from pacer.squad.refusal import Refused
from pacer.squad.register.roster import Roster, named, new_roster
from pacer.squad.squad import Squad
from pacer.squad.trials.trialwatch import TestSwim, broken_off, data_from_swim, swim_from_data

FOLDER, AWAY, SUFFIX = "squads", "squads-put-away", ".toml"
TODAY = "today.json"  #: which squad is current, and who is absent
TESTS = "tests.json"  #: test swims that are not finished yet


class SquadsTrouble(Exception):
    """Something could not be done; the message says why. Nothing was lost."""


@dataclass(frozen=True, slots=True)
class SquadCard:
    """A squad at a glance: `name` is its file's name, `title` the coach's name for it."""

    name: str
    title: str
    lanes: int
    swimmers: int


class SquadFolder:
    """The squads in `folder`; the first start copies the files in `demos` into it."""

    def __init__(self, folder: Path, demos: Iterable[Path] = ()):
        self.folder = Path(folder)
        self.told: tuple[str, ...] = ()  #: what went wrong, in sentences
        self._kept: dict[str, Squad] = {}  #: as they are on disk
        self._current, self._day = "", ""
        self._away: dict = {}
        self._demos = tuple(map(Path, demos))
        try:
            self._begin(self._demos)
        except OSError as error:
            self.told += (tr("The squads can't be saved here: {reason}.", reason=reason_of(error)),)
        self._read_all()
        self._read_today()

    def read(self) -> None:
        """Read the folder again, as something else has written into it; the current squad stays current."""
        current = self.current
        self._kept.clear()
        self._read_all()
        if current in self._kept:
            self._current = current

    # -- looking ---------------------------------------------------------------------------------------

    def cards(self) -> tuple[SquadCard, ...]:
        """All squads, by title."""
        made = [
            SquadCard(name, squad.name or name, len(squad.lanes), sum(len(lane.swimmers) for lane in squad.lanes))
            for name, squad in self._kept.items()
        ]
        return tuple(sorted(made, key=lambda card: (card.title.casefold(), card.name)))

    def put_away_names(self) -> tuple[str, ...]:
        """The names of the hidden squads."""
        return tuple(path.stem for path in _files(self.folder / AWAY))

    @property
    def current(self) -> str:
        """The name of the current squad, "" if there is none."""
        return self._current if self._current in self._kept else next((card.name for card in self.cards()), "")

    def as_it_came(self, name: str) -> bool:
        """Whether it is a demo squad that nobody has changed."""
        demo = next((path for path in self._demos if path.stem == name), None)
        try:
            return demo is not None and squad_from_bytes(demo.read_bytes()) == self._kept.get(name)
        except (OSError, Unreadable):
            return False

    def roster(self, day: str, name: str | None = None) -> Roster:
        """The current squad (or another), and who is absent on `day` (`2026-03-02`).

        If there is no squad, the one that is assumed.
        """
        name = self.current if name is None else name
        squad = self._kept.get(name)
        if squad is None:
            return Roster(default_squad())
        away = frozenset(self._away.get(name, ())) if day == self._day else frozenset()
        there = {(lane, place) for lane, told in enumerate(squad.lanes) for place in range(len(told.swimmers))}
        return Roster(squad, away & there)

    # -- changing ------------------------------------------------------------------------------------------

    def choose(self, name: str) -> None:
        """Make a squad the current one. Raises SquadsTrouble."""
        self._known(name)
        self._current = name
        self._write_today()

    def keep(self, name: str, roster: Roster, day: str) -> None:
        """Save a squad, and who is absent on `day`.

        The squad that is assumed if there is none gets its own file and becomes the current one. Raises SquadsTrouble.
        """
        name = name or self._in_hand(roster.squad)
        if roster.squad != self._kept.get(name) or _tests_of(roster.squad) != _tests_of(self._kept[name]):
            self._write(name, roster.squad)
        if day != self._day:
            self._day, self._away = day, {}
        if self._away.get(name, frozenset()) != roster.away:
            self._away[name] = roster.away
            self._write_today()

    def new(self, title: str = tr("New squad")) -> str:
        """Add a new squad, make it current, and return its name. Raises SquadsTrouble."""
        return self._added(new_roster(self._free_title(title)).squad)

    def add(self, squad: Squad) -> str:
        """Add a squad, make it current, and return its name. Raises SquadsTrouble."""
        return self._added(replace(squad, name=self._free_title(squad.name)))

    def copy(self, name: str) -> str:
        """Copy a squad, make the copy current, and return its name. Raises SquadsTrouble."""
        squad = self._known(name)
        return self._added(replace(squad, name=self._free_title(f"{squad.name or name}, copy"[:60])))

    def rename(self, name: str, title: str) -> None:
        """Change a squad's title; its file keeps its name. Raises SquadsTrouble."""
        try:
            self._write(name, named(Roster(self._known(name)), title).squad)
        except Refused as wrong:
            raise SquadsTrouble(wrong.message) from None

    def put_away(self, name: str) -> str:
        """Hide a squad, and return its name among the hidden ones. Raises SquadsTrouble."""
        self._known(name)
        if len(self._kept) == 1:
            raise SquadsTrouble(tr("this is the only squad: add another first"))
        made = self._move(name, FOLDER, AWAY)
        del self._kept[name]
        return made

    def bring_back(self, name: str) -> str:
        """Show a hidden squad again, and return its name in the list. Raises SquadsTrouble."""
        made = self._move(name, AWAY, FOLDER)
        self._read(self._path(made))
        return made

    def bring_in(self, data: bytes, name: str = "") -> str:
        """Add the squad in a file, make it current, and return its name.

        Raises SquadsTrouble if the file cannot be read.
        """
        try:
            squad = squad_from_bytes(data)
        except Unreadable as error:
            problem = error.problems[0]
            hint = f" ({problem.hint})" if problem.hint else ""
            raise SquadsTrouble(
                tr(
                    "{name}, line {line}: {message}{hint}",
                    name=name or tr("this"),
                    line=problem.line,
                    message=problem.message,
                    hint=hint,
                )
            ) from None
        same = next((known for known, kept in self._kept.items() if kept == squad), None)
        if same is not None:
            self.choose(same)
            return same
        return self._added(squad if squad.name else replace(squad, name=self._free_title(Path(name).stem or "Squad")))

    def give_out(self, name: str, path: Path, names: bool) -> None:
        """Export a squad to `path`, with its swimmers' names only if `names`. Raises SquadsTrouble."""
        squad = self._known(name)
        try:
            write_whole(Path(path), write_squad(squad if names else nameless(squad)).encode())
        except OSError as error:
            raise SquadsTrouble(
                tr("{name} can't be saved: {reason}", name=Path(path).name, reason=reason_of(error))
            ) from None

    # -- unfinished test swims ----------------------------------------------------------------------------------

    def tests(self, boot: str = "") -> tuple[str, int, tuple[TestSwim, ...]] | None:
        """The squad's name, the lane's index and the unfinished test swims; None if there are none.

        `boot` identifies the machine's current start. If the machine has restarted since, a swim counts only for those
        who had finished it.
        """
        try:
            data = json.loads((self.folder / FOLDER / TESTS).read_bytes())
            name, lane = str(data["squad"]), int(data["lane"])
            swims = tuple(swim_from_data(each) for each in data["swims"])
            if str(data["boot"]) != boot:
                swims = tuple(broken_off(swim) for swim in swims)
        except (OSError, ValueError, TypeError, KeyError):
            return None
        known = self._kept.get(name)
        if known is None or not 0 <= lane < len(known.lanes) or not swims:
            return None
        most = len(known.lanes[lane].swimmers)
        return None if any(max(swim.places) >= most for swim in swims) else (name, lane, swims)

    def keep_tests(self, name: str, lane: int, swims: Iterable[TestSwim], boot: str = "") -> None:
        """Save unfinished test swims; none: delete what was saved. `boot` as in `tests`. Raises SquadsTrouble."""
        swims = tuple(swims)
        name = name or (self._in_hand(default_squad()) if swims else "")
        path = self.folder / FOLDER / TESTS
        try:
            if swims:
                data = {"squad": name, "lane": lane, "boot": boot, "swims": [data_from_swim(swim) for swim in swims]}
                write_whole(path, json.dumps(data).encode())
            else:
                path.unlink(missing_ok=True)
        except OSError as error:
            raise SquadsTrouble(tr("the test swims can't be saved: {reason}", reason=reason_of(error))) from None

    # -- files ---------------------------------------------------------------------------------------------------

    def _begin(self, demos: tuple[Path, ...]) -> None:
        squads = self.folder / FOLDER
        if squads.is_dir():
            return
        files = {Path(demo).name: Path(demo).read_bytes() for demo in demos}
        if demos:
            files[TODAY] = json.dumps({"current": demos[0].stem, "day": "", "away": {}}).encode()
        fill_folder(squads, files)

    def _read_all(self) -> None:
        nameless_file = self._path("")  # an earlier pacer saved the assumed squad there, and never read it again
        if nameless_file.is_file():
            try:
                os.rename(nameless_file, free_path(self._path("squad")))
            except OSError as error:
                self.told += (
                    tr(
                        "The squad {name} could not be read: {reason}.",
                        name=nameless_file.name,
                        reason=reason_of(error),
                    ),
                )
        for path in _files(self.folder / FOLDER):
            self._read(path)

    def _read(self, path: Path) -> None:
        try:
            self._kept[path.stem] = squad_from_bytes(path.read_bytes())
        except OSError as error:
            self.told += (tr("The squad {stem} could not be read: {reason}.", stem=path.stem, reason=reason_of(error)),)
        except Unreadable as error:
            problem = error.problems[0]
            where = tr("line {line}: {message}", line=problem.line, message=problem.message)
            try:
                aside = free_path(path.with_name(path.name + ".broken"))
                os.replace(path, aside)
                self.told += (
                    tr(
                        "The squad {stem} could not be read ({where}) and is kept as {name}.",
                        stem=path.stem,
                        where=where,
                        name=aside.name,
                    ),
                )
            except OSError:
                self.told += (tr("The squad {stem} could not be read ({where}).", stem=path.stem, where=where),)

    def _read_today(self) -> None:
        try:
            data = json.loads((self.folder / FOLDER / TODAY).read_bytes())
            self._current, self._day = str(data["current"]), str(data["day"])
            self._away = {
                str(name): frozenset((int(lane), int(place)) for lane, place in pairs)
                for name, pairs in data["away"].items()
            }
        except (OSError, ValueError, TypeError, KeyError, AttributeError):
            pass  # then nobody is absent

    def _write_today(self) -> None:
        away = {name: sorted(pairs) for name, pairs in self._away.items() if pairs}
        data = json.dumps({"current": self.current, "day": self._day, "away": away})
        try:
            write_whole(self.folder / FOLDER / TODAY, data.encode())
        except OSError as error:
            raise SquadsTrouble(tr("who is here can't be saved: {reason}", reason=reason_of(error))) from None

    def _write(self, name: str, squad: Squad) -> None:
        path = self._path(name)
        try:
            text = write_squad(squad)
            if path.exists():
                text = with_comments(text, path.read_text(encoding="utf-8", errors="replace"))
            write_whole(path, text.encode())
        except OSError as error:
            raise SquadsTrouble(tr("the squad can't be saved: {reason}", reason=reason_of(error))) from None
        self._kept[name] = squad

    def _in_hand(self, squad: Squad) -> str:
        """The name of the current squad; if there is none, add this one."""
        return self.current or self._added(replace(squad, name=squad.name or self._free_title("Squad"), assumed=False))

    def _added(self, squad: Squad) -> str:
        path = free_path(self._path(name_from_title(squad.name, "squad")))
        self._write(path.stem, squad)
        self.choose(path.stem)
        return path.stem

    def _move(self, name: str, start: str, end: str) -> str:
        source = self.folder / start / f"{name}{SUFFIX}"
        try:
            (self.folder / end).mkdir(parents=True, exist_ok=True)
            path = place_for(source, self.folder / end / source.name, without_names)
            os.rename(source, path)
        except OSError as error:
            raise SquadsTrouble(tr("{name} is unchanged: {reason}", name=name, reason=reason_of(error))) from None
        return path.stem

    def _known(self, name: str) -> Squad:
        squad = self._kept.get(name)
        if squad is None:
            raise SquadsTrouble(tr("there is no squad {name}", name=name))
        return squad

    def _path(self, name: str) -> Path:
        return self.folder / FOLDER / f"{name}{SUFFIX}"

    def _free_title(self, title: str) -> str:
        taken = {card.title.casefold() for card in self.cards()}
        free, number = title, 2
        while free.casefold() in taken:
            free, number = f"{title[:56]} {number}", number + 1
        return free


def _tests_of(squad: Squad) -> tuple:
    """A squad's test swims, which `==` ignores when it compares squads."""
    tests = [lane.tests for lane in squad.lanes]
    tests += [swimmer.tests for lane in squad.lanes for swimmer in lane.swimmers]
    return tuple((trials, tuple(trial.day for trial in trials)) for trials in tests)


def _files(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == SUFFIX and not path.name.startswith("."))
    except OSError:
        return []
