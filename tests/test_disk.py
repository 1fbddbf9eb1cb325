"""Every file that the app writes is written whole, beside the old one, and put in its place."""

from __future__ import annotations

import ast
import os
import resource
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from pacer.disk import whole_file, write_whole

ROOT = Path(__file__).parents[1]

#: Calls that write a file where they stand: name of the function, and the only places that may use it.
WRITERS = {
    "write_text": set(), "write_bytes": set(), "mkstemp": set(), "NamedTemporaryFile": set(), "copy": set(), "copy2": set(), "copytree": set(),
    "copyfile": {"session/salvage.py"},       # into a folder of its own that goes again
    "RotatingFileHandler": {"diagnostics.py"},      # the one file that grows at its end
}
WRITING = set("wax+")


def mode_of(call: ast.Call, place: int) -> str:
    given = [word.value for word in call.keywords if word.arg == "mode"] + call.args[place : place + 1]
    return given[0].value if given and isinstance(given[0], ast.Constant) and isinstance(given[0].value, str) else ""


def writes(call: ast.Call) -> str:
    """The name of a call that writes a file by itself, else ""."""
    function = call.func
    name = function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")
    owner = getattr(getattr(function, "value", None), "id", "")
    if name in WRITERS:
        return "" if name.startswith("copy") and owner != "shutil" else name
    if name in ("open", "fdopen"):
        place = 1 if not isinstance(function, ast.Attribute) or owner in ("os", "io", "gzip", "bz2", "lzma") else 0
        if owner == "wave":     # into memory
            return ""
        return name if WRITING & set(mode_of(call, place)) else ""
    if name in ("ZipFile", "TarFile") and WRITING & set(mode_of(call, 1)):
        return "" if isinstance(call.args[0], ast.Name) and call.args[0].id == "file" else name
    return ""


def found(source: str) -> list[str]:
    return [name for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call) and (name := writes(node))]


def test_one_function_writes_files():
    wrong = {}
    for path in [ROOT / "main.py", *sorted((ROOT / "pacer").rglob("*.py"))]:
        at = path.relative_to(ROOT / "pacer").as_posix() if path.name != "main.py" else path.name
        if at != "disk.py" and (names := [name for name in found(path.read_text(encoding="utf-8")) if at not in WRITERS.get(name, ())]):
            wrong[at] = names
    assert wrong == {}


@pytest.mark.parametrize("source", ["open(p, 'w')", "open(p, mode='ab')", "p.open('x')", "p.write_text(t)", "p.write_bytes(b)", "os.fdopen(d, 'wb')",
                                    "shutil.copyfile(a, b)", "zipfile.ZipFile(path, 'w')", "io.open(p, 'r+')", "tempfile.mkstemp()"])
def test_other_ways_to_write_are_found(source):
    assert len(found(source)) == 1


@pytest.mark.parametrize("source", ["open(p)", "open(p, 'rb')", "p.open('rb')", "p.read_text()", "wave.open(memory, 'wb')", "zipfile.ZipFile(file, 'w')"])
def test_reading_is_not_taken_for_writing(source):
    assert found(source) == []


def test_an_error_on_the_way_leaves_the_old_file(tmp_path):
    path = tmp_path / "plan.txt"
    path.write_text("old")
    with pytest.raises(KeyboardInterrupt), whole_file(path) as file:
        file.write(b"half")
        raise KeyboardInterrupt
    assert path.read_text() == "old" and list(tmp_path.iterdir()) == [path]


def test_a_link_is_followed_and_rights_stay(tmp_path):
    real = tmp_path / "elsewhere" / "plan.txt"
    real.parent.mkdir()
    real.write_text("old")
    real.chmod(0o640)
    link = tmp_path / "plan.txt"
    link.symlink_to(real)
    write_whole(link, b"new")
    assert link.is_symlink() and real.read_text() == "new" and stat.S_IMODE(real.stat().st_mode) == 0o640


def test_nobody_writes_over_a_name_that_is_taken(tmp_path):
    path = tmp_path / "plan.txt"
    path.write_text("old")
    with pytest.raises(FileExistsError):
        write_whole(path, b"new", fresh=True)
    assert path.read_text() == "old"


def test_tidy_leaves_a_plan_as_it_was_where_nothing_can_be_written(tmp_path):
    """`ulimit -f 0`: no file may grow by a byte."""
    plan = tmp_path / "p.txt"
    plan.write_text("pool: 25 m\n\nMain set\n  4x100 fr on 1:40\n")
    before = plan.read_bytes()

    def no_room() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))

    done = subprocess.run([sys.executable, "-B", "-m", "pacer", "tidy", str(plan), "--write"], capture_output=True, text=True, cwd=ROOT, preexec_fn=no_room,
                          env={**os.environ, "PYTHONPATH": str(ROOT)}, check=False)
    assert done.returncode == 2
    assert plan.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["p.txt"]
    assert "could not be written" in done.stderr and "Traceback" not in done.stderr
