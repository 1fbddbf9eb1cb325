"""Errors that the app survives are logged, without names, and said to the coach."""

from __future__ import annotations

import ast
import logging
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from pacer import __main__ as entry
from pacer.errorlog import FILE, MOST_LOG_BYTES, keep_log

ROOT = Path(__file__).parents[1]
BLIND = {"Exception", "BaseException"}


@pytest.fixture
def log(tmp_path, monkeypatch):
    """The log of an app in a folder of its own; gone afterwards."""
    logger = logging.getLogger("pacer")
    monkeypatch.setattr(logger, "handlers", [])
    monkeypatch.setattr(logger, "propagate", False)
    monkeypatch.setattr(sys, "excepthook", sys.__excepthook__)
    monkeypatch.setattr(threading, "excepthook", threading.__excepthook__)
    keep_log(tmp_path)
    yield lambda: (tmp_path / FILE).read_text(encoding="utf-8")
    for handler in logger.handlers:
        handler.close()


def silent_handlers(source: str) -> list[int]:
    """The lines of handlers that catch whatever comes, and neither log it nor pass it on."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ExceptHandler):
            caught = (
                {each.id for each in ast.walk(node.type) if isinstance(each, ast.Name)}
                if node.type is not None
                else BLIND
            )
            kept = any(
                isinstance(each, ast.Raise)
                or (
                    isinstance(each, ast.Call)
                    and isinstance(each.func, ast.Attribute)
                    and each.func.attr == "exception"
                )
                for each in ast.walk(node)
            )
            passed_on = any(
                isinstance(each, ast.Return)
                and isinstance(each.value, ast.Call)
                and getattr(each.value.func, "id", "") == "_failed"
                for each in ast.walk(node)
            )
            if caught & BLIND and not (kept or passed_on):
                found.append(node.lineno)
    return found


def test_whatever_is_caught_blindly_is_logged_or_passed_on():
    paths = [ROOT / "main.py", *sorted((ROOT / "pacer").rglob("*.py"))]
    assert {path.name: lines for path in paths if (lines := silent_handlers(path.read_text(encoding="utf-8")))} == {}


@pytest.mark.parametrize("body", ["pass", "return None", "print('went wrong')"])
@pytest.mark.parametrize("kind", ["", " Exception", " (ValueError, Exception) as error"])
def test_a_silent_handler_is_found(kind, body):
    assert silent_handlers(f"def f():\n  try:\n    g()\n  except{kind}:\n    {body}") == [4]


def test_the_log_says_where_and_what_but_no_name(log):
    try:
        raise KeyError("Kit")
    except KeyError:
        logging.getLogger("pacer.face.shelf.shelftotals").exception("The totals of a plan failed")
    assert "The totals of a plan failed" in log() and "KeyError" in log() and "test_errorlog.py" in log()
    assert "Kit" not in log()


def test_what_lies_behind_an_error_is_logged_too(log):
    try:
        try:
            raise OSError(28, "No space left on device", "/squads/kit.toml")
        except OSError as error:
            raise ValueError("Kit") from error
    except ValueError:
        logging.getLogger("pacer").exception("Failed")
    assert "No space left on device" in log() and "ValueError" in log() and "kit" not in log().lower()


def test_the_log_stays_small(log, tmp_path):
    for _ in range(3000):
        logging.getLogger("pacer").error("x" * 200)
    sizes = [path.stat().st_size for path in tmp_path.iterdir()]
    assert len(sizes) == 2 and max(sizes) <= MOST_LOG_BYTES


def test_a_thread_that_ends_by_an_error_is_logged(log, capsys):
    thread = threading.Thread(target=lambda: 1 / 0)
    thread.start()
    thread.join()
    assert "A thread ended" in log() and "ZeroDivisionError" in log()


def test_without_a_folder_the_app_runs_all_the_same(tmp_path):
    (tmp_path / "file").write_text("")
    keep_log(tmp_path / "file" / "folder")


def test_a_worker_goes_on_after_a_job_that_failed(log):
    from pacer.signal.slowcalls import Worker

    worker, done = Worker("test"), threading.Event()
    worker.put(lambda: 1 / 0)
    for _ in range(1000):
        if "failed" in (log() if logging.getLogger("pacer").handlers[0].stream else ""):
            break
        threading.Event().wait(0.005)
    worker.put(done.set)
    assert done.wait(5)
    worker.close(1)


def test_a_command_that_fails_says_so_and_keeps_the_evidence(tmp_path, monkeypatch, capsys, log):
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    monkeypatch.setattr("pacer.cli.commands.main", lambda arguments: {}["Kit"])
    assert entry.main(["check", "x"]) == entry.FAILED
    said = capsys.readouterr().err
    assert "errors.log" in said and "Traceback" not in said
    assert "KeyError" in log() and "Kit" not in log()


def test_a_plan_whose_totals_fail_says_so_on_the_shelf(monkeypatch):
    from pacer.plan.notation.planreader import read_plan
    from pacer.show.wording.totalstext import summary
    from pacer.timeline.summary.totals import failed_totals

    plan = read_plan("pool: 25 m\n\n100 free\n")
    assert "errors.log" in summary(failed_totals(plan))[0]


def test_the_plan_package_does_not_bring_the_handlers():
    script = "import sys, pacer.plan\nprint('logging.handlers' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "False"
