import random

from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.signal.clip import COUNTDOWNS
from pacer.signal.clipschedule import Programme, Wanted, plan_sounds
from pacer.signal.clipstarter import HANDOVER_MS, Starter


class Log:
    """A player that logs its calls: by token, the clip, its start, and the stop."""

    usual_latency_ms = 0

    def __init__(self):
        self.started: dict[int, tuple[str, int]] = {}
        self.stopped: list[int] = []

    def start(self, clip, at_ms):
        token = len(self.started) + 1
        self.started[token] = (clip.name, at_ms)
        return token

    def stop(self, token):
        assert token in self.started and token not in self.stopped
        self.stopped.append(token)

    def long_beeps(self) -> list[int]:
        """The instants of the long beeps that were not cancelled."""
        shorts = {clip.name: len(clip.tones) - 1 for clip in COUNTDOWNS}
        kept = [start for token, start in self.started.items() if token not in self.stopped]
        return sorted(at_ms + shorts[name] * 1_000 for name, at_ms in kept)


def run(log, starter, programme, from_ms, to_ms, frame_ms=17):
    for now_ms in range(from_ms, to_ms, frame_ms):
        starter.update(now_ms, programme)


def test_a_count_down_is_handed_over_once_and_ahead_of_its_start():
    log = Log()
    starter = Starter(log)
    run(log, starter, plan_sounds([Wanted(60_000)]), 0, 57_000 - HANDOVER_MS)
    assert log.started == {}
    run(log, starter, plan_sounds([Wanted(60_000)]), 57_000 - HANDOVER_MS, 70_000)
    assert log.started == {1: ("countdown-3", 57_000)} and log.stopped == []


def test_a_frame_at_the_very_instant_starts_nothing_again():
    log = Log()
    run(log, Starter(log), plan_sounds([Wanted(10_000)]), 0, 12_000, frame_ms=10)
    assert len(log.started) == 1


def test_starts_are_ahead_by_the_latency():
    log = Log()
    run(log, Starter(log, latency_ms=180), plan_sounds([Wanted(10_000)]), 0, 12_000)
    assert log.started == {1: ("countdown-3", 6_820)}


def test_without_tuning_the_players_usual_latency_is_used():
    log = Log()
    log.usual_latency_ms = 120
    run(log, Starter(log), plan_sounds([Wanted(10_000)]), 0, 12_000)
    assert log.started == {1: ("countdown-3", 6_880)}


def test_the_latency_may_be_tuned_between_two_sounds():
    log = Log()
    starter = Starter(log, latency_ms=0)
    programme = plan_sounds([Wanted(10_000), Wanted(20_000)])
    run(log, starter, programme, 0, 12_000)
    starter.latency_ms = 50
    run(log, starter, programme, 12_000, 30_000)
    assert [at_ms for _, at_ms in log.started.values()] == [7_000, 16_950]


def test_a_send_off_known_too_late_gets_the_beeps_that_are_left():
    for known_ms, shorts in ((6_999, 3), (7_000, 3), (7_001, 2), (8_900, 1), (9_001, 0), (10_000, 0)):
        log = Log()
        run(log, Starter(log), plan_sounds([Wanted(10_000)]), known_ms, 12_000)
        assert list(log.started.values()) == [(f"countdown-{shorts}", 10_000 - shorts * 1_000)]


def test_a_send_off_that_is_past_does_not_sound():
    log = Log()
    run(log, Starter(log), plan_sounds([Wanted(10_000)]), 10_001, 20_000)
    assert log.started == {}


def test_a_count_down_whose_instant_has_disappeared_is_stopped():
    log = Log()
    starter = Starter(log)
    run(log, starter, plan_sounds([Wanted(10_000, 0), Wanted(20_000, 1)]), 0, 8_500)
    run(log, starter, plan_sounds([Wanted(20_000, 1)]), 8_500, 21_000)
    assert log.stopped == [1] and log.long_beeps() == [20_000]


def test_a_count_down_handed_over_and_not_begun_is_cancelled_too():
    log = Log()
    starter = Starter(log)
    run(log, starter, plan_sounds([Wanted(10_000)]), 0, 6_900)
    starter.update(6_900, Programme())
    assert log.stopped == [1]


def test_after_an_undone_pause_it_sounds_from_the_next_beep():
    log = Log()
    starter = Starter(log)
    programme = plan_sounds([Wanted(10_000)])
    run(log, starter, programme, 0, 7_500)
    starter.update(7_500, Programme())
    run(log, starter, programme, 7_700, 12_000)
    assert log.started == {1: ("countdown-3", 7_000), 2: ("countdown-2", 8_000)} and log.stopped == [1]


def test_a_long_beep_that_has_begun_plays_to_its_end():
    log = Log()
    starter = Starter(log)
    run(log, starter, plan_sounds([Wanted(10_000)]), 0, 10_001)
    run(log, starter, Programme(), 10_001, 12_000)
    assert log.stopped == []


def test_the_same_instant_in_a_new_programme_keeps_sounding():
    log = Log()
    starter = Starter(log)
    run(log, starter, plan_sounds([Wanted(10_000, 0)]), 0, 8_500)
    run(log, starter, plan_sounds([Wanted(10_000, 3), Wanted(10_000)]), 8_500, 12_000)
    assert log.started == {1: ("countdown-3", 7_000)} and log.stopped == []


def test_the_session_has_its_own_zero_on_the_players_clock():
    log = Log()
    Starter(log, latency_ms=50).update(6_800, plan_sounds([Wanted(10_000)]), zero_ms=1_000_000)
    assert log.started == {1: ("countdown-3", 1_006_950)}


def test_clear_cancels_everything():
    log = Log()
    starter = Starter(log)
    run(log, starter, plan_sounds([Wanted(10_000)]), 0, 8_000)
    starter.clear()
    assert log.stopped == [1]
    run(log, starter, plan_sounds([Wanted(10_000)]), 8_000, 12_000)
    assert log.long_beeps() == [10_000]


def test_without_changes_frames_of_any_length_start_what_the_programme_says():
    chance = random.Random(3)
    programme = plan_sounds([Wanted(chance.randrange(0, 600_000), chance.randrange(-1, 6)) for _ in range(120)])
    log = Log()
    starter = Starter(log, latency_ms=70)
    now_ms = -5_000
    while now_ms < 610_000:
        starter.update(now_ms, programme)
        now_ms += chance.choice((1, 14, 17, 33, 250, 499))
    assert list(log.started.values()) == [("countdown-3", sound.start_ms - 70) for sound in programme.sounds]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.lists(st.builds(Wanted, st.integers(0, 30_000), st.integers(-1, 4)), max_size=8), min_size=1, max_size=6
    ),
    st.lists(st.integers(0, 33_000), min_size=6, max_size=6),
)
def test_under_any_changes_no_long_beep_comes_where_none_is_programmed(wanted_by_turn, changes):
    programmes = [plan_sounds(wanted) for wanted in wanted_by_turn]
    log = Log()
    starter = Starter(log)
    turns = sorted(changes)[: len(programmes) - 1]

    def programme_at(now_ms):
        return programmes[sum(turn <= now_ms for turn in turns)]

    for now_ms in range(-4_000, 35_000, 40):
        starter.update(now_ms, programme_at(now_ms))

    # Frames are 40 ms apart: the programme at the last frame before an instant decides.
    def last_frame(at_ms):
        return (at_ms - 1 + 4_000) // 40 * 40 - 4_000

    for at_ms in log.long_beeps():
        assert at_ms in programme_at(last_frame(at_ms)) or at_ms in programme_at(at_ms)
    for sound in programmes[-1].sounds:  # and none is missed under the last one
        if not turns or sound.at_ms >= turns[-1] + 40:
            assert sound.at_ms in log.long_beeps()
