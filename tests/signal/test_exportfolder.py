"""The folder for files to copy off the device."""

import sys
from pathlib import Path
from types import SimpleNamespace

from pacer.signal.exportfolder import outside

HERE = Path("/srv/deck")


def java(found):
    activity = SimpleNamespace(mActivity=SimpleNamespace(getExternalFilesDir=lambda kind: found))
    return SimpleNamespace(autoclass=lambda name: activity if name == "org.kivy.android.PythonActivity" else None)


def test_on_other_systems_it_is_the_given_folder():
    assert outside("linux", HERE) == HERE


def test_on_android_it_is_the_folder_that_a_cable_reaches(monkeypatch):
    monkeypatch.setitem(
        sys.modules,
        "jnius",
        java(SimpleNamespace(getAbsolutePath=lambda: "/storage/emulated/0/Android/data/pacer/files")),
    )
    assert outside("android", HERE) == Path("/storage/emulated/0/Android/data/pacer/files")


def test_if_android_has_none_it_is_the_given_folder(monkeypatch):
    monkeypatch.setitem(sys.modules, "jnius", java(None))
    assert outside("android", HERE) == HERE
    monkeypatch.setitem(sys.modules, "jnius", SimpleNamespace())
    assert outside("android", HERE) == HERE
