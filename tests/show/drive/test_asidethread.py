"""Work aside: the newest is done, the one before ends where it stands."""

import threading

import pytest

from pacer.show.drive.asidethread import Aside
from pacer.timeline.cancellation import step


@pytest.fixture
def aside():
    made = Aside("test")
    yield made
    made.drop()


def test_a_job_is_done(aside):
    done = threading.Event()
    aside.put(done.set)
    assert done.wait(5)


def test_a_job_that_is_dropped_ends_where_it_stands_and_says_nothing(aside):
    begun, ended, finished = threading.Event(), threading.Event(), threading.Event()

    def long() -> None:
        try:
            begun.set()
            while True:
                step()
        finally:
            ended.set()
        finished.set()

    aside.put(long)
    assert begun.wait(5)
    aside.drop()
    assert ended.wait(5) and not finished.is_set()


def test_a_newer_job_takes_the_place_of_the_one_before(aside):
    begun, ended, done = threading.Event(), threading.Event(), threading.Event()

    def long() -> None:
        try:
            begun.set()
            while True:
                step()
        finally:
            ended.set()

    aside.put(long)
    assert begun.wait(5)
    aside.put(done.set)
    assert done.wait(5) and ended.wait(5)


def test_dropping_what_is_over_does_nothing(aside):
    aside.put(lambda: None)
    aside.drop()
    aside.drop()
