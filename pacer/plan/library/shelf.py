"""The shelf: one folder of plans as plain text, for a coach who must never lose one.

Typed text is a draft at once, and the plan's file as soon as the disk has saved it; a hidden plan is moved, never
deleted. Every error is a `ShelfTrouble` with a sentence, and changes nothing.

The folder holds `plans`, `put-away` (hidden plans), `drafts` (typed but not saved yet) and `earlier` (each plan as it
was before it was last changed).
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from threading import Lock

from pacer.disk import fill_folder, reason_of, write_whole
from pacer.language import tr
from pacer.plan.filename import name_from_title
from pacer.plan.filetext import check_size, text_from_bytes
from pacer.plan.library.newplan import header_of, new_plan, with_header
from pacer.plan.library.plancards import Card, card_of
from pacer.plan.library.shelforder import latest_first
from pacer.plan.problem import Unreadable
from pacer.plan.text.withoutcomments import without_comments
from pacer.plan.textmark import place_for

PLANS, AWAY, DRAFTS, EARLIER = "plans", "put-away", "drafts", "earlier"
SUFFIX = ".txt"

_DRAFT_HEAD = "pacer draft, {} characters\n"


class ShelfTrouble(Exception):
    """Something could not be done; the message says why. Nothing was lost."""


class Shelf:
    """The plans in `folder`; the first start makes it and copies the files in `demos` into it."""

    def __init__(self, folder: Path, demos: Iterable[Path] = (), gear: tuple[str, ...] = ()):
        self._new: dict[str, str] = {}  #: texts of new plans as they were made, by name
        self.folder, self.gear = Path(folder), gear
        self.told: tuple[str, ...] = ()  #: problems at the start, in sentences
        self._cards: dict[Path, tuple[tuple[int, int], Card]] = {}
        self._drafts = Lock()
        self._demos: dict[str, str] = {}  #: the demo plans' original texts, by the names of their files
        demos = tuple(demos)
        try:
            self._demos = {Path(demo).stem: text_from_bytes(Path(demo).read_bytes()) for demo in demos}
            self._begin(demos)
            self._take_up_drafts()
        except (OSError, ShelfTrouble, Unreadable) as error:
            self.told = (_sentence(tr("plans can't be saved here"), error),)

    # -- looking ----------------------------------------------------------------------------------

    def cards(self, swum: Mapping[tuple[str, bool], int] | None = None, away: bool = False) -> tuple[Card, ...]:
        """The plans, the latest first.

        `swum` says when each was last swum, by its file's name and whether it is hidden. `away` asks for the hidden
        plans instead.
        """
        made = []
        for path in self._files(AWAY if away else PLANS):
            with contextlib.suppress(OSError, Unreadable):
                card = self._card(path, away)
                when = (swum or {}).get((card.name, away))
                made.append(replace(card, swum_ms=when) if when is not None else card)
        return latest_first(made, self.as_it_came)

    def as_it_came(self, card: Card) -> bool:
        """Whether it is a demo plan that nobody has changed."""
        return card.text == self._demos.get(card.name)

    def card(self, name: str, away: bool = False) -> Card:
        """One plan. Raises ShelfTrouble if it is missing or not text."""
        try:
            return self._card(self._path(AWAY if away else PLANS, name), away)
        except OSError as error:
            raise ShelfTrouble(_sentence(tr("{name} can't be read", name=name), error)) from None
        except Unreadable as error:
            raise ShelfTrouble(
                tr("{name} can't be read: {message}", name=name, message=error.problems[0].message)
            ) from None

    def _card(self, path: Path, away: bool) -> Card:
        """A plan as it is now; if its file has not changed, it is not read again."""
        stat = path.stat()
        mark = (stat.st_mtime_ns, stat.st_size)
        known = self._cards.get(path)
        if known is None or known[0] != mark:
            known = self._cards[path] = (
                mark,
                card_of(path.stem, text_from_bytes(path.read_bytes()), stat.st_mtime_ns // 1_000_000, away, self.gear),
            )
        return known[1]

    def text(self, name: str) -> str:
        """A plan's text as last typed. Raises ShelfTrouble."""
        draft = self._draft(self._path(DRAFTS, name))
        return self.card(name).text if draft is None else draft

    def earlier(self, name: str) -> str | None:
        """A plan's text before it was last changed; None if that is not known."""
        try:
            return text_from_bytes(self._path(EARLIER, name).read_bytes())
        except (OSError, Unreadable):
            return None

    # -- writing ----------------------------------------------------------------------------------

    def open(self, name: str) -> str:
        """Open a plan for changes: keep a copy of its text as it is now, and return it. Raises ShelfTrouble."""
        text = self.text(name)
        with contextlib.suppress(OSError):  # the copy is only a convenience
            write_whole(self._path(EARLIER, name), text.encode())
        return text

    def jot(self, name: str, text: str) -> None:
        """Save typed text as a draft, at once: it survives the end of the app, but maybe not a power cut.

        Raises ShelfTrouble.
        """
        with self._drafts:
            try:
                data = _DRAFT_HEAD.format(len(text)) + text
                write_whole(self._path(DRAFTS, name), data.encode("utf-8", "replace"), sure=False)
            except OSError as error:
                raise ShelfTrouble(_sentence(tr("what you write can't be saved"), error)) from None

    def keep(self, name: str, text: str) -> None:
        """Write a plan's file, whole or not at all, and wait until the disk has saved it. Raises ShelfTrouble."""
        self._put(PLANS, name, text)
        with self._drafts:
            path = self._path(DRAFTS, name)
            if self._draft(path) == text:
                path.unlink(missing_ok=True)

    def _put(self, kind: str, name: str, text: str) -> None:
        try:
            write_whole(self._path(kind, name), text.encode("utf-8", "replace"))
        except OSError as error:
            raise ShelfTrouble(_sentence(tr("what you write can't be saved"), error)) from None

    # -- new ones -----------------------------------------------------------------------------------

    def new(self, pool: str, booking: str, title: str = "") -> Card:
        """Add an empty plan. Raises ShelfTrouble."""
        card = self.add(new_plan(self._free_title(title or tr("New plan")), pool, booking))
        self._new[card.name] = card.text
        return card

    def has(self, name: str) -> bool:
        """Whether that plan is on the shelf."""
        return self._path(PLANS, name).exists()

    def drop_untouched(self, name: str, stray: Callable[[str], bool] = lambda text: False) -> None:
        """Remove a new plan in which nothing was written, or only what is `stray`; any other stays."""
        made = self._new.pop(name, None)
        path = self._path(PLANS, name)
        with contextlib.suppress(OSError, ShelfTrouble):  # then it stays
            if made is None or self._path(DRAFTS, name).exists():
                return
            text = self.text(name)
            if text == made or (stray(text) and header_of(text) == header_of(made)):
                path.unlink()
                self._path(EARLIER, name).unlink(missing_ok=True)

    def copy(self, name: str) -> Card:
        """Copy a plan under a new title. Raises ShelfTrouble."""
        text = self.text(name)
        title = header_of(text).get("title") or name
        text = with_header(text, "date", "")  # it is for another day
        return self.add(with_header(text, "title", self._free_title(tr("{title}, copy", title=title))))

    def add(self, text: str, name: str = "") -> Card:
        """Add a text to the shelf, named by its title, otherwise `name`. Raises ShelfTrouble."""
        title = header_of(text).get("title") or name or tr("plan")
        made = self._free_name(title)
        try:
            write_whole(self._path(PLANS, made), text.encode("utf-8", "replace"), fresh=True)
        except OSError as error:
            raise ShelfTrouble(_sentence(tr("{title} can't be saved", title=title), error)) from None
        return self.card(made)

    def bring_in(self, data: bytes, name: str = "") -> Card:
        """Add a file's content to the shelf, errors and all. Raises ShelfTrouble.

        If the same text is on the shelf already, return that plan.
        """
        stem = Path(name).stem
        try:
            text = text_from_bytes(data)
            check_size(text)  # other errors are allowed
        except Unreadable as error:
            problem = error.problems[0]
            name = stem or tr("this")
            where = tr("{name}, line {line}", name=name, line=problem.line) if problem.line > 1 else name
            raise ShelfTrouble(f"{where}: {'; '.join(filter(None, (problem.message, problem.hint)))}") from None
        if not text.strip():
            raise ShelfTrouble(tr("the file is empty"))
        for card in self.cards():
            if card.text.split() == text.split():
                return card
        return self.add(text, stem)

    def give_out(self, name: str, path: Path) -> None:
        """Export a plan to `path`. Raises ShelfTrouble."""
        data = self.text(name).encode("utf-8", "replace")
        try:
            write_whole(Path(path), data)
        except OSError as error:
            raise ShelfTrouble(_sentence(tr("{name} can't be saved", name=Path(path).name), error)) from None

    # -- moving ---------------------------------------------------------------------------------------

    def rename(self, name: str, title: str) -> Card:
        """Change a plan's title, its file's name to match, and what revisits it. Raises ShelfTrouble."""
        title = " ".join(title.split())
        if not title:
            raise ShelfTrouble(tr("a plan needs a title"))
        if any(card.title.casefold() == title.casefold() and card.name != name for card in self.cards()):
            raise ShelfTrouble(tr("there is already a plan called {title}", title=title))
        before = self.card(name).title
        self.keep(name, with_header(self.text(name), "title", title))
        self.follow(before, title)
        wanted = name_from_title(title)
        if wanted == name:
            return self.card(name)
        made = self._free_name(title)
        try:
            for kind in (EARLIER, DRAFTS):
                old = self._path(kind, name)
                if old.exists():
                    os.replace(old, self._path(kind, made))
            os.rename(self._path(PLANS, name), self._path(PLANS, made))
        except OSError as error:
            raise ShelfTrouble(_sentence(tr("the file of {title} keeps its old name", title=title), error)) from None
        return self.card(made)

    def follow(self, old: str, new: str) -> None:
        """Let the plans that revisit the plan of title `old` revisit `new`, unless another plan has that title.

        Raises ShelfTrouble.
        """
        every = [*self.cards(), *self.cards(away=True)]
        if not old or old == new or any(card.title.casefold() == old.casefold() for card in every):
            return
        for card in every:
            text = card.text if card.away else self.text(card.name)
            if header_of(text).get("revisits", "").casefold() == old.casefold():
                self._put(AWAY if card.away else PLANS, card.name, with_header(text, "revisits", new))

    def put_away(self, name: str) -> str:
        """Hide a plan, and return its name among the hidden ones. Raises ShelfTrouble."""
        return self._move(name, PLANS, AWAY)

    def bring_back(self, name: str) -> str:
        """Show a hidden plan on the shelf again, and return its name there. Raises ShelfTrouble."""
        return self._move(name, AWAY, PLANS)

    def _move(self, name: str, start: str, end: str) -> str:
        if start == PLANS:
            self.keep(name, self.text(name))
        try:
            (self.folder / end).mkdir(parents=True, exist_ok=True)
            source = self._path(start, name)
            made = place_for(source, self._path(end, name), without_comments)
            os.rename(source, made)
        except OSError as error:
            raise ShelfTrouble(_sentence(tr("{name} is unchanged", name=name), error)) from None
        return made.stem

    # -- files ----------------------------------------------------------------------------------------

    def _begin(self, demos: tuple[Path, ...]) -> None:
        """Make the folder with everything in it in one step."""
        plans = self.folder / PLANS
        if plans.is_dir():
            return
        fill_folder(plans, {Path(demo).name: Path(demo).read_bytes() for demo in demos})

    def _take_up_drafts(self) -> None:
        """Save drafts that were open when the app ended as plans; delete drafts that were never finished."""
        for rough in self.folder.glob("*/.*.part"):
            rough.unlink(missing_ok=True)
        for path in self._files(DRAFTS):
            text = self._draft(path)
            if text is None:
                path.unlink(missing_ok=True)
                continue
            self.keep(path.stem, text)

    def _files(self, kind: str) -> list[Path]:
        try:
            return sorted(
                path
                for path in (self.folder / kind).iterdir()
                if path.suffix == SUFFIX and not path.name.startswith(".")
            )
        except OSError:
            return []

    def _path(self, kind: str, name: str) -> Path:
        if not name or Path(name).name != name or name.startswith("."):
            raise ShelfTrouble(tr("a plan can't be called {name}", name=name))
        return self.folder / kind / f"{name}{SUFFIX}"

    @staticmethod
    def _draft(path: Path) -> str | None:
        """The text of a draft; None if it is missing or incomplete."""
        try:
            head, found, text = path.read_bytes().decode().partition("\n")
        except (OSError, UnicodeDecodeError):
            return None
        return text if found and f"{head}\n" == _DRAFT_HEAD.format(len(text)) else None

    def _free_title(self, title: str) -> str:
        taken = {card.title.casefold() for card in self.cards()}
        number, free = 2, title
        while free.casefold() in taken:
            free, number = f"{title} {number}", number + 1
        return free

    def _free_name(self, title: str) -> str:
        name, number = name_from_title(title), 2
        free = name
        while self._path(PLANS, free).exists():
            free, number = f"{name}-{number}", number + 1
        return free


def _sentence(what: str, error: Exception) -> str:
    return str(error) if isinstance(error, ShelfTrouble) else f"{what}: {reason_of(error)}"
