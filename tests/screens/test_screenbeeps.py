"""Beeps of a screen: the same instants as on the tablet, handed to the browser's audio clock ahead of time."""

from __future__ import annotations

import pytest

from pacer.screens.cardmaking import card_list
from pacer.show.drive.soundplan import sound_instants
from pacer.signal.clip import COUNTDOWNS, STOP_ALL
from tests.screens.browser import Chromium, needs, page_with
from tests.screens.runs import demo

pytestmark = needs(*Chromium.needs)

#: An audio clock that the test moves, and what is handed to it.
AUDIO = """
window.tones = [];
window.AudioContext = class {
  constructor() { this.state = "running"; this.now = 100; this.destination = {}; }
  get currentTime() { return this.now; }
  resume() {}
  createGain() {
    return { gain: { setValueAtTime() {}, linearRampToValueAtTime() {} }, connect() {} };
  }
  createOscillator() {
    const tone = { frequency: {}, connect() {}, start(at) { this.at = at; tones.push(this); }, stop(at) {
      if (at === 0) tones.splice(tones.indexOf(this), 1); else this.end = at;
    } };
    return tone;
  }
};
"""
#: Play `values[1]` of session time in steps of a quarter of a second; what sounded, in ms of session time.
PLAYED = """
const [fromMs, untilMs, drift] = values;
for (link.at = fromMs; link.at < untilMs; link.at += 250) {
  sound.context.now = 100 + (link.at - fromMs) / 1000 * (1 + drift);
  sound.update(link.at);
}
return tones.map(tone => [Math.round((tone.at - 100) * 1000 / (1 + drift) + fromMs), tone.frequency.value,
  Math.round((tone.end - tone.at) * 1000)]);
"""


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    browser = Chromium()
    try:
        yield browser, page_with(tmp_path_factory.mktemp("page"), ["1"]).as_uri()
    finally:
        browser.quit()


def opened(page):
    browser, address = page
    browser.get(address)
    browser.run(AUDIO)
    run = demo("long-axis-rotation-3", "thursday")
    instants = sound_instants(run, (), (run.timeline.lanes[0].number,))
    cards = card_list(run, 0, "lane", -10_000, 1_200_000, sounds=instants)
    browser.run("link.picked = {lane: 0, view: 'lane'}; setWidth(5); link.onCards(values[0]); sound.open();", cards)
    return browser, run, instants


def test_every_count_down_of_the_tablet_sounds(page):
    browser, _, instants = opened(page)
    played = browser.run(PLAYED, -10_000, 1_190_000, 0)
    due = [at for at in instants if at < 1_190_000]
    clip = COUNTDOWNS[-1]
    assert len(due) > 5
    assert sorted(played) == sorted(
        [at - clip.tones[-1].at_ms + tone.at_ms, tone.hertz, tone.length_ms] for at in due for tone in clip.tones
    )


def test_beeps_keep_to_the_session_where_the_audio_clock_runs_off(page):
    browser, _, instants = opened(page)
    played = browser.run(PLAYED, -10_000, 600_000, 0.0005)
    long = sorted(at for at, hertz, _ in played if hertz == COUNTDOWNS[-1].tones[-1].hertz)
    due = [at for at in instants if at < 600_000]
    assert len(long) == len(due) and all(abs(one - other) < 20 for one, other in zip(long, due))


def test_a_count_down_that_is_no_longer_wanted_is_taken_back(page):
    browser, run, instants = opened(page)
    at_ms = instants[1] - 4_000
    assert browser.run(PLAYED, at_ms, at_ms + 500, 0), "handed over"
    browser.run("link.onCards(values[0])", card_list(run, 0, "lane", at_ms, at_ms + 60_000))
    assert browser.run("return tones.length") == 0


def test_a_screen_alone_for_a_minute_beeps_no_more(page):
    browser, _, instants = opened(page)
    at_ms = instants[1] - 4_000
    browser.run(PLAYED, at_ms, at_ms + 500, 0)
    browser.run("link.aloneSince = link.at - 61000; beep();")
    assert browser.run("return tones.length") == 0


def test_stop_all_sounds_at_once_and_once(page):
    browser, _, _ = opened(page)
    stop = "screen_.parts.pool.forEach(card => { card.stopped = 'ALL STOPPED'; });"
    browser.run(f"link.at = 0; drawAt(0); {stop} drawAt(0); drawAt(1);")
    played = browser.run("return tones.map(tone => [Math.round((tone.at - 100.02) * 1000), tone.frequency.value])")
    assert played == [[tone.at_ms, tone.hertz] for tone in STOP_ALL.tones]
