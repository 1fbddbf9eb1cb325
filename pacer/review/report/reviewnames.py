"""Names for the lanes, swimmers, sets and values of a review."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from pacer.language import tr
from pacer.plan.decimals import decimals, short_decimal
from pacer.plan.times import text_from_ms, to_tenth
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.timedsets import TimedSet

MOST_SET = 44  #: letters of a set's text; a longer one is named by its number


@dataclass(frozen=True, slots=True)
class ReviewNames:
    """The names in one review. `names`: use the swimmers' own names, only on the coach's own pages."""

    review: Review
    names: bool = False

    def lane(self, lane: int) -> str:
        """`lane 4`."""
        return tr("lane {lane}", lane=self.review.lanes[lane])

    def who(self, who: int) -> str:
        """`Kit`, or `lane 4, swimmer 2`."""
        person = self.review.people[who]
        if self.names and person.name:
            return person.name
        return tr("lane {lane}, swimmer {place}", lane=self.review.lanes[person.lane], place=person.place + 1)

    def short(self, who: int) -> str:
        """The same if the lane is beside it: `Kit`, or `2`."""
        person = self.review.people[who]
        return person.name if self.names and person.name else str(person.place + 1)

    def section(self, section: int) -> str:
        """A section's name, or else its number."""
        return self.review.sections[section] or tr("section {section}", section=section + 1)

    def set(self, section: int, line: int, text: str = "") -> str:
        """`Main set, 8 x 100 free`, or `Main set, set 2` where that would be long."""
        what = text.split(' "')[0].split(", ")[0]
        return f"{self.section(section)}, {(what if what and len(what) <= MOST_SET else tr('set {line}', line=line))}"

    def beside(self, table: TimedSet, other: TimedSet) -> str:
        """The name of a timed set after another one, without its section if that is the same."""
        said = self.timed(table)
        return said.removeprefix(f"{self.section(table.section)}, ") if table.section == other.section else said

    def timed(self, table: TimedSet) -> str:
        """The name of a timed set."""
        return self.set(table.section, table.line, table.text)


def seconds(ms: float, digits: int = 1) -> str:
    """Seconds without a sign, rounded halves up.

    >>> seconds(-4_150), seconds(4_000), seconds(1_240, 2)
    ('4.2 s', '4 s', '1.24 s')
    """
    scaled = int(abs(ms) * 10**digits / 1000 + 0.5)
    return f"{short_decimal(Fraction(scaled, 10**digits), digits)} s"


def percent(share: float | Fraction) -> str:
    """A share as a percentage without its sign, rounded halves up.

    >>> percent(Fraction(-1, 80)), percent(0.05)
    ('1.3%', '5.0%')
    """
    return f"{decimals(abs(Fraction(share)) * 100)}%"


def tenths_of(ms: float) -> str:
    """A time in tenths.

    >>> tenths_of(78_340), tenths_of(40_000)
    ('1:18.3', '0:40.0')
    """
    text = text_from_ms(to_tenth(ms))
    return text if "." in text else f"{text}.0"


def whole_time(ms: int) -> str:
    """A time to the second, rounded halves up."""
    return text_from_ms((ms + 500) // 1000 * 1000)
