"""The Android build file against the app's own sources, and against python-for-android's recipes.

python-for-android carries the recipes that it builds with: it is read here, never run. The build itself needs
Android's own tools and is not done by any test.
"""

from __future__ import annotations

import ast
import importlib.metadata
import importlib.util
import re
import subprocess
import sys
import tomllib
from configparser import ConfigParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
from packaging.requirements import Requirement

import pacer

ROOT = Path(__file__).parents[1]
P4A = importlib.util.find_spec("pythonforandroid")
RECIPES = P4A and Path(P4A.submodule_search_locations[0]) / "recipes"
with_recipes = pytest.mark.skipif(P4A is None, reason="python-for-android is not installed")
REQUIRED = [
    Requirement(text) for text in tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
]

#: plyer's facades that the app opens, and what their Android side needs of the manifest, by what it calls there
#: (plyer/platforms/android; developer.android.com, Manifest.permission, from memory). plyer's own docstrings ask for
#: more: RECORD_AUDIO and WAKE_LOCK are for recording and `setWakeMode`, BATTERY_STATS is not what a sticky broadcast
#: needs.
PERMISSIONS = {"audio": (), "battery": (), "filechooser": (), "orientation": (), "tts": (), "vibrator": ("VIBRATE",)}
#: What a library serves or asks for on a network; Android asks for it of any kind of network.
LIBRARY_PERMISSIONS = {"websockets": "INTERNET"}
#: Compiled modules that a library does without: `test_lane_screens_need_nothing_compiled`.
DISPENSABLE = {"websockets/speedups"}
ANDROID = "http://schemas.android.com/apk/res/android"
#: Standard modules that python-for-android's Python does not have, or that PEP 738 (Android support) leaves out (from
#: memory).
NOT_THERE = {
    "bz2",
    "curses",
    "dbm",
    "ensurepip",
    "grp",
    "idlelib",
    "lzma",
    "multiprocessing",
    "readline",
    "subprocess",
    "tkinter",
    "turtle",
    "venv",
}


def spec() -> dict[str, str]:
    read = ConfigParser(interpolation=None)
    read.optionxform = str
    read.read(ROOT / "buildozer.spec", encoding="utf-8")
    return dict(read["app"])


def listed(key: str) -> list[str]:
    return [part.strip() for part in spec()[key].split(",")]


def said_in_recipe(name: str, what: str):
    """A class attribute that a recipe writes as a plain value."""
    tree = ast.parse((RECIPES / name / "__init__.py").read_text(encoding="utf-8"))
    found = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign) and [ast.unparse(t) for t in node.targets] == [what]
    ]
    return ast.literal_eval(found[0])


def sources() -> list[Path]:
    return [ROOT / "main.py", *sorted((ROOT / "pacer").rglob("*.py"))]


def imported(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and not node.level:
            names.add(node.module.partition(".")[0])
    return names


# -- requirements ---------------------------------------------------------------------------------------


def needed(name: str) -> list[str]:
    """What a pure package without a recipe needs itself."""
    more = [Requirement(text) for text in importlib.metadata.requires(name) or ()]
    return [one.name.lower() for one in more if one.marker is None or one.marker.evaluate({"extra": ""})]


def has_recipe(name: str) -> bool:
    return name.lower() in {folder.name.lower() for folder in RECIPES.iterdir()}


@with_recipes
def test_the_build_wants_what_the_project_wants():
    wanted = {required.name for required in REQUIRED}
    for name in sorted(wanted):
        wanted.update(needed(name) if not has_recipe(name) else ())
    assert sorted(listed("requirements")) == sorted(["python3", *wanted])


@with_recipes
@pytest.mark.parametrize("required", REQUIRED, ids=lambda required: required.name)
def test_a_requirement_has_a_recipe_or_is_pure_python(required):
    if (RECIPES / required.name).is_dir():
        assert required.specifier.contains(said_in_recipe(required.name, "version"))
        return
    wheel = importlib.metadata.distribution(required.name).read_text("WHEEL")
    tags = re.findall(r"^Tag: (.*)$", wheel, re.MULTILINE)
    pure = "py3-none-any" in tags and "Root-Is-Purelib: true" in wheel
    # Modules that were compiled only to be faster lie beside their own source.
    files = [Path(str(path)) for path in importlib.metadata.files(required.name)]
    sped_up = [path for path in files if path.suffix == ".so"]
    stems = [path.parent / path.name.split(".")[0] for path in sped_up]
    assert pure or sped_up and all(stem.with_suffix(".py") in files or str(stem) in DISPENSABLE for stem in stems)
    assert set(needed(required.name)) <= set(listed("requirements"))


def test_lane_screens_need_nothing_compiled():
    script = "import sys; sys.modules['websockets.speedups'] = None; from websockets.frames import apply_mask as mask"
    subprocess.run([sys.executable, "-c", f"{script}; assert mask(b'abcd', bytes(4)) == b'abcd'"], check=True)


@with_recipes
def test_the_python_there_is_new_enough_and_has_sqlite():
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["requires-python"]
    assert Requirement(f"python{wanted}").specifier.contains(said_in_recipe("python3", "version"))
    assert "sqlite3" in said_in_recipe("python3", "depends")


@with_recipes
def test_nothing_is_imported_that_is_missing_there():
    gone = NOT_THERE | (said_in_recipe("python3", "stdlib_dir_blacklist") - {"__pycache__"})
    everything = {name: path for path in sources() for name in imported(path)}
    assert {"kivy", "sqlite3", "lark"} <= everything.keys()
    assert not {name: path.name for name, path in everything.items() if name in gone}


# -- permissions ------------------------------------------------------------------------------------------


def facades() -> set[str]:
    """Every facade that the app opens, as written in its sources."""
    from pacer.signal import device

    opened = {
        name for path in sources() for name in re.findall(r'\bopen_facade\("(\w+)"\)', path.read_text(encoding="utf-8"))
    }
    return opened | set(device.ABSENT)


def test_every_facade_is_there_on_android():
    android = Path(importlib.util.find_spec("plyer").submodule_search_locations[0]) / "platforms" / "android"
    assert facades() == PERMISSIONS.keys()
    assert not [name for name in facades() if not (android / f"{name}.py").is_file()]
    assert "setWakeMode" not in (android / "audio.py").read_text(encoding="utf-8")


def test_no_permission_is_asked_for_that_is_not_used():
    used = {f"android.permission.{name}" for facade in facades() for name in PERMISSIONS[facade]}
    used |= {
        f"android.permission.{LIBRARY_PERMISSIONS[one.name]}" for one in REQUIRED if one.name in LIBRARY_PERMISSIONS
    }
    assert set(listed("android.permissions")) == used


def test_a_voice_is_looked_for_in_the_manifest():
    written = (ROOT / spec()["android.extra_manifest_xml"]).read_text(encoding="utf-8")
    manifest = ElementTree.fromstring(f'<manifest xmlns:android="{ANDROID}">{written}</manifest>')
    actions = [node.get(f"{{{ANDROID}}}name") for node in manifest.iter("action")]
    assert actions == ["android.intent.action.TTS_SERVICE"]


def test_swimmers_names_stay_on_the_tablet():
    assert spec()["android.allow_backup"] == "False"


# -- what is packed -------------------------------------------------------------------------------------------


def packed(path: Path) -> bool:
    """Whether the build takes a file along: by its folder, then by its ending."""
    at = path.relative_to(ROOT)
    out = any(at.parts[0] == folder for folder in listed("source.exclude_dirs")) or str(at) in listed(
        "source.exclude_patterns"
    )
    return not out and (
        path.suffix[1:] in listed("source.include_exts") or str(at) in listed("source.include_patterns")
    )


def test_all_of_the_app_is_packed_and_none_of_its_tests():
    folders = [
        ROOT / "pacer",
        *(folder for folder in (ROOT / "assets").iterdir() if folder.name not in ("android", "pictures")),
    ]
    app = [path for folder in folders for path in sorted(folder.rglob("*")) if path.is_file() and path.suffix != ".pyc"]
    assert len(app) > 100
    assert [path.name for path in (ROOT / "main.py", ROOT / "LICENSE", *app) if not packed(path)] == []
    assert not packed(Path(__file__)) and not packed(ROOT / "README.md") and not packed(ROOT / "pyproject.toml")


def test_it_is_the_same_version():
    version_file = spec()["version.filename"].replace("%(source.dir)s", str(ROOT))
    assert re.search(spec()["version.regex"], Path(version_file).read_text(encoding="utf-8"))[1] == pacer.__version__
