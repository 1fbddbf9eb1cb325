"""What a running session counts down to, and says, without a device."""

from __future__ import annotations

from pacer.session.journal.entries import Begun
from pacer.session.running.replay import replay
from pacer.show.drive.soundplan import lanes_that_sound, spoken
from pacer.signal.clip import LONG_MS
from pacer.signal.clipschedule import SECTION_START, Sound
from tests.face.sessions import timeline

ZERO = 5_000_000
RUN = replay(timeline(3), [Begun(at_ms=-10_000, boot_ms=ZERO, wall_ms=0)])


def test_the_section_that_starts_is_spoken_after_its_long_beep():
    starts = Sound(ZERO, (SECTION_START,))
    assert spoken(RUN, [starts]) == (ZERO + LONG_MS, RUN.timeline.plan.sections[0].name)
    assert spoken(RUN, [Sound(ZERO, (0,))]) is None and spoken(RUN, []) is None
    assert spoken(RUN, [Sound(ZERO + 1, (SECTION_START,))]) == (ZERO + 1 + LONG_MS, "")


def test_lanes_sound_by_their_number_on_the_wall():
    numbers = [lane.number for lane in RUN.timeline.lanes]
    assert lanes_that_sound(RUN, [numbers[2], 98, numbers[0]]) == [2, 0]
