"""Names for the lanes, swimmers and sets of a review."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.language import tr
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
