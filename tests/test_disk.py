"""Every file that the app writes is written whole, beside the old one, and put in its place."""

from __future__ import annotations

import ast
import contextlib
import os
import resource
import signal
import socket
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from pacer.disk import reason_of, whole_file, write_whole

ROOT = Path(__file__).parents[1]

#: Calls that write a file where they stand: name of the function, and the only places that may use it.
WRITERS = {
    "write_text": set(),
    "write_bytes": set(),
    "mkstemp": set(),
    "NamedTemporaryFile": set(),
    "copy": set(),
    "copy2": set(),
    "copytree": set(),
    "copyfile": {"session/storage/salvage.py"},  # into a folder of its own that goes again
    "RotatingFileHandler": {"errorlog.py"},  # the one file that grows at its end
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
        if owner == "wave":  # into memory
            return ""
        return name if WRITING & set(mode_of(call, place)) else ""
    if name in ("ZipFile", "TarFile") and WRITING & set(mode_of(call, 1)):
        return "" if isinstance(call.args[0], ast.Name) and call.args[0].id in ("file", "memory") else name
    return ""


def found(source: str) -> list[str]:
    return [name for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call) and (name := writes(node))]


def test_one_function_writes_files():
    wrong = {}
    for path in [ROOT / "main.py", *sorted((ROOT / "pacer").rglob("*.py"))]:
        at = path.relative_to(ROOT / "pacer").as_posix() if path.name != "main.py" else path.name
        if at != "disk.py" and (
            names := [name for name in found(path.read_text(encoding="utf-8")) if at not in WRITERS.get(name, ())]
        ):
            wrong[at] = names
    assert wrong == {}


@pytest.mark.parametrize(
    "source",
    [
        "open(p, 'w')",
        "open(p, mode='ab')",
        "p.open('x')",
        "p.write_text(t)",
        "p.write_bytes(b)",
        "os.fdopen(d, 'wb')",
        "shutil.copyfile(a, b)",
        "zipfile.ZipFile(path, 'w')",
        "io.open(p, 'r+')",
        "tempfile.mkstemp()",
    ],
)
def test_other_ways_to_write_are_found(source):
    assert len(found(source)) == 1


@pytest.mark.parametrize(
    "source",
    [
        "open(p)",
        "open(p, 'rb')",
        "p.open('rb')",
        "p.read_text()",
        "wave.open(memory, 'wb')",
        "zipfile.ZipFile(file, 'w')",
        "zipfile.ZipFile(memory, 'w')",
    ],
)
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


def a_pipe(path: Path) -> None:
    os.mkfifo(path)


def a_socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(str(path))


def a_device(path: Path) -> None:
    try:
        os.mknod(path, stat.S_IFCHR | 0o666, os.makedev(1, 3))  # as /dev/null
    except PermissionError:
        pytest.skip("no device may be made here")


@pytest.mark.parametrize("linked", [False, True])
@pytest.mark.parametrize(
    ("make", "why"), [(Path.mkdir, "folder"), (a_pipe, "named pipe"), (a_socket, "socket"), (a_device, "device")]
)
def test_what_is_no_file_is_not_replaced_by_one(tmp_path, monkeypatch, make, why, linked):
    monkeypatch.chdir(tmp_path)  # a socket's name is short
    path = Path("plan.txt")
    make(path)
    before = path.stat()
    if linked:
        path = Path("link.txt")
        path.symlink_to("plan.txt")
    names = sorted(os.listdir())
    with pytest.raises(OSError) as refused:
        write_whole(path, b"new")
    assert why in reason_of(refused.value) and sorted(os.listdir()) == names
    after = path.stat()
    assert (after.st_ino, after.st_mode) == (before.st_ino, before.st_mode)


def test_a_file_that_can_only_be_read_is_not_replaced(tmp_path):
    path = tmp_path / "plan.txt"
    path.write_text(PLAN)
    path.chmod(0o444)
    with pytest.raises(PermissionError) as refused:
        write_whole(path, b"new")
    assert reason_of(refused.value) == "the file is read-only"
    assert path.read_text() == PLAN and list(tmp_path.iterdir()) == [path]
    done = subprocess.run(
        [sys.executable, "-B", "-m", "pacer", "tidy", str(path), "--write"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 2 and "read-only" in done.stderr and "Traceback" not in done.stderr
    path.chmod(0o644)
    write_whole(path, b"new")
    assert path.read_text() == "new"


@pytest.mark.parametrize("length", [245, 255])
def test_a_name_may_be_as_long_as_the_disk_allows(tmp_path, length):
    path = tmp_path / ("p" * (length - 4) + ".txt")
    write_whole(path, b"old")
    write_whole(path, b"new")
    assert path.read_bytes() == b"new" and list(tmp_path.iterdir()) == [path]


def test_a_name_that_is_too_long_is_told(tmp_path):
    with pytest.raises(OSError) as refused:
        write_whole(tmp_path / ("p" * 256), b"new")
    assert reason_of(refused.value) == "the name is too long" and not list(tmp_path.iterdir())


def test_tidy_leaves_a_plan_as_it_was_where_nothing_can_be_written(tmp_path):
    """`ulimit -f 0`: no file may grow by a byte."""
    plan = tmp_path / "p.txt"
    plan.write_text("pool: 25 m\n\nMain set\n  4x100 fr on 1:40\n")
    before = plan.read_bytes()

    def no_room() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))

    done = subprocess.run(
        [sys.executable, "-B", "-m", "pacer", "tidy", str(plan), "--write"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        preexec_fn=no_room,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert done.returncode == 2
    assert plan.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["p.txt"]
    assert "could not be written" in done.stderr and "Traceback" not in done.stderr


PLAN = "pool: 25 m\n\nMain set\n  4x100 fr on 1:40\n"


@pytest.fixture
def full_disk(tmp_path):
    """A small file system; needs root."""
    place = tmp_path / "disk"
    place.mkdir()
    if (
        os.geteuid()
        or subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)], capture_output=True
        ).returncode
    ):
        pytest.skip("no file system may be mounted here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def fill(place: Path) -> None:
    with contextlib.suppress(OSError):
        (place / "filler").write_bytes(bytes(1 << 20))


def test_a_plan_outlives_a_full_disk(full_disk):
    path = full_disk / "p.txt"
    path.write_text(PLAN, encoding="utf-8")
    fill(full_disk)
    command = [sys.executable, "-B", "-m", "pacer", "tidy", str(path), "--write"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == 2 and "storage is full" in done.stderr and "Traceback" not in done.stderr
    assert path.read_text(encoding="utf-8") == PLAN and not list(full_disk.glob(".*.part"))
    (full_disk / "filler").unlink()
    assert subprocess.run(command, cwd=ROOT, check=False).returncode == 0 and "4 x 100 free" in path.read_text(
        encoding="utf-8"
    )


#: As somebody who may write nothing; all that is imported is imported before.
AS_NOBODY = """import contextlib, io, os, sys
from pacer.cli.commands import main
with contextlib.redirect_stdout(io.StringIO()):
    main(["tidy", sys.argv[1]])
if os.geteuid() == 0:
    os.setgroups([]); os.setgid(65534); os.setuid(65534)
sys.exit(main(["tidy", sys.argv[1], "--write"]))"""


def test_a_plan_in_a_folder_that_can_only_be_read_stays(tmp_path):
    path = tmp_path / "p.txt"
    path.write_text(PLAN, encoding="utf-8")
    path.chmod(0o666)
    for above in tmp_path.parents:
        if not above.stat().st_mode & stat.S_IXOTH:
            above.chmod(above.stat().st_mode | stat.S_IXOTH)  # pytest's own folders are for their owner alone
    tmp_path.chmod(0o555)
    try:
        done = subprocess.run(
            [sys.executable, "-c", AS_NOBODY, str(path)], capture_output=True, text=True, cwd=ROOT, check=False
        )
    finally:
        tmp_path.chmod(0o755)
    assert (done.returncode, done.stdout) == (2, "")
    assert "can't be written to" in done.stderr and "Traceback" not in done.stderr
    assert path.read_text(encoding="utf-8") == PLAN
