"""Files in and out through the device's own chooser if it has one; else through two folders whose path the coach is
told.

On Android plyer's chooser opens but does not save: exports are written to the app's own folder, which a cable and
other apps can reach. Whatever the chooser does, in whatever thread, a sentence says how it went and what else can be
done.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Protocol

from kivy.clock import Clock
from kivy.utils import platform

from pacer.disk import free_path, reason_of, write_whole
from pacer.language import tr
from pacer.plan.library.shelf import SUFFIX, ShelfTrouble
from pacer.signal.documents import MOST_FILE_BYTES, by_uri
from pacer.signal.exportfolder import outside
from pacer.signal.plyerfacade import leave_java, open_facade

log = logging.getLogger(__name__)

#: What to do with a file that the chooser cannot give.
INSTEAD = tr("save it on this tablet first, then choose it from there")
IN, OUT = "in", "out"  #: folders beside the plans, for devices without a chooser

#: Name and content of the chosen file. Raises OSError.
Reader = Callable[[str], tuple[str, bytes]]
#: The names on the shelf of what was imported, and a sentence ("" if there is nothing to say).
Brought = Callable[[tuple[str, ...], str], None]


class Named(Protocol):
    """What was brought in, by the name that it got."""

    @property
    def name(self) -> str:
        """Its name."""


class Holds(Protocol):
    """What files come into and go out of: the shelf of plans, or what replaces it."""

    @property
    def folder(self) -> Path:
        """Where its files lie."""

    def bring_in(self, data: bytes, name: str = "") -> Named:
        """Take a file in. Raises ShelfTrouble."""

    def give_out(self, name: str, path: Path) -> None:
        """Write a file. Raises ShelfTrouble."""


class OneFile:
    """One file in place of a shelf: `data` is written, and what is chosen is only read, by `aside`."""

    def __init__(self, folder: Path, data: bytes = b""):
        self.folder, self.data = Path(folder), data

    def bring_in(self, data: bytes, name: str = "") -> Named:
        """Nothing is kept."""
        raise ShelfTrouble(tr("{name} can't be imported", name=name))

    def give_out(self, name: str, path: Path) -> None:
        """Write the file."""
        try:
            write_whole(Path(path), self.data)
        except OSError as error:
            raise ShelfTrouble(
                tr("{name} can't be saved: {reason}", name=Path(path).name, reason=reason_of(error))
            ) from None


class Files:
    """Moves files whose names end in `suffix` to a shelf and from it. Answers come later, on Kivy's thread.

    `instead` says what else a coach can do if a file cannot be read. `aside(data, name)` may take a file's content
    before it is put on the shelf, and returns whether it did. A file of more than `most` bytes is not read.
    """

    def __init__(
        self,
        shelf: Holds,
        suffix: str = SUFFIX,
        title: str = tr("Choose a plan"),
        instead: str = tr("copy its text and press Paste"),
        aside: Callable[[bytes, str], bool] = lambda data, name: False,
        most: int = MOST_FILE_BYTES,
    ):
        self.aside, self.most = aside, most
        self.shelf, self.suffix, self.title, self.instead = shelf, suffix, title, instead

    @property
    def folder(self) -> Path:
        """The parent of the folders for files in and out on devices without a chooser."""
        return outside(platform, self.shelf.folder)

    def bring_in(self, done: Brought) -> None:
        """Let the coach choose files and put them on the shelf."""
        self._choose(
            "open_file",
            lambda paths, read: self.take(paths, done, read),
            lambda: self._take_from_folder(done),
            title=self.title,
            multiple=True,
        )

    def give_out(self, name: str, done: Callable[[str], None], called: str = "") -> None:
        """Let the coach choose a place and write a plan there; `done` is told how that went.

        The file is `called` so, else by the plan's name. A file that the chooser didn't ask about is not replaced.
        """
        called = called or name
        if platform == "android":  # its chooser only opens
            self._give_to_folder(name, done, called)
            return

        def give(paths: list[str], _read: Reader) -> None:
            if paths:
                path = Path(paths[0])
                done(self._give(name, path if path.suffix else free_path(path.with_suffix(self.suffix))))
            else:
                done("")

        self._choose(
            "save_file",
            give,
            lambda: self._give_to_folder(name, done, called),
            title=tr("Save where?"),
            path=f"{called}{self.suffix}",
        )

    # -- the chooser ----------------------------------------------------------------------------------

    def _choose(
        self, what: str, then: Callable[[list[str], Reader], None], without: Callable[[], None], **asked
    ) -> None:
        """Call the device's chooser on another thread.

        `then` gets what was chosen and how to read it; `without` is called if no chooser works.
        """
        chooser = open_facade("filechooser")
        if chooser is None:
            without()
            return
        answered = threading.Event()
        most = self.most

        def by_path(path: str) -> tuple[str, bytes]:
            return _by_path(path, most)

        read = by_path
        if platform == "android":
            handed = by_uri(chooser, self.most)

            def read(path: str) -> tuple[str, bytes]:
                return handed(path) if handed is not None and path.startswith("content:") else by_path(path)

        def answer(paths) -> None:
            """What was chosen, on any thread; a chooser may answer twice."""
            if not answered.is_set():
                answered.set()
                chosen = [str(path) for path in ((paths,) if isinstance(paths, str) else paths or ()) if path]
                lost = len(paths or ()) > len(chosen)
                Clock.schedule_once(lambda _dt: then(chosen or [""] if lost else chosen, read), 0)

        def ask() -> None:
            try:
                paths = getattr(chooser, what)(on_selection=answer, **asked)
            except Exception:  # each platform raises its own
                log.exception("The file chooser failed")
                if not answered.is_set():
                    answered.set()
                    Clock.schedule_once(lambda _dt: without(), 0)
                return
            if isinstance(paths, list) or paths is None and platform != "android":
                answer(paths)

        def aside() -> None:
            ask()
            leave_java()

        if platform == "android":
            ask()  # returns at once, and needs this thread
        else:
            threading.Thread(target=aside, name="files", daemon=True).start()

    # -- afterwards -------------------------------------------------------------------------------------

    def take(self, paths: list[str], done: Brought, read: Reader) -> None:
        """Read what was chosen, on another thread if that may take long, and put it on the shelf."""
        if platform != "android":
            self._put([_read_by(read, path) for path in paths], done)
            return

        def aside() -> None:
            found = [_read_by(read, path) for path in paths]
            Clock.schedule_once(lambda _dt: self._put(found, done), 0)
            leave_java()

        threading.Thread(target=aside, name="files", daemon=True).start()

    def _put(self, found: list[tuple[str, bytes | None, str]], done: Brought) -> None:
        names, said = [], ""
        for name, data, wrong in found:
            try:
                if data is None:
                    said = tr(
                        "{name} can't be read: {wrong}; {instead}",
                        name=name or tr("that file"),
                        wrong=wrong,
                        instead=self.instead,
                    )
                elif not self.aside(data, name):
                    names.append(self.shelf.bring_in(data, name).name)
            except ShelfTrouble as error:
                said = str(error)
        done(tuple(names), said)

    def _take_from_folder(self, done: Brought) -> None:
        folder = self.folder / IN
        try:
            folder.mkdir(parents=True, exist_ok=True)
            paths = sorted(str(path) for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
        except OSError as error:
            done(
                (),
                tr(
                    "No file chooser on this device, and {folder} can't be used: {strerror}",
                    folder=folder,
                    strerror=error.strerror,
                ),
            )
            return
        if not paths:
            done(
                (),
                tr(
                    "No file chooser on this device: put files into {folder}, and press that key again; or {instead}",
                    folder=folder,
                    instead=self.instead,
                ),
            )
            return
        self.take(
            paths,
            lambda names, said: done(names, said or (tr("imported from {folder}", folder=folder) if names else "")),
            partial(_by_path, most=self.most),
        )

    def _give(self, name: str, path: Path) -> str:
        try:
            self.shelf.give_out(name, path)
        except ShelfTrouble as error:
            return str(error)
        return tr("saved as {path}", path=path)

    def _give_to_folder(self, name: str, done: Callable[[str], None], called: str) -> None:
        done(self._give(name, free_path(self.folder / OUT / f"{called}{self.suffix}")))


def _by_path(path: str, most: int = MOST_FILE_BYTES) -> tuple[str, bytes]:
    """Name and content of a file on an ordinary path."""
    if Path(path).stat().st_size > most:
        raise OSError(0, tr("it is too large"))
    return Path(path).name, Path(path).read_bytes()


def _read_by(read: Reader, path: str) -> tuple[str, bytes | None, str]:
    """A file's name and content; if it cannot be read, its name, None, and why."""
    if not path:
        return "", None, tr("the device doesn't say where the file is")
    try:
        return *read(path), ""
    except OSError as error:
        return ("" if path.startswith("content:") else Path(path).name), None, error.strerror or str(error)
