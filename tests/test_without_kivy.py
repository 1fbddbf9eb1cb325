"""Everything but the window works where Kivy and plyer are not installed: lark alone is.

The environment is made from what is installed here, so nothing is fetched.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sysconfig
import venv
from importlib.util import find_spec
from pathlib import Path

import pytest

from pacer.cli.commands import main

ROOT = Path(__file__).parents[1]
PLAN = ROOT / "assets" / "plans" / "long-axis-rotation-3.txt"
SQUAD = ROOT / "assets" / "squads" / "thursday.toml"
LACKS = "import importlib.util as u; assert not [n for n in ('kivy', 'plyer') if u.find_spec(n)]\n"


@pytest.fixture(scope="module")
def bare(tmp_path_factory) -> Path:
    """The Python of an environment that has this checkout, lark and websockets, and nothing else."""
    folder = tmp_path_factory.mktemp("bare")
    venv.create(folder, with_pip=False, symlinks=True)
    packages = Path(sysconfig.get_path("purelib", "venv", {"base": str(folder)}))
    for name in ("lark", "websockets"):
        (packages / name).symlink_to(Path(find_spec(name).origin).parent, target_is_directory=True)
    (packages / "pacer.pth").write_text(f"{ROOT}\n", encoding="utf-8")
    return folder / "bin" / "python"


def surroundings(folder: Path) -> dict[str, str]:
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("KIVY", "SDL", "PYTHON", "PACER"))}
    return kept | {"HOME": str(folder), "PACER_HOME": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}


def said(python: Path, *arguments: str, folder: Path) -> str:
    done = subprocess.run(
        [python, *arguments], cwd=folder, env=surroundings(folder), capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_every_module_but_those_of_the_window_is_imported(bare, tmp_path):
    modules = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for path in sorted((ROOT / "pacer").rglob("*.py"))
        if "face" not in path.relative_to(ROOT).parts
    ]
    assert len(modules) > 150
    said(bare, "-c", LACKS + "\n".join(f"import {module}" for module in modules), folder=tmp_path)


def test_a_module_of_the_window_is_not(bare, tmp_path):
    with pytest.raises(AssertionError, match="No module named 'kivy'"):
        said(bare, "-c", "import pacer.face.clock.poolview", folder=tmp_path)


def test_a_timeline_is_the_same(bare, tmp_path, capsys):
    arguments = ["timeline", str(PLAN), "--squad", str(SQUAD)]
    printed = said(bare, "-m", "pacer", *arguments, folder=tmp_path)
    assert main(arguments) == 0
    assert printed == capsys.readouterr().out and "LANE 1" in printed


def test_a_session_runs_as_text(bare, tmp_path):
    running = subprocess.Popen(
        [bare, "-u", "-m", "pacer", "run", PLAN, "--squad", SQUAD, "--text"],
        cwd=tmp_path,
        env=surroundings(tmp_path),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        shown = [running.stdout.readline() for _ in range(8)]
        running.send_signal(signal.SIGINT)
        _, complaints = running.communicate(timeout=60)
    finally:
        running.kill()
    assert any("READY" in row for row in shown), shown
    assert "Traceback" not in complaints
