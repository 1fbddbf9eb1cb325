"""Where the lines of a page belong: in sections, and in rounds inside rounds, by their indent."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.model import MAX_NESTING, Group, Item, Section
from pacer.plan.notation.pagelines import Row
from pacer.plan.problem import Edit, Problem

NOT_INDENTED = tr("nothing is indented below these rounds")


@dataclass(slots=True, kw_only=True)
class Block:
    """What lines belong to: a section."""

    items: list[Item] = field(default_factory=list)
    lines: int = 0  #: how many, including those that cannot be read


@dataclass(slots=True, kw_only=True)
class Rounds(Block):
    """The lines below `3 rounds`."""

    row: Row
    group: Group
    indent: str | None = None  #: the indent of the first line below it


class Blocks:
    """The sections of a page so far, and the parts of the last one that are still open."""

    def __init__(self) -> None:
        self.sections: list[Section] = []
        self.problems: list[Problem] = []
        self.section: Section | None = None
        self.head: Row | None = None  #: the row of the section's name
        self.body = Block()  #: what the section consists of so far
        self.rounds: list[Rounds] = []  #: the open ones, the innermost last
        self.above: Section | Group | Block | None = None  #: what a cue on the next line belongs to

    @property
    def innermost(self) -> Block:
        """What the next line belongs to."""
        return self.rounds[-1] if self.rounds else self.body

    # ---- sections

    def open_section(self, section: Section, row: Row | None) -> None:
        """Begin a section; its name is in `row`."""
        self.end_section()
        self.section = self.above = section
        self.head, self.body = row, Block()

    def end_section(self) -> None:
        """Close the open section and all its rounds."""
        if self.section is None:
            return
        while self.rounds:
            self.end_rounds()
        if not self.body.lines and self.head:
            self.problems.append(
                self.head.whole(tr("“{name}” has no sets yet", name=self.section.name), tr("write its sets below it"))
            )
        self.sections.append(replace(self.section, items=tuple(self.body.items)))
        self.section = None

    # ---- rounds

    def open_rounds(self, row: Row, group: Group) -> None:
        """Begin rounds; their lines follow, indented deeper."""
        if len(self.rounds) >= MAX_NESTING:
            self.problems.append(
                row.whole(
                    tr("rounds can be nested at most {max_nesting} deep", max_nesting=MAX_NESTING),
                    tr("write some of them in full"),
                )
            )
        self.rounds.append(Rounds(row=row, group=group))
        self.above = group

    def end_rounds(self) -> None:
        """Close the innermost rounds."""
        rounds = self.rounds.pop()
        if not rounds.lines:
            self.problems.append(
                rounds.row.whole(
                    NOT_INDENTED,
                    tr("put two more spaces before each set in them"),
                )
            )
        self.innermost.items.append(replace(rounds.group, items=tuple(rounds.items)))

    def place(self, row: Row) -> None:
        """Close the rounds that a line, by its indent, does not belong to."""
        if self.section is None:
            self.open_section(Section("", ()), None)
        while self.rounds:
            above = self.rounds[-1].row.indent
            if row.indent.startswith(above) and row.indent != above:
                break
            if not above.startswith(row.indent):
                self.problems.append(row.problem(_mixed(row, self.rounds[-1].indent or above)))
                break
            self.end_rounds()
        block = self.innermost
        block.lines += 1
        if not isinstance(block, Rounds):
            return
        if block.indent is None:
            block.indent = row.indent
        elif block.indent.startswith(row.indent) and row.indent != block.indent:
            self.problems.append(
                row.problem(
                    Mistake(
                        0,
                        row.start,
                        tr("the indent fits neither line above"),
                        tr("indent all lines of a group alike"),
                        Edit(0, row.start, block.indent, tr("indent it as above")),
                    )
                )
            )
        elif not row.indent.startswith(block.indent) and row.indent.startswith(block.row.indent):
            self.problems.append(row.problem(_mixed(row, block.indent)))


def _mixed(row: Row, indent: str) -> Mistake:
    return Mistake(
        0,
        row.start,
        tr("tabs and spaces are mixed: which rounds is this in?"),
        tr("indent all lines of a group alike"),
        Edit(0, row.start, indent, tr("indent it as above")),
    )
