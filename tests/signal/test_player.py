import sys
import threading
import time
from collections.abc import Callable

import pytest

from pacer.signal.clip import COUNTDOWNS, STOP_ALL, TICK
from pacer.signal.output import Output, Unavailable
from pacer.signal.player import LATE_BEEP_MS, SILENT_FROM_MS, Player, open_player

LONG = COUNTDOWNS[3]
PATIENCE_S = 5


class FakeClock:
    """A clock that moves only when told; the test then wakes the player's thread."""

    def __init__(self):
        self.ms = 0.0

    def __call__(self) -> float:
        return self.ms


class Heard(Output):
    """A back end that logs its calls, and can be made to fail."""

    name, label, usual_latency_ms = "heard", "the fake player", 40

    def __init__(self, folder):
        super().__init__(folder)
        self.log: list[object] = []
        self.folder_existed = folder.is_dir()
        self.failures = 0
        self.changed = threading.Condition()
        self.threads: set[int] = set()

    def _tell(self, entry):
        with self.changed:
            self.log.append(entry)
            self.threads.add(threading.get_ident())
            self.changed.notify_all()

    def prepare(self, volume):
        self._tell(("prepared", volume))

    def play(self, clip, volume):
        if self.failures:
            self.failures -= 1
            raise OSError("no sound today")
        self._tell((clip.name, volume))

    def stop(self):
        self._tell("stop")

    def close(self):
        self._tell("close")

    def wait_for(self, entry, times: int = 1) -> list[object]:
        """The log without preparations, as soon as it has `entry` so many times."""
        with self.changed:
            assert self.changed.wait_for(lambda: self.log.count(entry) >= times, PATIENCE_S), self.log
            return [each for each in self.log if each[0] != "prepared"]


class Refuses(Output):
    name, label = "refuses", "the first player"

    def __init__(self, folder):
        raise Unavailable("The first player can't be reached.")


class Broken(Output):
    name, label = "broken", "the broken player"

    def __init__(self, folder):
        raise RuntimeError("a traceback nobody should see")


@pytest.fixture
def clock():
    return FakeClock()


@pytest.fixture
def make(clock, tmp_path):
    players: list[Player] = []

    def made(*opens, folder=tmp_path) -> tuple[Player, Output]:
        players.append(Player(opens or (Heard,), folder, clock))
        return players[-1], players[-1].output

    yield made
    for player in players:
        player.close()


def wake(player: Player) -> None:
    player.volume = player.volume


def dealt_with(player: Player, clock: FakeClock) -> None:
    """Wait until the player has handled every start that is due: only then may time move."""
    deadline = time.monotonic() + PATIENCE_S
    while player.pending and player.pending[0][0] <= clock.ms:
        assert time.monotonic() < deadline, player.pending
        time.sleep(0.001)


def after(player: Player, output: Heard) -> list[object]:
    """The log once everything due now has been handled, with a final stop all after it."""
    player.start(STOP_ALL)
    return output.wait_for((STOP_ALL.name, 100))[:-1]


def test_a_clip_without_instant_sounds_at_once(make):
    player, output = make()
    player.start(TICK)
    assert output.wait_for((TICK.name, 100)) == [(TICK.name, 100)]
    assert threading.get_ident() not in output.threads


def test_clips_sound_at_their_instants_in_order(make, clock):
    player, output = make()
    player.start(LONG, 20_000)
    player.start(TICK, 10_000)
    clock.ms = 10_000
    wake(player)
    assert output.wait_for((TICK.name, 100)) == [(TICK.name, 100)]
    clock.ms = 20_000
    wake(player)
    assert output.wait_for((LONG.name, 100)) == [(TICK.name, 100), (LONG.name, 100)]


def test_a_cancelled_start_does_not_sound(make, clock):
    player, output = make()
    token = player.start(LONG, 10_000)
    player.start(TICK, 10_000)
    player.stop(token)
    clock.ms = 10_000
    wake(player)
    assert output.wait_for((TICK.name, 100)) == [(TICK.name, 100)]


def test_stopping_silences_only_the_right_clip(make):
    player, output = make()
    token = player.start(LONG)
    output.wait_for((LONG.name, 100))
    player.stop(token + 100)
    player.stop(token)
    assert output.wait_for("stop") == [(LONG.name, 100), "stop"]
    player.start(TICK)  # the stopped clip blocks nothing
    output.wait_for((TICK.name, 100))


def test_stopping_without_a_token_cancels_everything(make, clock):
    player, output = make()
    player.start(LONG)
    output.wait_for((LONG.name, 100))
    player.start(LONG, 10_000)
    player.stop()
    output.wait_for("stop")
    clock.ms = 10_000
    assert after(player, output) == [(LONG.name, 100), "stop"]


def test_a_tick_never_cuts_off_a_count_down_and_sounds_again_after_it(make, clock):
    player, output = make()
    player.start(LONG)
    output.wait_for((LONG.name, 100))
    clock.ms = LONG.length_ms - 1
    player.start(TICK, clock.ms)
    dealt_with(player, clock)
    player.start(TICK, LONG.length_ms)
    clock.ms = LONG.length_ms
    wake(player)
    assert output.wait_for((TICK.name, 100)) == [(LONG.name, 100), (TICK.name, 100)]
    assert after(player, output) == [(LONG.name, 100), (TICK.name, 100)]


def test_a_count_down_replaces_a_count_down(make):
    player, output = make()
    first = player.start(LONG)
    output.wait_for((LONG.name, 100))
    player.start(COUNTDOWNS[0])
    output.wait_for((COUNTDOWNS[0].name, 100))
    player.stop(first)  # it no longer sounds
    assert "stop" not in after(player, output)


def test_late_clips_stay_silent_except_stop_all(make, clock):
    player, output = make()
    clock.ms = 10_000
    player.start(COUNTDOWNS[0], clock.ms - SILENT_FROM_MS - 1)
    player.start(TICK, clock.ms - SILENT_FROM_MS)
    assert output.wait_for((TICK.name, 100)) == [(TICK.name, 100)]
    player.start(STOP_ALL, 0)
    output.wait_for((STOP_ALL.name, 100))


@pytest.mark.parametrize(
    "late_ms, shorts",
    [(0, 3), (LATE_BEEP_MS, 3), (LATE_BEEP_MS + 1, 2), (1_000, 2), (1_001, 1), (2_100, 0), (3_000, 0)],
)
def test_a_late_count_down_sounds_from_its_next_beep(make, clock, late_ms, shorts):
    """Its long beep stays on the send-off, three seconds after the start that was missed."""
    player, output = make()
    clock.ms = 10_000 + late_ms
    player.start(LONG, 10_000)
    ticks = []
    if 13_000 - 1_000 * shorts > clock.ms:
        player.start(TICK)
        ticks = output.wait_for((TICK.name, 100))
        clock.ms = 13_000 - 1_000 * shorts
    assert output.wait_for((COUNTDOWNS[shorts].name, 100)) == [*ticks, (COUNTDOWNS[shorts].name, 100)]
    assert ticks in ([], [(TICK.name, 100)])


def test_the_rest_of_a_late_count_down_can_still_be_cancelled(make, clock):
    player, output = make()
    clock.ms = 10_300
    token = player.start(LONG, 10_000)
    player.start(TICK)
    output.wait_for((TICK.name, 100))
    player.stop(token)
    clock.ms = 13_000
    player.start(TICK)
    assert output.wait_for((TICK.name, 100), times=2) == [(TICK.name, 100)] * 2


def test_stop_all_cancels_and_cuts_off_everything_and_is_loud_even_when_muted(make, clock):
    player, output = make()
    player.volume = 30
    output.wait_for(("prepared", 30))
    player.start(LONG)
    output.wait_for((LONG.name, 30))
    player.start(LONG, 10_000)
    player.muted = True
    player.start(STOP_ALL)
    assert output.wait_for((STOP_ALL.name, 100)) in ([(LONG.name, 30), "stop", (STOP_ALL.name, 100)],)
    player.start(LONG)
    player.muted = False
    clock.ms = 10_000
    player.start(TICK)
    output.wait_for((TICK.name, 30))
    assert output.log.count((LONG.name, 30)) == 1


def test_muting_silences_everything_except_stop_all(make, clock):
    player, output = make()
    player.start(LONG)
    output.wait_for((LONG.name, 100))
    player.muted = True
    output.wait_for("stop")
    player.start(TICK)
    player.start(STOP_ALL)
    output.wait_for((STOP_ALL.name, 100))
    player.muted = True
    clock.ms = 60_000
    player.muted = False
    player.start(TICK)
    assert output.wait_for((TICK.name, 100)) == [(LONG.name, 100), "stop", (STOP_ALL.name, 100), (TICK.name, 100)]


def test_volume_is_whole_per_cent_and_prepared_before_it_is_needed(make):
    player, output = make()
    output.wait_for(("prepared", 100))
    player.volume = 250
    assert player.volume == 100
    player.volume = 55
    output.wait_for(("prepared", 55))
    player.start(TICK)
    output.wait_for((TICK.name, 55))
    player.volume = -1
    assert player.volume == 0


def test_the_first_back_end_that_opens_is_used_and_failures_are_noted(make):
    player, _ = make(Refuses, Broken, Heard)
    assert player.name == "heard" and player.usual_latency_ms == 40
    assert player.notes() == ("The first player can't be reached.", "Sound: the broken player does not work here.")


def test_without_any_back_end_it_is_silent_and_says_so(make):
    player, _ = make(Refuses)
    assert player.name == "silent"
    assert player.notes()[-1] == "This tablet has no sound: everything is on the screen."
    token = player.start(LONG)
    player.stop(token)
    player.muted = True
    player.volume = 10


def test_a_failure_is_tried_once_more(make):
    player, output = make()
    output.failures = 1
    player.start(TICK)
    output.wait_for((TICK.name, 100))
    assert player.notes() == ()


def test_a_failed_back_end_is_replaced_and_the_clip_still_sounds(make):
    opened, opens = [], threading.Event()

    class Next(Heard):
        name = "next"

        def __init__(self, folder):
            super().__init__(folder)
            opened.append(self)
            opens.set()

    player, output = make(Heard, Next)
    output.failures = 2
    player.start(TICK)
    assert opens.wait(PATIENCE_S)
    assert opened[0].wait_for((TICK.name, 100)) == [(TICK.name, 100)]
    assert player.name == "next" and output.log[-1] == "close"
    assert player.notes() == ("Sound: the fake player failed and is off.",)


def test_when_all_fail_the_player_is_silent(make):
    player, output = make()
    output.failures = 2
    player.start(TICK)
    output.wait_for("close")
    player.start(TICK)
    player.close()
    assert player.name == "silent"
    assert len(player.notes()) == 2


def test_closing_silences_and_releases_and_later_calls_are_harmless(make):
    player, output = make()
    player.start(LONG, 10_000)
    player.close()
    assert output.log[-1] == "close"
    player.start(TICK)
    player.stop()
    player.close()
    assert output.log[-1] == "close"


def test_without_a_folder_a_temporary_one_is_deleted_with_the_player(make):
    player, output = make(folder=None)
    assert output.folder_existed and output.folder.name.startswith("pacer-")
    player.close()
    assert not output.folder.exists()


def test_a_read_only_folder_is_replaced_and_noted(make, tmp_path):
    (tmp_path / "file").write_text("")
    player, output = make(folder=tmp_path / "file")
    assert output.folder_existed and output.folder != tmp_path / "file"
    assert player.notes() == ("pacer can't store its sounds on this tablet, so it makes them each time.",)


@pytest.mark.parametrize("platform", ["android", "win", "macosx", "linux", "ios", "unknown"])
def test_every_platform_gets_a_player_even_without_kivy_and_plyer(platform, monkeypatch, tmp_path):
    for name in ("kivy", "kivy.core", "kivy.core.audio", "plyer"):
        monkeypatch.setitem(sys.modules, name, None)  # as if it were not installed
    player = open_player(platform, tmp_path)
    assert player.name == "silent"
    own = "The device's own player can't be reached."
    assert (own in player.notes()) == (platform in ("android", "win"))
    assert "The app's own player can't be loaded." in player.notes()
    player.close()


def test_stress_from_several_threads_ends_in_order(make, clock):
    player, output = make()
    barrier = threading.Barrier(4)

    def disturb(act: Callable[[int], None]):
        barrier.wait()
        for n in range(200):
            act(n)

    acts = [
        lambda n: player.start(TICK, n),
        lambda n: player.stop(n),
        lambda n: player.start(LONG, clock.ms + n % 7),
        lambda n: setattr(player, "muted", n % 5 == 0),
    ]
    threads = [threading.Thread(target=disturb, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    player.stop()
    player.muted = False
    player.start(STOP_ALL)
    output.wait_for((STOP_ALL.name, 100))
    assert player.notes() == ()
