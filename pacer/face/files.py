"""Files in and out through the device's own chooser, where it has one; else through two folders whose path is told."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from kivy.clock import Clock
from kivy.utils import platform

from pacer.plan.shelf import SUFFIX, Shelf, ShelfTrouble
from pacer.signal.facade import leave_java, open_facade

IN, OUT = "in", "out"     #: folders beside the plans, for devices without a chooser

#: What was brought in (names on the shelf), and a sentence ("" where there is nothing to tell).
Brought = Callable[[tuple[str, ...], str], None]


class Files:
    """The way of files, with names that end in `suffix`, to a shelf and from it. Answers come on Kivy's thread, later."""

    def __init__(self, shelf: Shelf, suffix: str = SUFFIX, title: str = "Choose a plan"):
        self.shelf, self.suffix, self.title = shelf, suffix, title

    def bring_in(self, done: Brought) -> None:
        """Have files chosen and put on the shelf."""
        self._choose("open_file", lambda paths: self._take(paths, done), lambda: self._take_from_folder(done),
                     title=self.title, multiple=True)

    def give_out(self, name: str, done: Callable[[str], None]) -> None:
        """Have a place chosen and write a plan there; `done` is told how that went."""
        if platform == "android":       # there the chooser only opens
            self._give_to_folder(name, done)
            return

        def give(paths: list[str]) -> None:
            if paths:
                path = Path(paths[0])
                done(self._give(name, path if path.suffix else path.with_suffix(self.suffix)))
            else:
                done("")

        self._choose("save_file", give, lambda: self._give_to_folder(name, done), title="Where to?", path=f"{name}{self.suffix}")

    # -- the chooser ----------------------------------------------------------------------------------

    def _choose(self, what: str, then: Callable[[list[str]], None], without: Callable[[], None], **asked) -> None:
        """Ask the device's chooser aside; `then` gets what was chosen, `without` is called where there is no chooser that works."""
        chooser = open_facade("filechooser")
        if chooser is None:
            without()
            return
        answered = threading.Event()

        def answer(paths) -> None:
            if not answered.is_set():
                answered.set()
                Clock.schedule_once(lambda _dt: then([path for path in paths or () if path]), 0)

        def ask() -> None:
            try:
                paths = getattr(chooser, what)(on_selection=answer, **asked)
            except Exception:       # each platform raises its own
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
            ask()       # returns at once, and wants this thread
        else:
            threading.Thread(target=aside, name="files", daemon=True).start()

    # -- what then happens ------------------------------------------------------------------------------

    def _take(self, paths: list[str], done: Brought) -> None:
        names, said = [], ""
        for path in map(Path, paths):
            try:
                names.append(self.shelf.bring_in(path.read_bytes(), path.name).name)
            except OSError as error:
                said = f"{path.name} cannot be read: {error.strerror}"
            except ShelfTrouble as error:
                said = str(error)
        done(tuple(names), said)

    def _take_from_folder(self, done: Brought) -> None:
        folder = self.shelf.folder / IN
        try:
            folder.mkdir(parents=True, exist_ok=True)
            paths = sorted(str(path) for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
        except OSError as error:
            done((), f"there is no file chooser here, and {folder} cannot be used: {error.strerror}")
            return
        if not paths:
            done((), f"there is no file chooser here: put files into {folder} and press this again")
            return
        self._take(paths, lambda names, said: done(names, said or f"brought in from {folder}"))

    def _give(self, name: str, path: Path) -> str:
        try:
            self.shelf.give_out(name, path)
        except ShelfTrouble as error:
            return str(error)
        return f"written to {path}"

    def _give_to_folder(self, name: str, done: Callable[[str], None]) -> None:
        done(self._give(name, self.shelf.folder / OUT / f"{name}{self.suffix}"))
