"""Values: frozen dataclasses with slots, made in a quarter of the time.

Some ninety of them stand between a press on the icon and the first picture, and `dataclasses` compiles up to seven functions
for each (0.6 ms). Here comparing, hashing and showing are shared, and only `__init__` is compiled. Measured in `tests/bench/bench_value.py`.
"""

from __future__ import annotations

from dataclasses import MISSING, Field, FrozenInstanceError, dataclass, field, fields
from operator import attrgetter
from typing import TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def value(cls: type[T]) -> type[T]:
    """Make a class with annotated fields a value: in all that can be seen of it a `dataclass(frozen=True, slots=True)`.

    `fields`, `replace`, `asdict`, copies and patterns work as ever. A `field` may have a default, and leave out `repr` and `compare`.

    >>> @value
    ... class Swim:
    ...     distance: int
    ...     stroke: str = "free"
    >>> Swim(200), Swim(200) == Swim(200, "free"), Swim(200) == Swim(100)
    (Swim(distance=200, stroke='free'), True, False)
    """
    made = dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    members = fields(made)
    made.__init__ = _init(made, members)
    made._compared = _reader(tuple(each.name for each in members if each.compare))
    for name, method in _SHARED.items():
        if name not in cls.__dict__:
            setattr(made, name, method)
    return made


def _init(made: type, members: tuple[Field, ...]):
    """`__init__`: each slot is written through its own descriptor, since values refuse `setattr`."""
    scope: dict[str, object] = {"MISSING": MISSING}
    heads, body = [], []
    for each in members:
        name = given = each.name
        scope[f"put_{name}"] = getattr(made, name).__set__
        if each.default is not MISSING:
            scope[f"usual_{name}"] = each.default
            heads.append(f"{name}=usual_{name}")
        elif each.default_factory is not MISSING:
            scope[f"make_{name}"] = each.default_factory
            heads.append(f"{name}=MISSING")
            given = f"make_{name}() if {name} is MISSING else {name}"
        else:
            heads.append(name)
        body.append(f" put_{name}(self, {given})")
    exec(f"def __init__({', '.join(['self', *heads])}):\n" + ("\n".join(body) or " pass"), scope)
    made_init = scope["__init__"]
    made_init.__qualname__ = f"{made.__qualname__}.__init__"
    return made_init


def _reader(names: tuple[str, ...]):
    """What two of a class are compared by, read in one go."""
    return staticmethod(attrgetter(*names) if names else lambda _self: ())


def _eq(self, other):
    if other.__class__ is self.__class__:
        return self._compared(self) == other._compared(other)
    return NotImplemented


def _hash(self):
    return hash(self._compared(self))


def _repr(self):
    shown = ", ".join(f"{each.name}={getattr(self, each.name)!r}" for each in fields(self) if each.repr)
    return f"{self.__class__.__qualname__}({shown})"


def _reduce(self):
    return self.__class__, tuple(getattr(self, each.name) for each in fields(self))


def _no_setting(self, name, _value):
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_deleting(self, name):
    raise FrozenInstanceError(f"cannot delete field {name!r}")


_SHARED = {"__eq__": _eq, "__hash__": _hash, "__repr__": _repr, "__reduce__": _reduce, "__setattr__": _no_setting, "__delattr__": _no_deleting}
