"""Values are to all eyes what `dataclasses` makes of the same class: checked against the standard library."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError, asdict, dataclass, field, fields, replace

import pytest

from pacer.value import value


class Kind:
    __slots__ = ()


def body(make):
    class Swim(Kind):
        """A swim."""

        distance: int
        stroke: str = "free"
        parts: list = field(default_factory=list)
        place: int = field(default=0, compare=False, repr=False)

        @property
        def twice(self) -> int:
            return 2 * self.distance

    # Annotations of a class in a function are read as they stand there.
    Swim.__qualname__ = Swim.__name__
    return make(Swim)


OURS, THEIRS = body(value), body(dataclass(frozen=True, slots=True))
ASKED = [((50,), {}), ((100, "back"), {}), ((100,), {"stroke": "back", "place": 3}), ((200, "fly", [1]), {}), ((200,), {"parts": [1]})]


@value
class Alone:
    pass


@value
class One:
    at_ms: int


def made(of):
    return [of(*given, **named) for given, named in ASKED]


def test_they_compare_show_and_read_alike():
    for ours, theirs in zip(made(OURS), made(THEIRS)):
        assert repr(ours) == repr(theirs) and asdict(ours) == asdict(theirs) and ours.twice == theirs.twice
    pairs = [(one, other) for one in range(len(ASKED)) for other in range(len(ASKED))]
    for one, other in pairs:
        assert (made(OURS)[one] == made(OURS)[other]) == (made(THEIRS)[one] == made(THEIRS)[other])
    assert [f.name for f in fields(OURS)] == [f.name for f in fields(THEIRS)] and OURS.__match_args__ == THEIRS.__match_args__
    assert OURS.__slots__ == THEIRS.__slots__ and not hasattr(made(OURS)[0], "__dict__")


def test_a_default_is_made_anew_each_time():
    one, other = OURS(1), OURS(2)
    assert one.parts == [] and one.parts is not other.parts


def test_they_hash_by_what_they_hold():
    assert hash(One(1)) == hash(One(1)) and len({One(1), One(1), One(2), Alone(), Alone()}) == 3
    assert One(1) != Alone() and One(1) != 1
    with pytest.raises(TypeError, match="unhashable"):
        hash(OURS(1))


def test_they_cannot_be_changed():
    swim = OURS(1)
    for change in (lambda: setattr(swim, "distance", 2), lambda: setattr(swim, "else_", 2), lambda: delattr(swim, "distance")):
        with pytest.raises(FrozenInstanceError):
            change()
    assert replace(swim, distance=2) == OURS(2) and swim.distance == 1


@pytest.mark.parametrize(("given", "named"), [((), {}), ((1, 2, 3, 4, 5), {}), ((1,), {"length": 3})])
def test_what_cannot_be_made_is_refused_alike(given, named):
    for kind in (OURS, THEIRS):
        with pytest.raises(TypeError, match=r"__init__\(\)"):
            kind(*given, **named)


def test_they_are_copied_and_matched():
    assert copy.copy(One(4)) == copy.deepcopy(One(4)) == pickle.loads(pickle.dumps(One(4))) == One(4)
    match One(7):
        case One(at_ms):
            assert at_ms == 7
