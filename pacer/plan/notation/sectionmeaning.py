"""The details after a section's name: its rounds, its time, its effort, its cue."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, ClassVar

from lark import Tree

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.model import Flexible, Section
from pacer.plan.notation.headerline import long_time
from pacer.plan.notation.linevalues import Node, Values, first_token, kind_of, last_token, text_of, trees_in
from pacer.plan.problem import Edit


class SectionMeaning(Values):
    """Reads what the details after a section's name mean."""

    def section(self, section: Section, tree: Tree[Token]) -> Section:
        values: dict[str, Any] = {}
        seen: dict[str, Node] = {}
        cues: list[Node] = []
        for node in tree.children:
            kind = {"IF_TIME": "rounds", "section_rounds": "rounds"}.get(kind_of(node), kind_of(node))
            if kind == "CUE":
                cues.append(node)
                continue
            if kind in seen:
                self.wrong(
                    node, tr("{said} given twice", said=self.SAID[kind]), tr("one of them is enough"), _out(node)
                )
                continue
            for one, other in self.EXCLUDING:
                if kind in (one, other) and (one if kind == other else other) in seen:
                    self.wrong(node, *self.EXCLUDING[one, other], _out(node))
            seen[kind] = node
            if isinstance(node, Token):
                values |= {"effort": node.value} if kind == "EFFORT" else self.TOLD_BY[node.type]
            elif kind == "rounds":
                values["rounds"] = self.count_of(trees_in(node)[0])
            else:
                token = last_token(node)
                try:
                    values[f"{node.data}_ms"] = long_time(token.text, token.start)
                except Mistake as mistake:
                    self.mistakes.append(mistake)
        if len(cues) > 1:
            self.wrong(cues[1], tr("only one cue per section"), tr("put both thoughts into one"))
        return replace(section, cue=first_token(cues[0]).value if cues else "", **values)

    TOLD_BY: ClassVar[dict[str, dict[str, Any]]] = {
        "RUN_ON": {"run_on": True},
        "IF_TIME": {"rounds": Flexible(0, 1)},
    }
    SAID: ClassVar = {
        "rounds": tr("the rounds are"),
        "EFFORT": tr("the effort is"),
        "RUN_ON": tr("“run on” is"),
        "for": tr("“for” is"),
        "at_most": tr("“at most” is"),
    }
    EXCLUDING: ClassVar = {
        ("for", "rounds"): (
            tr("“for” repeats until its time is up, so it has no count of rounds"),
            tr("keep one of them"),
        ),
        ("at_most", "rounds"): (tr("“at most” is swum once, so it has no count of rounds"), tr("keep one of them")),
        ("for", "at_most"): (tr("a section has “for” or “at most”, not both"), tr("keep one of them")),
        ("for", "RUN_ON"): (
            tr("a section that says “for” ends for all lanes together, so it can't run on"),
            tr("leave “run on” out, or write “at most”"),
        ),
    }


def _out(node: Node) -> Edit:
    """The edit that leaves a detail out."""
    first, last = first_token(node), last_token(node)
    said = text_of(node) if not isinstance(node, Token) else node.text
    return Edit(first.start, last.end, "", tr("without {said}", said=said))
