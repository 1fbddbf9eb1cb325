import subprocess
import sys
import types
from pathlib import Path

import pytest

import pacer.signal
from pacer.signal.plyerfacade import leave_java, open_facade


def plyer_with(monkeypatch, **facades):
    module = types.ModuleType("plyer")
    for name, facade in facades.items():
        setattr(module, name, facade)
    monkeypatch.setitem(sys.modules, "plyer", module)


def test_an_available_facade_is_returned(monkeypatch):
    facade = object()
    plyer_with(monkeypatch, audio=facade)
    assert open_facade("audio") is facade


def test_a_facade_that_plyer_does_not_know_or_cannot_load_is_none(monkeypatch):
    class Explodes:
        def __getattribute__(self, name):
            raise RuntimeError("no such service")

    plyer_with(monkeypatch, audio=Explodes())
    assert open_facade("audio") is None and open_facade("tts") is None
    monkeypatch.setitem(sys.modules, "plyer", None)
    assert open_facade("audio") is None


@pytest.mark.skipif(sys.platform != "linux", reason="what plyer has differs")
def test_plyers_empty_base_counts_as_missing_and_its_traceback_is_hidden(capfd):
    pytest.importorskip("plyer")
    assert open_facade("audio") is None and open_facade("vibrator") is None
    assert capfd.readouterr() == ("", "")


def test_a_thread_detaches_from_java_only_if_there_is_java(monkeypatch):
    leave_java()
    left = []
    monkeypatch.setitem(sys.modules, "jnius", types.SimpleNamespace(detach=lambda: left.append(1)))
    leave_java()
    monkeypatch.setitem(sys.modules, "jnius", types.SimpleNamespace(detach=lambda: 1 / 0))
    leave_java()
    assert left == [1]


def test_importing_all_modules_imports_neither_kivy_nor_plyer_nor_numpy():
    modules = sorted(path.stem for path in Path(pacer.signal.__path__[0]).glob("*.py"))
    assert "player" in modules
    code = f"""import sys
{"; ".join(f"import pacer.signal.{module}" for module in modules if module != "__init__")}
print(sorted({{name.split(".")[0] for name in sys.modules}} & {{"kivy", "plyer", "numpy"}}))"""
    root = Path(pacer.__path__[0]).parent
    run = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, check=True, text=True)
    assert run.stdout.strip() == "[]"
