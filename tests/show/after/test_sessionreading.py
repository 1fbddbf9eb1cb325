"""Earlier sessions are read on another thread: nobody waits, and what is there so far can be shown."""

import threading
import time

import pytest

from pacer.session.storage.store import StoreTrouble
from pacer.show.after.sessionreading import SessionReading


@pytest.fixture
def reading():
    """A reading of four sessions that waits for `go` before each, and what was read on which thread."""
    go, read = threading.Semaphore(0), []

    def one(budget_s):
        assert go.acquire(timeout=10)
        read.append(threading.current_thread())
        return 4 - len(read)

    made = SessionReading(one)
    yield made, go, read
    made.drop()
    go.release(9)


def until(found):
    end = time.monotonic() + 10
    while not found():
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.001)


def test_nobody_waits_and_every_go_is_told(reading):
    made, go, read = reading
    made.begin()
    assert (made.unread, made.goes, read) == (None, 0, [])
    for left in (3, 2, 1, 0):
        go.release()
        until(lambda left=left: made.unread == left)
        assert made.goes == 4 - left
    assert threading.current_thread() not in read


def test_what_is_there_at_once_is_waited_for():
    made = SessionReading(lambda budget_s: 0)
    made.begin(10)
    assert (made.unread, made.goes, made.trouble) == (0, 1, "")


def test_what_nobody_wants_is_not_read(reading):
    made, go, read = reading
    made.begin()
    go.release()
    until(lambda: made.unread == 3)
    made.drop()
    go.release(3)
    until(lambda: not any(thread.name == "sessions" for thread in threading.enumerate()))
    assert len(read) <= 2 and made.unread == 3


@pytest.mark.parametrize(
    ("wrong", "said"), [(StoreTrouble("The disk is gone."), "The disk is gone."), (ValueError("x"), "can't be read")]
)
def test_trouble_is_said_and_ends_it(wrong, said):
    def one(budget_s):
        raise wrong

    made = SessionReading(one)
    made.begin(10)
    assert made.unread == 0 and said in made.trouble and made.goes == 1
