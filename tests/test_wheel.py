"""The app as others get it.

The sdist, the wheel built from it, and the wheel in an empty environment, run from another folder.

Takes about 15 seconds, most of them pip's; it fetches from the index what `pip install` fetched before.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tarfile
import tomllib
import venv
import zipfile
from pathlib import Path, PurePath

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo

from pacer.face.kit.kivysetup import NO_SCREEN

ROOT = Path(__file__).parents[1]
PLAN = "title: Away from home\npool: 25 m\n\nMain set\n  4 x 50 free on 1:10\n"

#: The installed command itself, looked at as soon as the office or a session is drawn.
LOOKED_AT = """
import runpy, sys
from pacer.face.kit.kivysetup import prepare_kivy
prepare_kivy(full=False)
from kivy.app import App
from kivy.clock import Clock

def look(dt):
    app = App.get_running_app()
    if app is None or app.player is None:
        return
    if hasattr(app, "office") and app.office.shell is None:
        return app.office.page.press("demo")  # the first start asks whose squad it is
    from kivy.core.window import Window
    from kivy.graphics.opengl import glReadPixels, GL_RGBA, GL_UNSIGNED_BYTE
    shell = app.shell if hasattr(app, "shell") else app.office.shell
    inks = len(set(memoryview(glReadPixels(0, 0, *Window.size, GL_RGBA, GL_UNSIGNED_BYTE)).cast("I")))
    timeline = shell.driver.run.timeline
    print(timeline.plan.title, len(timeline.lanes), inks > 20, sys.modules["pacer"].__file__)
    app.stop()
    return False

Clock.schedule_interval(look, 0.05)
sys.argv = sys.argv[1:]
runpy.run_path(sys.argv[0], run_name="__main__")
"""


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> tuple[Path, Path]:
    """The sdist, and the wheel that was made from nothing but the sdist."""
    folder = tmp_path_factory.mktemp("built")
    ran([sys.executable, "-m", "build", "-o", str(folder), str(ROOT)], folder)
    (sdist,), (wheel,) = folder.glob("*.tar.gz"), folder.glob("*.whl")
    return sdist, wheel


@pytest.fixture(scope="module")
def elsewhere(built, tmp_path_factory) -> Path:
    """A folder that knows nothing of this checkout, with a plan, and an environment that has the wheel alone in
    `empty`.
    """
    folder = tmp_path_factory.mktemp("elsewhere")
    venv.create(folder / "empty", with_pip=True)
    ran([str(folder / "empty" / "bin" / "python"), "-m", "pip", "install", "-q", str(built[1])], folder)
    (folder / "away.txt").write_text(PLAN, encoding="utf-8")
    return folder


def surroundings(folder: Path, **more: str) -> dict[str, str]:
    """The environment of somebody who has no screen and has set nothing for this project."""
    ours = ("KIVY", "SDL", "PYTHON", "PACER", "DISPLAY", "WAYLAND", "VIRTUAL_ENV")
    return {key: value for key, value in os.environ.items() if not key.startswith(ours)} | {
        "HOME": str(folder),
        "PACER_HOME": str(folder / "kept"),
        "PYTHONUNBUFFERED": "1",
        **more,
    }


def ran(command: list[str], folder: Path, **more: str) -> str:
    done = subprocess.run(
        command, cwd=folder, env=surroundings(folder, **more), capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def ours(*folders: str) -> set[str]:
    """The files below these folders, as this checkout has them."""
    return {
        str(path.relative_to(ROOT))
        for folder in folders
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_sdist_has_all_that_runs_tests_and_builds_the_app(built):
    with tarfile.open(built[0]) as packed:
        there = {name.partition("/")[2] for name in packed.getnames()}
    wanted = ours("pacer", "assets", "tests", ".ci") | {
        "main.py",
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "pyproject.toml",
        "buildozer.spec",
        "MANIFEST.in",
    }
    assert wanted - there == set()


def test_the_wheel_has_the_app_and_its_files_and_nothing_else(built):
    with zipfile.ZipFile(built[1]) as packed:
        there = {name for name in packed.namelist() if not name.endswith("/")}
    about = {name for name in there if name.startswith("pacer-")}
    assets = ours("assets/fonts", "assets/plans", "assets/squads", "assets/screens") | {"assets/drills.toml"}
    assert there - about == ours("pacer") | {f"pacer/{name}" for name in assets}
    licences = {name.partition("/licenses/")[2] for name in about if "/licenses/" in name}
    assert licences == {"LICENSE", "assets/fonts/LICENCE-B612.txt", "assets/fonts/LICENCE-DejaVu.txt"}


@pytest.mark.parametrize(
    ("arguments", "seen"), [((), "Long-axis rotation 3 6 True"), (("run", "away.txt"), "Away from home 1 True")]
)
def test_with_a_screen_the_window_opens(elsewhere, arguments, seen):
    python = elsewhere / "empty" / "bin" / "python"
    told = ran(
        [str(python), "-c", LOOKED_AT, str(python.with_name("pacer")), *arguments],
        elsewhere,
        SDL_VIDEODRIVER="offscreen",
        SDL_AUDIODRIVER="dummy",
        PACER_HOME=str(elsewhere / f"kept with {len(arguments)}"),
    )
    assert told.startswith(f"{seen} {elsewhere / 'empty'}"), told


@pytest.mark.parametrize(
    ("command", "lanes"), [(["pacer"], 6), (["python", "-m", "pacer"], 6), (["pacer", "run", "away.txt"], 1)]
)
def test_without_a_screen_one_sentence_says_so_and_the_session_is_text(elsewhere, command, lanes, tmp_path):
    began = subprocess.Popen(
        [str(elsewhere / "empty" / "bin" / command[0]), *command[1:]],
        cwd=elsewhere,
        text=True,
        stdin=subprocess.DEVNULL,
        env=surroundings(elsewhere, PACER_HOME=str(tmp_path)),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    try:
        said = [began.stdout.readline().rstrip() for _ in range(2 + lanes)]
        began.send_signal(signal.SIGINT)
        rest, complaints = began.communicate(timeout=60)
    finally:
        began.kill()
    assert (
        said[0] == NO_SCREEN
        and "starts in" in said[1]
        and [row.split()[0] for row in said[2:]] == [str(n + 1) for n in range(lanes)]
    ), said
    assert rest.endswith("The session is still running. To resume it: pacer resume\n") and "Traceback" not in complaints


def test_a_language_is_found_where_the_wheel_puts_it(elsewhere):
    """A catalogue that this checkout had when the wheel was built would be there: its place is package data."""
    asked = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]["package-data"]
    assert any(PurePath("languages/de/LC_MESSAGES/pacer.mo").match(each) for each in asked["pacer.assets"])
    (assets,) = (path for path in (elsewhere / "empty").rglob("pacer/assets") if path.is_dir())
    place = assets / "languages" / "de" / "LC_MESSAGES"
    place.mkdir(parents=True)
    made = Catalog(locale="de")
    made.add("No sessions yet.", "Noch nichts.")
    with (place / "pacer.mo").open("wb") as file:
        write_mo(file, made)
    pacer = str(elsewhere / "empty" / "bin" / "pacer")
    said = ran([pacer, "log"], elsewhere, PACER_HOME=str(elsewhere / "nothing yet"), LANGUAGE="de")
    assert said.strip() == "Noch nichts."


def test_the_other_commands_find_their_files(elsewhere):
    pacer = str(elsewhere / "empty" / "bin" / "pacer")
    assert ran([pacer, "timeline", "away.txt"], elsewhere).startswith("LANE 1")
    assert "No session" in ran([pacer, "log"], elsewhere, PACER_HOME=str(elsewhere / "nothing yet"))
