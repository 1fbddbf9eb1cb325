"""What an action would do, said before it is done."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pacer.session.journal.entries import Entry
from pacer.session.running.runstate import Run

if TYPE_CHECKING:
    from pacer.session.journal.recordentries import Record
    from pacer.session.running.outlook import Outlook


@dataclass(frozen=True, slots=True)
class Proposal:
    """What an action would do.

    `entry` None: it would do nothing, and `ways` say why. `ways` go from the longest to the shortest.
    """

    entry: Entry | Record | None
    ways: tuple[str, ...]
    asked_ms: int = 0
    run: Run | None = field(default=None, repr=False)
    told: Outlook | None = field(default=None, repr=False, compare=False)  #: its effect on each lane

    @property
    def says(self) -> str:
        """What it would do, in full."""
        return self.ways[0]
