"""Settings on the bar: each shows its effect on the spot, and nothing covers the view."""

from dataclasses import fields, replace

import pytest

from pacer.face.bar.controlbar import IDLE_MS
from pacer.show.drive.barkeychoice import Key
from pacer.show.drive.barsettingchoice import adjusted, lane_keys, setting_keys
from pacer.show.drive.delaytuning import EVERY_MS, TUNING_LIT_MS, Tuning
from pacer.show.drive.settings import RANGES, Settings
from tests.face.clock.test_sound import Device, Player
from tests.face.deck.leaves import READ, Deck


@pytest.fixture
def deck(window):
    made = []

    def make(*args, **kwargs):
        made.append(Deck(window, *args, **kwargs))
        made[-1].player, made[-1].device = Player(), Device()
        made[-1].device.notes = lambda: ("This tablet can't vibrate for pacer.",)
        made[-1].device.battery_warning = lambda minutes: ""
        made[-1].player.notes = lambda: ()
        made[-1].shell.sounds.open(made[-1].player, made[-1].device)
        return made[-1]

    yield make
    for each in reversed(made):
        each.leave()


@pytest.mark.parametrize(
    ("name", "field", "value"),
    [
        ("louder", "volume", 60),
        ("softer", "volume", 40),
        ("flash", "flash", False),
        ("vibration", "vibration", False),
        ("speech", "speech", True),
        ("theme", "theme", "bright"),
        ("farther", "reading_distance_m", 9),
        ("nearer", "reading_distance_m", 7),
        ("lock at start", "locked", True),
        ("sooner", "latency_ms", 50),
        ("tardier", "latency_ms", 30),
    ],
)
def test_a_press_changes_one_setting(name, field, value):
    before = Settings(volume=50, latency_ms=40)
    after, _ = adjusted(before, Key(name))
    assert after == replace(before, **{field: value})


def test_a_key_that_steps_says_the_value_now_and_stays_as_wide():
    def said(settings):
        return {key.name: key.label for key in setting_keys(settings, several=False, running=True)}

    keys = said(Settings(volume=50, reading_distance_m=8))
    assert [keys[name] for name in ("softer", "louder", "nearer", "farther")] == [
        "Quieter, now 50%",
        "Louder, now 50%",
        "Read nearer, now 8 m",
        "Read farther, now 8 m",
    ]
    assert said(Settings(volume=100))["louder"] == "Louder, now 100%"
    for volume in (0, 50, 100):
        louder = next(
            key for key in setting_keys(Settings(volume=volume), several=False, running=True) if key.name == "louder"
        )
        assert max(louder.labels, key=len) == "Louder, now 100%"


def test_nothing_leaves_its_range():
    settings = Settings()
    for name, field in (
        ("louder", "volume"),
        ("softer", "volume"),
        ("farther", "reading_distance_m"),
        ("nearer", "reading_distance_m"),
        ("sooner", "latency_ms"),
        ("tardier", "latency_ms"),
    ):
        for _ in range(200):
            settings, told = adjusted(settings, Key(name))
        assert getattr(settings, field) in RANGES[field] and str(getattr(settings, field)) in told


def test_latency_starts_from_what_the_device_usually_has():
    assert adjusted(Settings(), Key("sooner"), 120)[0].latency_ms == 130


def test_lanes_are_chosen_one_by_one():
    settings = Settings()
    for number in (5, 4, 5):
        settings, _ = adjusted(settings, Key("lane", lane=number))
    assert settings.lanes_that_sound == (4,)
    labels = [key.label for key in lane_keys(settings, (4, 5))]
    assert labels == ["Close", "Beep lane 4: on", "Beep lane 5: off"]


def test_every_setting_of_the_face_can_be_reached():
    # Mute has a key of its own; the cautions are not a setting; the pool of new plans, how the glass is held and
    # when a focus is due again are set at the office; which session was locked is kept by the lock itself.
    names = {key.name for key in setting_keys(Settings(), several=True, running=False)} | {"sooner", "lane"}
    reached = {
        field.name
        for name in names - {"close", "sounding", "tune", "tablet"}
        for field in fields(Settings)
        if getattr(adjusted(Settings(volume=50), Key(name, lane=4 if name == "lane" else None))[0], field.name)
        != getattr(Settings(volume=50), field.name)
    }
    assert reached == {field.name for field in fields(Settings)} - {
        "wall_top",
        "muted",
        "locked_over",
        "cautions_read",
        "booking_min",
        "pool",
        "orientation",
        "revisit_days",
        "revisit_growth",
    }


def test_settings_by_touch_in_the_middle_of_a_session(deck):
    deck = deck()
    deck.begin(20_000)
    view = deck.shell.views["pool"]
    deck.press("settings", 60)
    deck.press("softer", 60)
    assert deck.player.volume == 90 and deck.kept[-1].volume == 90 and deck.bar.says == "Volume 90%"
    deck.press("theme", 60)
    assert view.theme.name == "bright"
    deck.press("sounding", 60)
    deck.press("lane", 60)  # the last of them
    assert deck.shell.settings.lanes_that_sound == (6,)
    deck.go(1_000)
    assert next(at for at in deck.shell.sounds.instants if at > deck.now_ms) - deck.driver.run.begun.boot_ms == 70_000
    assert set(deck.shell.children) == {view, deck.bar}
    deck.press("close", 60)
    deck.press("close", 60)
    assert "pause" in deck.names() and deck.closed == 0


def test_settings_that_nobody_touches_give_way_to_pause_while_a_session_runs(deck):
    deck = deck()
    deck.press("settings", 60)
    deck.go(7_000)
    assert "pause" not in deck.names() and deck.shell.setting_up.what == "settings", "before the start they stay"
    deck.press("close", 60)
    deck.begin(20_000)
    deck.press("settings", 60)
    deck.go(5_000)
    deck.press("theme", 60)
    deck.go(IDLE_MS - 1_000)
    assert "theme" in deck.names(), "somebody reads them"
    deck.go(2_000)
    assert "pause" in deck.names()


def test_the_beep_is_not_tuned_while_a_session_runs(deck):
    deck = deck()
    deck.press("settings", 60)
    names = {key.name for key in deck.bar.keys_shown}
    assert "tune" in names
    deck.press("close", 60)
    deck.begin(20_000)
    deck.press("settings", 60)
    assert "tune" not in {key.name for key in deck.bar.keys_shown}


def test_tuning_beeps_and_flashes_together(deck):
    deck = deck()
    deck.press("settings", 60)
    deck.press("tune", 60)
    before = len(deck.player.started)
    deck.press("sooner", 60)
    assert deck.shell.settings.latency_ms == 50 and deck.bar.says == "Beep 50 ms sooner"
    lit = []
    for _ in range(4 * EVERY_MS // 20):
        deck.frame(20)
        if deck.shell.lit and (not lit or deck.now_ms - lit[-1] > 500):
            lit.append(deck.now_ms)
    starts = [at for name, at in deck.player.started[before:] if name == "tuning"]
    assert len(lit) in (3, 4)
    assert all(
        0 <= flash - (start + 50) < 20
        for flash, start in zip(lit, starts[-len(lit) :] if len(starts) == len(lit) else starts)
    )
    deck.press("close", 60)
    deck.frame(20)
    assert not deck.shell.lit
    count = len(deck.player.started)
    deck.go(2_000)
    assert len(deck.player.started) == count


def test_tuning_keeps_its_beat_when_frames_are_late():
    player = Player()
    tuning = Tuning(player, 0)
    for now_ms in (10, 400, 1_200, 1_490, 1_700, 2_600, 5_000, 5_100, 5_600, 6_000, 6_010):
        tuning.frame(now_ms, 40)
    assert [at for _, at in player.started] == [EVERY_MS - 40, 2 * EVERY_MS - 40, 4 * EVERY_MS - 40]
    assert TUNING_LIT_MS < EVERY_MS / 3


def test_notes_say_what_the_device_lacks(deck):
    deck = deck()
    deck.press("settings", 60)
    deck.press("tablet", 60)
    assert "can't vibrate" in " ".join(child.text for child in deck.shell.notices.notice.children)
    deck.press("close", 60)
    assert "close" in deck.names() and deck.shell.notices.notice is None


def test_a_battery_that_will_not_last_is_told_once_before_the_session(deck):
    deck = deck()
    asked = []
    deck.device.battery_warning = lambda minutes: asked.append(minutes) or "The battery may not last."
    deck.frame(20)
    assert asked == [17]
    assert "The battery may not last." in " ".join(child.text for child in deck.shell.notices.notice.children)
    deck.press("close", 60)
    deck.go(500)
    assert deck.shell.notices.notice is None and "begin" in deck.names()


def test_beginning_leaves_the_settings(deck):
    deck = deck(settings=replace(READ, muted=True))
    deck.press("settings", 60)
    deck.key(32)
    assert deck.driver.journal == ()
    deck.press("close", 60)
    deck.begin(20_000)
    assert deck.bar.keys_shown is None
