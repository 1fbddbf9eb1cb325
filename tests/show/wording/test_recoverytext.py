"""What is told of a session that was broken off."""

import pytest

from pacer.session.journal.entries import Begun, Paused, Stopped
from pacer.session.storage.recovery import recovered
from pacer.session.timesource import Now
from pacer.show.wording.recoverytext import recall_words, running_again
from tests.face.sessions import timeline

BEGUN = Begun(0, 5_000_000, 1_800_000_000_000, "+00:00", "boot 1")


def said(at_ms, *journal, boot="boot 1", wall_ms=0):
    instant = Now(5_000_000 + at_ms, 1_800_000_000_000 + at_ms + wall_ms, boot)
    return " ".join(
        text for words in recall_words(recovered(timeline(3), (BEGUN, *journal), instant)) for text in words
    )


def test_where_it_is_by_now():
    assert said(30_000).startswith(
        "Long-axis rotation 3 is running"
    ) and "the session was 0:30 in, in Warm-up. Its clock is still running." in said(30_000)
    assert "in Main set" in said(400_000)


def test_lanes_that_wait():
    assert "2 lanes are paused." in said(300_000, Paused(250_000, (0, 2))) and "1 lane is paused." in said(
        300_000, Paused(250_000, (1,))
    )


def test_that_all_were_stopped_and_stay_so():
    words = said(300_000, Stopped(250_000))
    assert words.endswith("STOP ALL was pressed: all lanes stay stopped. Resume the session?") and "paused" not in words


def test_that_all_lanes_are_paused():
    words = said(300_000, Paused(250_000))
    assert words.endswith("All lanes are paused. Resume the session?") and "never stopped" not in words


@pytest.mark.parametrize(
    ("entries", "what"),
    [
        ((), "Long-axis rotation 3 was running and resumes as if it had never stopped."),
        ((Paused(250_000, (1,)),), "Long-axis rotation 3 was running and is running again: 1 lane is paused."),
        ((Paused(250_000),), "Long-axis rotation 3 was running and is running again: all lanes are paused."),
        (
            (Stopped(250_000),),
            "STOP ALL was pressed in Long-axis rotation 3: all lanes stay stopped until you resume them.",
        ),
    ],
)
def test_what_is_said_over_the_session_that_is_on_the_screen_again(entries, what):
    found = recovered(timeline(3), (BEGUN, *entries), Now(5_300_000, 1_800_000_300_000, "boot 1"))
    assert running_again(found, "Long-axis rotation 3") == f"{what} To start another session, end this one first."


def test_before_its_zero():
    assert "When pacer opened, the session had not started." in said(-4_000)


def test_a_reboot_is_said():
    assert "restarted" in said(60_000, boot="boot 2") and "anew" not in said(60_000)


def test_a_clock_that_was_set_is_said_where_it_could_be_a_reboot():
    words = " ".join(
        text
        for part in recall_words(
            recovered(
                timeline(3),
                (Begun(0, 5_000_000, 1_800_000_000_000, "+00:00", ""),),
                Now(5_060_000, 1_800_003_660_000, ""),
            )
        )
        for text in part
    )
    assert "time of day has changed" in words


def test_long_over():
    words = said(9 * 3_600_000)
    assert "was left running" in words and "Resume the session or end it" in words
