"""What the shell sounds, vibrates and says: with a player that only writes down what it is asked for."""

from dataclasses import replace

import pytest

from pacer.face.clock.sound import VIBRATE_MS, Sounds
from pacer.show.drive.driver import Driver
from pacer.show.drive.settings import Settings
from pacer.signal.clip import COUNTDOWNS, LEAD_MS, STOP_ALL
from pacer.timeline.timeline import build_timeline
from tests.face.sessions import line, plan, squad, timeline

SILENT = Settings()


class Player:
    usual_latency_ms, silent = 40, False

    def __init__(self):
        self.started, self.stopped, self.volume, self.muted, self.now = [], [], 100, False, None

    def start(self, clip, at_ms=None):
        self.started.append((clip.name, at_ms))
        return len(self.started)

    def stop(self, token):
        self.stopped.append(self.started[token - 1])


class Device:
    def __init__(self):
        self.vibrated, self.said = [], []

    def vibrate(self, ms):
        self.vibrated.append(ms)

    def say(self, text):
        self.said.append(text)


class Deck:
    """A session with its sounds, and a clock that moves in frames of 20 ms."""

    def __init__(self, settings=SILENT, lanes=3, made=None):
        self.now_ms = 1_000_000
        self.driver = Driver(made or timeline(lanes), now_ms=lambda: self.now_ms, wall_ms=lambda: 0)
        self.player, self.device = Player(), Device()
        self.sounds = Sounds(self.driver, settings, self.player, self.device)
        assert self.driver.do(self.driver.begin()) == ()

    def go_to(self, at_ms, frame_ms=20):
        while self.driver.at_ms() < at_ms:
            self.now_ms += min(frame_ms, at_ms - self.driver.at_ms())
            self.sounds.frame(self.now_ms)

    def heard(self):
        """Session times that were counted down to, less what was taken back."""
        zero = self.driver.run.begun.boot_ms
        return [
            at_ms - zero + self.player.usual_latency_ms + LEAD_MS
            for name, at_ms in self.player.started
            if name == COUNTDOWNS[-1].name and (name, at_ms) not in self.player.stopped
        ]


def test_section_starts_sound_and_nothing_else():
    deck = Deck()
    deck.go_to(1_000_000, 100)
    assert deck.heard() == [0, 210_000, 870_000]
    assert all(name == COUNTDOWNS[-1].name for name, _ in deck.player.started)


def test_lanes_that_were_chosen_sound_by_their_number_on_the_wall():
    deck = Deck(replace(SILENT, lanes_that_sound=(5, 9)))
    deck.go_to(1_000_000, 100)
    assert deck.heard() == [0, 70_000, 210_000, 330_000, 450_000, 570_000, 870_000]


def test_choosing_a_lane_counts_at_once():
    deck = Deck()
    deck.go_to(60_000)
    deck.sounds.set(replace(SILENT, lanes_that_sound=(4,)))
    deck.go_to(80_000)
    assert deck.heard() == [0, 70_000]


def test_the_latency_that_was_tuned_moves_the_start():
    deck = Deck(replace(SILENT, latency_ms=250))
    deck.go_to(100)
    assert deck.player.started[0][1] == 1_010_000 - LEAD_MS - 250


def test_a_hold_takes_back_what_was_to_sound():
    deck = Deck()
    deck.go_to(206_800)
    assert deck.player.started[-1][0] == COUNTDOWNS[-1].name
    deck.driver.do(deck.driver.pause())
    deck.go_to(207_000)
    assert deck.player.stopped == [deck.player.started[-1]]


def test_leaving_again_together_is_counted_down_to():
    deck = Deck()
    deck.go_to(20_000)
    deck.driver.do(deck.driver.stop_all())
    deck.go_to(40_000)
    deck.driver.do(deck.driver.resume())
    leave_ms = deck.driver.journal[-1].leave_ms
    deck.go_to(leave_ms)
    assert deck.heard()[:2] == [0, leave_ms]


def test_volume_and_mute_reach_the_player():
    deck = Deck(replace(SILENT, volume=40, muted=True))
    assert (deck.player.volume, deck.player.muted) == (40, True)
    deck.sounds.set(SILENT)
    assert (deck.player.volume, deck.player.muted) == (100, False)


def test_stop_all_has_its_own_sound():
    deck = Deck()
    deck.sounds.stop_all()
    assert deck.player.started == [(STOP_ALL.name, None)]
    assert deck.device.vibrated == [2 * VIBRATE_MS]


def test_vibration_at_what_was_counted_down_to_and_only_where_it_is_set():
    deck = Deck()
    deck.go_to(-10)
    assert deck.device.vibrated == []
    deck.go_to(500)
    assert deck.device.vibrated == [VIBRATE_MS]
    deck.go_to(69_000, 500)
    assert deck.device.vibrated == [VIBRATE_MS]
    still = Deck(replace(SILENT, vibration=False))
    still.go_to(1_000)
    assert still.device.vibrated == []


def test_speech_says_the_section_after_its_long_beep_where_it_is_set():
    deck = Deck(replace(SILENT, speech=True))
    deck.go_to(500)
    assert deck.device.said == []
    deck.go_to(700)
    assert deck.device.said == ["Warm-up"]
    deck.go_to(215_000, 50)
    assert deck.device.said == ["Warm-up", "Main set"]
    mute = Deck()
    mute.go_to(215_000, 50)
    assert mute.device.said == []


def test_what_was_missed_while_the_app_was_away_is_neither_vibrated_nor_said():
    deck = Deck(replace(SILENT, speech=True))
    deck.go_to(-5_000)
    deck.now_ms += 100_000
    deck.sounds.frame(deck.now_ms)
    deck.go_to(deck.driver.at_ms() + 2_000)
    assert deck.device.vibrated == [] and deck.device.said == []


def test_nothing_sounds_after_the_end():
    deck = Deck()
    deck.go_to(20_000)
    deck.driver.do(deck.driver.end())
    deck.go_to(300_000, 500)
    assert deck.heard() == [0]


def test_one_lane_sounds_without_being_chosen():
    deck = Deck(lanes=1)
    deck.go_to(75_000, 100)
    assert deck.heard() == [0, 70_000]


def test_a_player_that_comes_later_sounds_from_then_on():
    deck = Deck()
    silent = Sounds(deck.driver, SILENT)
    silent.frame(deck.now_ms)
    silent.open(deck.player, deck.device)
    deck.sounds = silent
    deck.go_to(500)
    assert deck.heard() == [0]


@pytest.mark.parametrize("lanes", [1, 10])
def test_an_hour_of_frames_asks_for_each_instant_once(lanes):
    made = build_timeline(plan(("Main set", line(36, 100, on=100))), squad(lanes, base=70))
    deck = Deck(replace(SILENT, lanes_that_sound=tuple(range(4, 14))), made=made)
    deck.go_to(3_600_000, 130)
    assert deck.heard() == [n * 100_000 for n in range(36)]
