"""While somebody types.

Threads give way sooner and what there was is not looked through; afterwards all is as it was.
"""

import gc
import sys
import weakref

from pacer.face.kit.garbagecollection import TypingPace
from pacer.threadswitching import SWITCH_S


def test_all_is_as_it_was_afterwards():
    before = sys.getswitchinterval(), gc.get_freeze_count()
    pace = TypingPace()
    assert abs(sys.getswitchinterval() - SWITCH_S) < 1e-5 and not gc.isenabled() and gc.get_freeze_count() > before[1]
    pace.close()
    pace.close()
    assert abs(sys.getswitchinterval() - before[0]) < 1e-5 and gc.isenabled() and gc.get_freeze_count() <= before[1]


def test_garbage_made_meanwhile_goes_when_fingers_rest():
    class Thing:
        pass

    pace = TypingPace()
    try:
        thing = Thing()
        thing.itself, gone = thing, weakref.ref(thing)
        del thing
        assert gone() is not None
        pace.rest()
        assert gone() is None
    finally:
        pace.close()
