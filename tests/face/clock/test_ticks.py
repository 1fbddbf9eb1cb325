"""The soft tick at the rate that a line asks for: what the player is given, and that count-downs come before it."""

from dataclasses import replace

import numpy as np

from pacer.plan.model import RateRange
from pacer.session.records.ratetargets import beats
from pacer.show.view.instantview import lane_view, pool_view
from pacer.signal.clip import COUNTDOWNS, RATE_HZ, TICK, samples
from pacer.timeline.timeline import build_timeline
from tests.face.clock.test_sound import Deck
from tests.face.sessions import line, plan, squad


def deck():
    rated = replace(line(3, 100, on=110), rate=RateRange(32, 40))
    return Deck(made=build_timeline(plan(("Main set", line(1, 50, on=70), rated)), squad(2)))


def ticks(deck):
    """Session times at which ticks will be heard."""
    zero, latency = deck.driver.run.begun.boot_ms, deck.player.usual_latency_ms
    return [at_ms - zero + latency for name, at_ms in deck.player.started if name == "tick"]


def test_a_lane_ticks_at_its_rate_while_its_leader_swims_until_it_is_turned_off():
    made = deck()
    made.sounds.tick_lane = 1
    made.go_to(200_000)
    track = made.driver.run.timeline.tracks[1]
    due = list(beats(track, -10_000, 300_000))
    assert (
        ticks(made) == due[: len(ticks(made))]
        and 0 <= len([at for at in due if at <= 200_000]) - len(ticks(made)) + 1 <= 2
    )
    assert min(due) == 70_000, "the line before asks for none"
    made.sounds.tick_lane = None
    before = len(ticks(made))
    made.go_to(230_000)
    assert len(ticks(made)) == before


def test_no_tick_is_given_late_and_none_twice_whatever_the_frames():
    made = deck()
    made.sounds.tick_lane = 0
    made.go_to(90_000)
    made.go_to(140_000, frame_ms=333)
    found = ticks(made)
    assert found == sorted(set(found))
    made = deck()
    made.go_to(100_010)
    made.sounds.tick_lane = 0
    made.go_to(101_000)
    assert min(ticks(made)) >= 100_010


def test_nothing_ticks_when_everything_is_stopped():
    made = deck()
    made.sounds.tick_lane = 0
    made.go_to(80_000)
    before = len(ticks(made))
    assert made.driver.do(made.driver.stop_all()) == ()
    made.go_to(90_000)
    assert len(ticks(made)) == before


def test_the_tick_is_soft_short_and_inside_what_is_well_heard():
    """ISO 7731:2003, from memory: 500 to 2,500 Hz. Ranks are the player's: a tick never cuts a count-down."""
    frames = np.array(samples(TICK), float)
    spectrum = np.abs(np.fft.rfft(frames)) ** 2
    hertz = np.fft.rfftfreq(len(frames), 1 / RATE_HZ)
    inside = spectrum[(hertz >= 500) & (hertz <= 2_500)].sum()
    assert inside > 0.98 * spectrum.sum()
    assert np.abs(frames).max() < 0.35 * np.abs(np.array(samples(COUNTDOWNS[3]), float)).max()
    assert TICK.length_ms <= 50 and all(TICK.rank < clip.rank for clip in COUNTDOWNS)


def test_the_views_say_what_rate_is_asked_for():
    run = deck().driver.run
    for at_ms, said in ((60_000, "100 free, rate 32–40"), (80_000, "100 free, rate 32–40"), (20_000, "50 free")):
        text = pool_view(run, at_ms, places=False).bands[0].text
        assert text.doing[0] == said and text.ribbon[0].labels[0] == said.split(" ", 1)[1]
    assert lane_view(run, 0, 80_000).text.doing[-1] == "100 fr", "without it where there is no room"
