"""One way to say what is wrong with a file, used by plans and squads alike."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from pacer.language import tr, tr_n

MAX_SHOWN = 50  #: problems to list; the rest are only counted


@dataclass(frozen=True, slots=True, order=True)
class Edit:
    """A way to fix a line: put `text` in place of columns `start` to `end` (from 0). `says` names it, "" for `text`."""

    start: int
    end: int
    text: str
    says: str = ""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """An error in a file: where it is, what is wrong, what would be right.

    `line` and the columns count from 1, `end_column` is exclusive; columns count characters, a tab
    as one. `source` is the line itself, "" if there is none to show. `edits` are ways to fix it, the
    likeliest first. `whole_page`: it is about the page and only shown at this line.
    """

    line: int
    column: int
    end_column: int
    message: str
    hint: str = ""
    source: str = ""
    edits: tuple[Edit, ...] = field(default=(), compare=False)
    whole_page: bool = field(default=False, compare=False)

    @property
    def said(self) -> str:
        """What is wrong and, in brackets, what would be right."""
        return f"{self.message} ({self.hint})" if self.hint else self.message

    def said_of(self, file: str) -> str:
        """The same with its file and line, in one row."""
        return tr("{file}, line {line}: {said}", file=file, line=self.line, said=self.said)

    def text(self, file: str) -> str:
        """The problem as a coach reads it: place, line, caret, hint.

        >>> print(Problem(7, 16, 20, "seconds go from 00 to 59, not 75",
        ...               "write 2:15 for two minutes fifteen", "    8 x 50 free on 1:75").text("thursday.txt"))
        thursday.txt:7:16: seconds go from 00 to 59, not 75
            8 x 50 free on 1:75
                       ^^^^
        hint: write 2:15 for two minutes fifteen
        """
        rows = [f"{file}:{self.line}:{self.column}: {self.message}"]
        if self.source.strip():
            # Keep tabs in front of the caret, so that it is right below the error.
            lead = "".join("\t" if c == "\t" else " " for c in self.source[: self.column - 1])
            rows.append(self.source)
            rows.append(lead + "^" * max(1, self.end_column - self.column))
        if self.hint:
            rows.append(tr("hint: {hint}", hint=self.hint))
        return "\n".join(rows)


class Unreadable(Exception):
    """A file cannot be read as what it should be; `problems` lists all errors, in order."""

    def __init__(self, problems: list[Problem]):
        self.problems = sorted(problems)
        super().__init__(tr_n("{n} problem", "{n} problems", len(problems)))

    def text(self, file: str) -> str:
        """All problems, one below another."""
        return "\n\n".join(problem.text(file) for problem in self.problems)


def unreadable(problems: list[Problem]) -> Unreadable:
    """All problems, or the first `MAX_SHOWN` and how many more there are."""
    problems = sorted(problems)
    if len(problems) > MAX_SHOWN:
        more, next_one = len(problems) - MAX_SHOWN, problems[MAX_SHOWN]
        rest = tr("{more:,} more problems from here on", more=more) if more > 1 else tr("one more problem here")
        problems = [
            *problems[:MAX_SHOWN],
            replace(next_one, message=rest, hint=tr("start with the first: the others may have the same cause")),
        ]
    return Unreadable(problems)
