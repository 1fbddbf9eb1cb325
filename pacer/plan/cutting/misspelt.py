"""A word that nobody knows, but that is near one that is known."""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.cutting.linemistakes import Mistake
from pacer.plan.problem import Edit


class Misspelt(Mistake):
    """`meant` is the word that it is near; `detail` an example of that."""

    def __init__(self, start: int, end: int, message: str, meant: str, *edits: Edit, detail: str = ""):
        hint = (
            tr("did you mean {meant}, as in {detail}?", meant=meant, detail=detail)
            if detail
            else tr("did you mean {meant}?", meant=meant)
        )
        super().__init__(start, end, message, hint, *edits)
        self.meant, self.detail = meant, detail

    def earlier(self, by: int) -> Misspelt:
        """The same, farther to the left; without its edits."""
        return Misspelt(self.start - by, self.end - by, self.message, self.meant, detail=self.detail)
