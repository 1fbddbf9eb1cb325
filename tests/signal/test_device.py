import threading
import time

import pytest

from pacer.signal.device import READ_EVERY_MS, Device
from pacer.signal.slowcalls import Worker

PATIENCE_S = 5


class Fakes:
    """plyer's facades, all in one place; those in `raising` raise, those in `absent` are missing."""

    def __init__(self, absent=(), raising=(), status=None, exists=True):
        self.absent, self.raising = absent, raising
        self.log: list[tuple] = []
        self.status_value = status or {"percentage": 82.0, "isCharging": False}
        self.exists_value = exists
        self.asked = threading.Semaphore(0)
        self.opened_on: set[int] = set()

    def __call__(self, name):
        self.opened_on.add(threading.get_ident())
        return None if name in self.absent else Facade(self, name)


class Facade:
    def __init__(self, fakes, name):
        self.fakes, self._name = fakes, name

    def _did(self, *entry):
        if self._name in self.fakes.raising:
            self.fakes.asked.release()
            raise RuntimeError(f"{self._name} is broken")
        self.fakes.log.append(entry)
        self.fakes.asked.release()

    def exists(self):
        return self.fakes.exists_value

    def vibrate(self, time=1):
        self._did("vibrate", time)

    def speak(self, message=""):
        self._did("speak", message)

    def set_landscape(self, reverse=False):
        self._did("landscape")

    def set_portrait(self, reverse=False):
        self._did("portrait")

    def set_sensor(self, mode="any"):
        self._did("sensor", mode)

    @property
    def status(self):
        self._did("status")
        return self.fakes.status_value


ALL = ("vibrator", "tts", "battery", "orientation")


@pytest.fixture
def make():
    devices = []

    def made(fakes, platform="android", clock_ms=lambda: 0):
        devices.append(Device(platform, fakes, clock_ms))
        return devices[-1]

    yield made
    for device in devices:
        device.close(PATIENCE_S)


def settled(device: Device) -> Device:
    device.close(PATIENCE_S)
    return device


def test_with_everything_available_there_are_no_notes(make):
    fakes = Fakes()
    device = make(fakes)
    device.vibrate(300)
    device.turn("landscape"), device.turn("portrait"), device.turn("any")
    device.say("Lane four, last round")
    for _ in range(5):
        assert fakes.asked.acquire(timeout=PATIENCE_S)
    settled(device)
    spoken = ("speak", "Lane four, last round")
    assert set(fakes.log) == {("vibrate", 0.3), ("landscape",), ("portrait",), ("sensor", "any"), spoken}
    assert device.notes() == () and all(map(device.can, ALL))
    assert fakes.opened_on == {threading.get_ident()}  # only this thread finds the app's classes on Android


def test_missing_parts_are_reported_once_and_calls_do_nothing(make):
    device = make(Fakes(absent=ALL))
    for _ in range(2):
        device.vibrate(100), device.say("Go"), device.turn("any")
        assert device.battery() is None and device.lasts(60) is None and device.battery_warning(60) == ""
    assert len(device.notes()) == 4 and not any(map(device.can, ALL))
    assert all(note.endswith(".") and note[0].isupper() for note in device.notes())


def test_broken_parts_are_reported_once_and_not_tried_again(make):
    fakes = Fakes(raising=ALL)
    device = make(fakes)
    device.vibrate(100), device.turn("any"), device.say("Go")
    assert device.battery() is None
    for _ in range(4):
        assert fakes.asked.acquire(timeout=PATIENCE_S)
    settled(device)
    assert len(device.notes()) == 4 and not any(map(device.can, ALL))
    device.vibrate(100), device.turn("any"), device.say("Go")
    assert not fakes.asked.acquire(blocking=False)
    assert device.battery() is None and len(device.notes()) == 4


def test_a_device_without_a_motor_says_it_does_not_vibrate(make):
    device = make(Fakes(exists=False))
    assert device.notes() == ("This tablet can't vibrate for pacer.",)


@pytest.mark.parametrize("platform", ["linux", "win", "macosx"])
def test_a_desktops_screen_is_not_rotated(make, platform):
    fakes = Fakes()
    device = make(fakes, platform)
    device.turn("portrait")
    assert fakes.log == [] and not device.can("orientation")


def test_a_text_never_becomes_an_option_of_the_program_that_speaks(make):
    fakes = Fakes()
    device = make(fakes)
    device.say("- -")
    device.say("")
    device.say("-f /some/file")
    assert fakes.asked.acquire(timeout=PATIENCE_S)
    settled(device)
    assert fakes.log == [("speak", "f /some/file")]


def test_the_battery_is_read_on_a_thread_and_not_every_frame(make):
    fakes, now = Fakes(), [0]
    device = make(fakes, clock_ms=lambda: now[0])
    assert device.battery() is None  # it asks and does not wait
    assert fakes.asked.acquire(timeout=PATIENCE_S)
    for _ in range(100):
        device.battery()
    now[0] = READ_EVERY_MS
    fakes.status_value = {"percentage": 80, "isCharging": None}
    device.battery()
    assert fakes.asked.acquire(timeout=PATIENCE_S)
    settled(device)
    assert fakes.log == [("status",)] * 2
    assert (device.battery().percent, device.battery().charging, device.battery().at_ms) == (80, False, READ_EVERY_MS)


def read(device, *statuses):
    """Give the device these readings, ten minutes apart, without its thread."""
    for n, (percent, charging) in enumerate(statuses):
        device.facades["battery"].fakes.status_value = {"percentage": percent, "isCharging": charging}
        device.read(n * 600_000)
    device.asked_ms = 0  # just asked: no thread interferes
    return device


def test_the_estimate_uses_the_fall_since_unplugging(make):
    device = read(make(Fakes()), (50, False), (49, False), (48, False))
    assert device.lasts(253) is True and device.lasts(254) is False  # 3 % in 20 minutes: 38 % last 253
    assert "may last 253 min, the session needs 300" in device.battery_warning(300)
    read(device, (48, False), (60, True))
    assert device.lasts(600) is True and "wet deck" in device.battery_warning(60)
    read(device, (60, True), (59, False))
    assert device.lasts(117) is True and device.lasts(118) is False  # 49 % at the assumed worst rate


@pytest.mark.parametrize("percent", [None, 255, -100, "82", float("nan")])
def test_a_battery_without_readings_is_reported_as_missing(make, percent):
    device = read(make(Fakes()), (percent, None))
    assert device.battery() is None and device.notes() == ("This tablet doesn't report its battery level.",)


def test_speech_that_hangs_delays_nothing_and_only_the_newest_text_waits(make):
    entered, leave = threading.Event(), threading.Event()
    said = []

    class Slow:
        def speak(self, message=""):
            entered.set()
            said.append(message)
            leave.wait(PATIENCE_S)

    device = make(lambda name: Slow() if name == "tts" else None)
    device.say("first")
    assert entered.wait(PATIENCE_S)
    before = time.perf_counter()
    for text in ("second", "third", "fourth"):
        device.say(text)
    assert time.perf_counter() - before < 1  # it would hang for seconds
    entered.clear()
    leave.set()
    assert entered.wait(PATIENCE_S)
    settled(device)
    assert said == ["first", "fourth"]


def test_a_closed_worker_accepts_no_job():
    worker, done = Worker("test"), []
    worker.close()
    worker.put(lambda: done.append(1))
    assert done == []
