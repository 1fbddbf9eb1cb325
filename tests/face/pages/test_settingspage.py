"""The settings: every change holds at once and shows what it does."""

import zipfile

import pytest

from pacer.show.measure.legibility import character_mm
from tests.face.coach import READ, Coach


class Player:
    """A player that only notes what it is told."""

    silent = False

    def __init__(self):
        self.started, self.stopped, self.volume, self.muted, self.usual_latency_ms = [], [], 100, False, 40

    def start(self, clip, at_ms=None):
        self.started.append((clip.name, at_ms, self.volume, self.muted))
        return len(self.started)

    def stop(self, token=None):
        self.stopped.append(token)

    def notes(self):
        return ("No sound card was found.",)


class Device:
    """A device that only notes what it is asked for."""

    def __init__(self):
        self.done = []

    def vibrate(self, ms):
        self.done.append(("vibrate", ms))

    def say(self, text):
        self.done.append(("say", text))

    def turn(self, way):
        self.done.append(("turn", way))

    def notes(self):
        return ("This tablet can't speak.",)

    def battery_warning(self, minutes):
        return f"may last 5 min, the session needs {minutes}"


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path, player=Player(), device=Device())
    made.touch("Settings")
    made.player.started.clear()
    yield made
    made.leave()


def row(coach, name):
    """Touch a tile by its name: several rows have the same words."""
    board = coach.page.board
    board.scroll_to(name)
    coach.frame()
    box = board.box_of(board.tile(name))
    coach.finger(box.x + box.width / 2, box.y + box.height / 2)


def test_volume_is_heard_as_it_is_set(coach):
    row(coach, "volume less")
    row(coach, "volume less")
    assert coach.kept.volume == 80
    assert [(name, volume) for name, _, volume, _ in coach.player.started] == [("countdown-0", 90), ("countdown-0", 80)]
    for _ in range(3):
        row(coach, "volume more")
    assert coach.kept.volume == 100


def test_silence_and_sound(coach):
    row(coach, "muted")
    assert (
        coach.kept.muted
        and coach.player.muted
        and coach.player.started == []
        and coach.sees("Only STOP ALL makes a sound.")
    )
    row(coach, "muted")
    assert not coach.kept.muted and len(coach.player.started) == 1


def test_lanes_that_sound(coach):
    row(coach, "lane 4")
    row(coach, "lane 2")
    assert coach.kept.lanes_that_sound == (2, 4)
    row(coach, "lane 4")
    assert coach.kept.lanes_that_sound == (2,) and coach.sees("before every send-off for these lanes")


def test_speech_vibration_and_flash_show_themselves(coach, monkeypatch):
    monkeypatch.setattr("pacer.face.pages.settingspage.FLASH_S", 3_600)
    row(coach, "speech")
    assert coach.kept.speech and coach.device.done == [("say", "Main set")]
    row(coach, "vibration")
    row(coach, "vibration")
    assert coach.kept.vibration and coach.device.done[1:] == [("vibrate", 400)]
    row(coach, "flash")
    assert not coach.kept.flash
    row(coach, "flash")
    assert coach.kept.flash and coach.page.theme.ground == coach.page.theme.flip
    coach.page.dark(0)
    assert coach.page.theme.name == "dark" and coach.page.theme.ground != coach.page.theme.flip


def test_the_reading_distance_shows_how_large_digits_have_to_be(coach):
    row(coach, "distance less")
    assert coach.kept.reading_distance_m == 7 and coach.sees(f"{character_mm(7):.0f} mm high")
    sample = next(text for tile in coach.page.board.tiles for text in tile.texts if text.ways == ("23",))
    assert sample.cap * coach.page.cap == pytest.approx(coach.page.glass.px(character_mm(7)), rel=0.01)
    coach.page.press("leave")
    coach.frame()
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Start later")
    assert coach.shell.glass.tier_1_m == 7


def test_a_glass_too_small_for_the_distance_says_from_where_it_can_be_read(coach):
    """Where the distance is set, and once more before a session; not where the glass is large enough."""
    assert coach.kept.reading_distance_m == 8 and not coach.sees("readable from")
    row(coach, "distance more")
    row(coach, "distance more")
    assert coach.kept.reading_distance_m == 10 and coach.sees("readable from 8 m")
    coach.page.press("leave")
    coach.frame()
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert coach.sees("the swimmers' count-down is readable from 8 m")


def test_the_screen_is_turned_at_once(coach):
    row(coach, "orientation portrait")
    row(coach, "orientation any")
    assert coach.device.done == [("turn", "portrait"), ("turn", "any")] and coach.kept.orientation == "any"


def test_the_theme_is_there_at_once_and_stays(coach):
    row(coach, "theme bright")
    assert (
        coach.page.theme.name == "bright" and coach.kept.theme == "bright" and coach.window.clearcolor[:3] == [1, 1, 1]
    )
    coach.touch("Close")
    assert coach.page.theme.name == "bright"


def test_the_beep_is_tuned_against_a_flash(coach):
    row(coach, "latency more")
    assert coach.kept.latency_ms == 50
    row(coach, "tune")
    begun = coach.boot_ms
    lit = []
    for _ in range(200):
        coach.frame(20)
        if coach.page.lit and not (lit and lit[-1][1]):
            lit.append((coach.boot_ms, True))
        elif not coach.page.lit and lit and lit[-1][1]:
            lit.append((coach.boot_ms, False))
    flashes = [at for at, on in lit if on]
    starts = [at for name, at, _, _ in coach.player.started if name == "tuning"]
    assert len(flashes) >= 2 and len(starts) >= 2 and flashes[0] > begun
    # The sound is started that much ahead of the flash.
    assert all(0 <= flash - (start + 50) < 60 for flash, start in zip(flashes, starts))
    row(coach, "tune")
    assert coach.page.tuning is None
    coach.touch("Reset to 40 ms")
    assert coach.kept.latency_ms is None and coach.page.latency_ms == 40


def test_without_sound_there_is_nothing_to_tune(window, tmp_path):
    coach = Coach(window, tmp_path)
    coach.touch("Settings")
    row(coach, "tune")
    assert coach.sees("There is no sound on this tablet to adjust.")
    row(coach, "volume less")
    assert coach.kept.volume == 90
    coach.leave()


def test_a_pool_of_ones_own(coach):
    row(coach, "pool 50 m")
    assert coach.kept.pool == "50 m"
    row(coach, "other pool")
    for wrong in ("25 miles", ""):
        coach.page.field.draft.choose_all()
        coach.page.field.draft.write(wrong)
        coach.touch("Save")
        assert coach.page.says and coach.kept.pool == "50 m"
        coach.page.hush()
    coach.page.field.draft.choose_all()
    coach.page.field.draft.write("33 1/3 m")
    coach.frame()
    coach.touch("Save")
    assert coach.kept.pool == "33 1/3 m" and coach.sees("33 1/3 m")
    coach.touch("Close")
    coach.touch("New")
    assert "pool: 33 1/3 m" in coach.page.draft.text


def test_the_splash_lock_closes_at_the_start(coach):
    row(coach, "locked")
    assert coach.kept.locked
    coach.touch("Close")
    coach.touch("Quick set")
    coach.hold("Start")
    assert coach.shell.bar.locked


def test_a_copy_of_everything(coach):
    row(coach, "copy")
    path = coach.home / "copies" / "pacer-2026-03-02.zip"
    assert coach.sees("Backup made")
    with zipfile.ZipFile(path) as archive:
        names = archive.namelist()
    assert "pacer/plans/long-axis-rotation-3.txt" in names and "pacer/squads/thursday.toml" in names
    before = path.read_bytes()
    coach.page.press("copy")
    assert path.read_bytes() == before, "the first copy stays"
    assert zipfile.is_zipfile(path.with_name("pacer-2026-03-02-2.zip"))


def test_what_the_device_lacks_is_said(coach):
    assert coach.sees("No sound card was found.") and coach.sees("This tablet can't speak.")
    assert not coach.sees(str(coach.home)[:10]), "no path of files: nothing here is done with it"


def test_the_battery_is_told_before_the_start(coach):
    coach.touch("Close")
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert coach.sees("may last 5 min, the session needs 60")


def test_settings_are_found_again(coach, window):
    row(coach, "theme bright")
    assert coach.kept != READ and coach.office.settings == coach.kept


def test_whose_voice_speaks_is_said_where_it_is_turned_on(coach):
    assert not coach.sees("this device's own")
    coach.page.press("speech")
    coach.frame()
    assert coach.sees("Uses this tablet's voice and language.")
