"""Files from another app, with fakes for Java's own classes: reading them, and the message if that fails."""

import os
import sys
import types

import pytest

from pacer.signal import documents


class Cursor:
    def __init__(self, name):
        self.name, self.closed = name, False

    def moveToFirst(self):
        return self.name is not None

    def getString(self, _index):
        return self.name

    def close(self):
        self.closed = True


class Resolver:
    """The system's content resolver: `files` are name and content by URI; anything else is refused."""

    def __init__(self, files):
        self.files = files

    def query(self, uri, columns, *rest):
        assert columns == ["_display_name"] and rest == (None, None, None)
        return Cursor(self.files[uri][0]) if uri in self.files else None

    def openFileDescriptor(self, uri, mode):
        assert mode == "r"
        if uri not in self.files:
            raise RuntimeError("JVM exception occurred: Permission Denial")
        ends, data = os.pipe(), self.files[uri][1]
        os.write(ends[1], data)
        os.close(ends[1])
        return types.SimpleNamespace(detachFd=lambda: ends[0])


class Uri:
    def __init__(self, text):
        self.text = text

    def toString(self):
        return self.text


@pytest.fixture
def java(monkeypatch):
    """Java with these files."""

    def make(**files):
        resolver = Resolver({f"content://{key}": value for key, value in files.items()})
        known = {
            "org.kivy.android.PythonActivity": types.SimpleNamespace(
                mActivity=types.SimpleNamespace(getContentResolver=lambda: resolver)
            ),
            "android.net.Uri": types.SimpleNamespace(parse=lambda text: text),
            "android.provider.OpenableColumns": types.SimpleNamespace(DISPLAY_NAME="_display_name"),
        }
        monkeypatch.setitem(sys.modules, "jnius", types.SimpleNamespace(autoclass=known.__getitem__))
        return documents.by_uri

    return make


def test_a_uri_is_read_through_the_system(java):
    chooser = types.SimpleNamespace()
    read = java(one=("Monday.txt", b"pool: 25 m\n"))(chooser)
    assert read("content://one") == ("Monday.txt", b"pool: 25 m\n")
    # The chooser returns URIs unchanged, and does not fail if there is none.
    assert chooser._resolve_uri(Uri("content://one")) == "content://one" and chooser._resolve_uri(None) is None


def test_a_file_without_a_name_is_read(java):
    assert java(one=(None, b"x"))(types.SimpleNamespace())("content://one") == ("", b"x")


def test_a_refused_or_too_large_file_is_an_error_in_words(java):
    read = java(one=("long.txt", b"x" * 33))(types.SimpleNamespace(), 32)
    with pytest.raises(OSError, match="won't share it"):
        read("content://another")
    with pytest.raises(OSError, match="too large"):
        read("content://one")


def test_without_java_the_chooser_is_unchanged(monkeypatch):
    monkeypatch.setitem(sys.modules, "jnius", None)
    chooser = types.SimpleNamespace()
    assert documents.by_uri(chooser) is None and not hasattr(chooser, "_resolve_uri")
