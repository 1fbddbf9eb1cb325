"""Time factors: how much longer each kind of work takes than swimming at threshold.

A factor is looked up in the squad's, the lane's and the swimmer's own factors, merged by `merged_factors`,
and failing that in `DEFAULTS`. The most specific name found in any of them wins:
`drill six-kick switch` over `drill`, `kick back` over `kick`, `fins kick` over `fins`.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from pacer.language import tr
from pacer.plan.model import GEAR, Activity, Effort, Stroke, Work
from pacer.plan.words.vocabulary import SHORT_FORMS, SYNONYMS, near
from pacer.squad.names import MAX_NAME
from pacer.squad.refusal import Refused
from pacer.squad.squad import Lane, Squad, Swimmer

#: Common practice, no source. A squad sets its own, and the log refines them.
DEFAULTS: Mapping[str, Fraction] = {
    name: Fraction(hundredths, 100)
    for name, hundredths in {
        # activities
        "swim": 100, "pull": 103, "drill": 130, "kick": 145, "scull": 200,
        # strokes, for swim and pull
        "free": 100, "choice": 105, "fly": 106, "back": 110, "IM": 112, "breast": 122,
        # efforts; build is the mean of easy and fast
        "easy": 115, "steady": 107, "threshold": 100, "fast": 95, "sprint": 88,
        # gear
        "fins": 88, "fins kick": 72, "paddles": 97,
        "snorkel": 100, "buoy": 100, "board": 100, "ankle band": 100, "parachute": 100,
    }.items()
}  # fmt: skip

#: Bounds of a factor; a number beyond them is surely a slip.
LEAST_FACTOR, MOST_FACTOR = Decimal("0.2"), Decimal(5)
DECIMALS = 6  #: decimal places that a file may have

_ONE = Fraction(1)
_STROKED = (Activity.SWIM, Activity.PULL)  # activities to which the stroke's factor applies
_NAMED = (Activity.DRILL, Activity.SCULL, Activity.KICK)  # activities with named kinds
_FACTORED_STROKES = tuple(stroke for stroke in Stroke if stroke is not Stroke.IM_ORDER)


def activity_factor(work: Work, factors: Mapping[str, Fraction]) -> Fraction:
    """The factor of the work's activity, or of the kind that it names.

    >>> activity_factor(Work(Activity.KICK, Stroke.BACK), {"kick back": Fraction(3, 2)})
    Fraction(3, 2)
    """
    return _first_of(_activity_names(work.activity, work.stroke, work.name), factors)


def stroke_factor(work: Work, factors: Mapping[str, Fraction]) -> Fraction:
    """The factor of the work's stroke; 1 unless the activity is swim or pull.

    IM order has no factor: pass the work with the repeat's own stroke (KeyError otherwise).
    """
    if work.activity not in _STROKED or work.stroke is None:
        return _ONE
    return _first_of((work.stroke,), factors)


def effort_factor(effort: Effort | str, factors: Mapping[str, Fraction]) -> Fraction:
    """The factor of an effort; build's is the mean of easy's and fast's unless the squad sets it.

    >>> effort_factor(Effort.BUILD, {})
    Fraction(21, 20)
    """
    if effort is Effort.BUILD and effort not in factors:
        return (effort_factor(Effort.EASY, factors) + effort_factor(Effort.FAST, factors)) / 2
    return _first_of((effort,), factors)


def gear_factor(gear: str, activity: Activity, factors: Mapping[str, Fraction]) -> Fraction:
    """The factor of one piece of gear with an activity; 1 for gear that a squad adds without a factor."""
    return _first_of((f"{gear} {activity}", gear), factors, _ONE)


def merged_factors(squad: Squad, lane: Lane, swimmer: Swimmer | None = None) -> Mapping[str, Fraction]:
    """The squad's factors, overridden by the lane's own, then by the swimmer's; `DEFAULTS` is not included."""
    own = lane.factors if swimmer is None else {**lane.factors, **swimmer.factors}
    return {**squad.factors, **own} if own else squad.factors


def factor_name(text: str, gear: tuple[str, ...] = ()) -> str:
    """A factor's name in its standard form; `gear` lists the words that the squad adds.

    Raises Refused if the text is not the name of a factor, and offers a similar name if there is one.

    >>> factor_name("drill  six-kick switch"), factor_name("drill switch back")
    ('drill six-kick switch', 'drill back switch')
    """
    words = text.lower().split()
    name = " ".join(words)
    if not name.isprintable() or len(name) > MAX_NAME:
        raise Refused(
            tr("a factor's name has at most {max_name} characters, none of them invisible", max_name=MAX_NAME)
        )
    plain = {word.lower(): str(word) for word in (*Activity, *_FACTORED_STROKES, *Effort, *GEAR, *gear)}
    if name in plain:
        return plain[name]
    with_gear = {f"{word.lower()} {activity}": f"{word} {activity}" for word in (*GEAR, *gear) for activity in Activity}
    if name in with_gear:
        return with_gear[name]
    if name == Stroke.IM_ORDER.lower():
        raise Refused(tr("IM order is swum stroke by stroke"), tr("set fly, back, breast and free"))
    if words and words[0] in _NAMED:
        return _kind_of_activity(words)
    if words and words[0] in _STROKED:
        raise Refused(
            tr("{word} has one factor for all strokes", word=words[0]),
            tr("set {word}, or a stroke such as back", word=words[0]),
        )
    meant = near(SHORT_FORMS.get(name) or SYNONYMS.get(name) or name, tuple((plain | with_gear).values()))
    hint = (
        tr("did you mean {meant}?", meant=meant)
        if meant
        else tr("give a factor to an activity, a stroke, an effort, gear, or drill, scull or kick with a name")
    )
    raise Refused(tr("this is not the name of a factor"), hint)


def _kind_of_activity(words: list[str]) -> str:
    """`drill`, `scull` or `kick` with a stroke, a name or both, in the form that `_activity_names` uses."""
    strokes = [stroke for stroke in _FACTORED_STROKES if stroke.lower() in words[1:]]
    efforts = [effort for effort in Effort if effort in words[1:]]
    if efforts:
        raise Refused(
            tr("{effort} has a factor of its own", effort=efforts[0]), tr("leave {effort} out here", effort=efforts[0])
        )
    if len(strokes) > 1:
        raise Refused(
            tr("a factor's name has only one stroke"),
            tr(
                "write {word} {stroke} and {word} {second_stroke}",
                word=words[0],
                stroke=strokes[0],
                second_stroke=strokes[1],
            ),
        )
    rest = [word for word in words[1:] if word not in [stroke.lower() for stroke in strokes]]
    return " ".join([words[0], *strokes, *rest])


@lru_cache(maxsize=1024)
def _activity_names(activity: Activity, stroke: Stroke | None, name: str) -> tuple[str, ...]:
    """The names under which the factor may be set, the most specific first."""
    names = [str(activity)]
    if activity in _NAMED:
        kind = " ".join(name.lower().split())
        if stroke:
            names.insert(0, f"{activity} {stroke}")
        if kind:
            names.insert(0, f"{activity} {kind}")
        if stroke and kind:
            names.insert(0, f"{activity} {stroke} {kind}")
    return tuple(names)


def _first_of(names: tuple[str, ...], factors: Mapping[str, Fraction], otherwise: Fraction | None = None) -> Fraction:
    for name in names:
        if (factor := factors.get(name)) is not None or (factor := DEFAULTS.get(name)) is not None:
            return factor
    if otherwise is None:
        raise KeyError(names[-1])
    return otherwise
