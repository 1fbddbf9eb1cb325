import json
from dataclasses import asdict

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.session.poolclock import WallTop
from pacer.show.drive.settings import FILE_NAME, Settings, read_settings, write_settings

CHANGED = Settings(
    12,
    "bright",
    40,
    True,
    (4, 2),
    85,
    True,
    False,
    False,
    True,
    "portrait",
    "33 1/3 m",
    45,
    7,
    WallTop(43_000, "a start"),
    10,
    150,
    12,
)


def test_without_a_file_the_usual_settings(tmp_path):
    assert read_settings(tmp_path / "not there") == (Settings(), "")


def test_what_is_kept_comes_back(tmp_path):
    assert write_settings(tmp_path / "new" / "folder", CHANGED) == ""
    assert read_settings(tmp_path / "new" / "folder") == (CHANGED, "")
    assert [path.name for path in (tmp_path / "new" / "folder").iterdir()] == [FILE_NAME]


def test_no_field_is_left_out_of_the_round_trip():
    usual, changed = asdict(Settings()), asdict(CHANGED)
    assert all(usual[key] != changed[key] for key in usual)


@pytest.mark.parametrize("content", [b"", b"{", b"[1, 2]", b"\xff\xfe\x00", b"null", b'"x"', b"[" * 100_000])
def test_a_broken_file_is_set_aside(tmp_path, content):
    (tmp_path / FILE_NAME).write_bytes(content)
    settings, told = read_settings(tmp_path)
    assert settings == Settings()
    assert "damaged" in told
    assert (tmp_path / (FILE_NAME + ".broken")).read_bytes() == content
    assert read_settings(tmp_path) == (Settings(), "")


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("theme", "pink"),
        ("theme", []),
        ("orientation", "up"),
        ("volume", 101),
        ("volume", True),
        ("booking_min", 5),
        ("volume", 5.5),
        ("latency_ms", -1),
        ("reading_distance_m", 0),
        ("reading_distance_m", "8"),
        ("lanes_that_sound", [1, "2"]),
        ("lanes_that_sound", 4),
        ("muted", 1),
        ("flash", None),
        ("pool", "25"),
        ("pool", 25),
        ("wall_top", 43_000),
        ("wall_top", {"boot_ms": "43", "boot": "a start"}),
        ("wall_top", {"boot_ms": 43_000}),
    ],
)
def test_one_wrong_value_falls_back_alone(tmp_path, key, value):
    (tmp_path / FILE_NAME).write_text(json.dumps(asdict(CHANGED) | {key: value, "later version": 1}))
    settings, told = read_settings(tmp_path)
    assert asdict(settings) == asdict(CHANGED) | {key: getattr(Settings(), key)}
    assert key.replace("_", " ") in told


def test_a_wall_clock_matched_on_a_machine_that_names_no_start_is_forgotten_with_the_app(tmp_path):
    write_settings(tmp_path, Settings(wall_top=WallTop(43_000)))
    assert read_settings(tmp_path) == (Settings(), "")


@given(
    st.binary(max_size=60)
    | st.recursive(st.none() | st.integers() | st.text(), st.lists, max_leaves=5).map(lambda v: json.dumps(v).encode())
)
def test_nothing_in_the_file_raises(tmp_path_factory, content):
    folder = tmp_path_factory.mktemp("settings")
    (folder / FILE_NAME).write_bytes(content)
    assert isinstance(read_settings(folder)[0], Settings)


def test_a_folder_that_cannot_be_is_told_not_raised(tmp_path):
    (tmp_path / "file").write_text("in the way")
    assert "could not be saved" in write_settings(tmp_path / "file" / "folder", CHANGED)
    assert read_settings(tmp_path / "file")[0] == Settings()


def test_settings_that_were_set_aside_before_are_kept_as_well(tmp_path):
    for text in ("{first", "{second"):
        (tmp_path / "settings.json").write_text(text)
        assert "is kept as settings.json.broken" in read_settings(tmp_path)[1]
    assert sorted(path.read_text() for path in tmp_path.glob("*.broken*")) == ["{first", "{second"]
