"""One piece of work: its activity, stroke, effort and name, and notes about it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lark import Tree

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.model import NAMED, Activity, Effort, Stroke, Work
from pacer.plan.notation.linevalues import Values, leaves_in, trees_in
from pacer.plan.problem import Edit
from pacer.plan.regex import regex
from pacer.plan.words.sayings import KICKS_TO_A_PULL, ON_BACK
from pacer.plan.words.vocabulary import EFFORTS_SAID

#: Not a drill's name but the way out: `drill down, swim back`.
_DOWN = regex(r"(?:^|\s)(?:down|up|out),?\s+[^\W\d_]+$", re.IGNORECASE)
#: A drill of breaststroke by its name. Common practice, no source.
_PULLS = regex(rf"(?:{KICKS_TO_A_PULL})", re.VERBOSE | re.IGNORECASE)
#: Work about which nothing is said.
NOTHING = Work(None, None)  # type: ignore[arg-type]


class WorkMeaning(Values):
    """Reads work."""

    def work(self, tree: Tree[Token], base: Work, timed: bool) -> Work:
        """The work written in `tree`, with what it leaves out from `base`; None for what neither says."""
        return self.work_of(leaves_in(tree), timed, base)

    def work_of(self, tokens: Sequence[Token], timed: bool, base: Work = NOTHING) -> Work:
        """The work that these tokens say."""
        activity: Activity | None = None
        stroke: Stroke | None = None
        effort: Effort | str | None = None
        name: list[str] = []
        kinds: dict[str, Token] = {}
        for token in tokens:
            if token.type == "NAME":
                name.append(token.text)
            elif token.type == "ACTIVITY":
                if not token.text and token.value is activity:
                    continue  # a drill known by its name alone, with the word drill as well
                other = activity is not None and token.value not in NAMED
                if other and (activity in NAMED or timed and activity is Activity.KICK):
                    name += [token.text] if token.text else []
                elif activity is None or activity is token.value and not (name and activity in NAMED):
                    activity, kinds["ACTIVITY"] = token.value, token
                else:
                    self._two(tr("activity"), kinds["ACTIVITY"], token, "25 kick / 25 swim")
            elif token.type == "STROKE":
                if stroke is not None and stroke is not token.value:
                    self._two(tr("stroke"), kinds["STROKE"], token, "25 fly / 25 free")
                stroke, kinds["STROKE"] = token.value, token
            elif token.type == "EFFORT":
                if effort is not None and effort != token.value:
                    self._two(tr("effort"), kinds["EFFORT"], token, "25 fast / 25 easy")
                effort, kinds["EFFORT"] = token.value, token
        if name and not (activity or base.activity) and not self.mistakes:
            first = next(token for token in tokens if token.type == "NAME")
            drill = Edit(first.start, first.start, "drill ", f"drill {' '.join(name)}")
            self.wrong(
                first,
                tr("“{name}” of what?", name=" ".join(name)),
                tr("only drills, sculls and timed kicks can have a name"),
                drill,
            )
        elif name and stroke is Stroke.BACK and _DOWN.search(" ".join(name)) and not self.mistakes:
            words = [token for token in tokens if token.type in ("NAME", "STROKE")]
            self.mistakes.append(
                Mistake(
                    min(token.start for token in words),
                    max(token.end for token in words),
                    tr("how far out, and how far back?"),
                    tr("such as “as 25 drill / 25 swim”"),
                )
            )
        elif name and not self.mistakes and (said := effort_said(" ".join(name))):
            words = [token for token in tokens if token.type == "NAME"][-len(said.split()) :]
            self.mistakes.append(
                Mistake(
                    words[0].start,
                    words[-1].end,
                    tr("is “{said}” how hard it is swum, or the drill's name?", said=said),
                    tr("write {efforts_said}, or another name", efforts_said=EFFORTS_SAID[said]),
                    Edit(words[0].start, words[-1].end, EFFORTS_SAID[said]),
                )
            )
        on_back = any(token.type == "NOTE" and ON_BACK.fullmatch(str(token.value)) for token in tokens)
        if on_back and (activity or base.activity) is Activity.KICK:
            stroke = stroke or base.stroke or Stroke.BACK
        if name and not (stroke or base.stroke) and _PULLS.fullmatch(" ".join(name)):
            stroke = Stroke.BREAST
        return Work(
            activity or base.activity,
            stroke or base.stroke,
            effort or base.effort,
            " ".join(name) if name else base.name if activity in (None, base.activity) else "",
        )

    def _two(self, what: str, one: Token, other: Token, example: str) -> None:
        """Note that one piece of work has two of a kind."""
        self.wrong(
            other,
            tr("{one} or {other}? A part has only one {what}", what=what, one=one.value, other=other.value),
            tr("pick one, or split the repeat, such as “as {example}”", example=example),
            Edit(other.start, other.end, "", tr("without {other}", other=other.text)),
            Edit(one.start, one.end, "", tr("without {one}", one=one.text)),
        )

    @staticmethod
    def defaults(work: Work) -> Work:
        """The work with the defaults for what the plan leaves out."""
        activity = work.activity or Activity.SWIM
        stroke = work.stroke or (Stroke.FREE if activity is Activity.SWIM else None)
        return Work(activity, stroke, work.effort, work.name, work.activity is Activity.SWIM and work.stroke is None)

    @staticmethod
    def notes_of(work: Tree[Token]) -> list[str]:
        """The notes about a piece of work, in the coach's words."""
        return [token.value for token in leaves_in(work, "NOTE")]

    def cues_of(self, tree: Tree[Token]) -> list[str]:
        """The quoted cue of a stretch, a segment or a part."""
        return [token.value for token in leaves_in(tree, "CUE")]

    def cue_text(self, tree: Tree[Token]) -> str:
        """All that the swimmers are told about a stretch, a segment or a part."""
        return joined([*(note for work in trees_in(tree) for note in self.notes_of(work)), *self.cues_of(tree)])


def effort_said(name: str) -> str:
    """The end of a drill's name that is also said for an effort, or ""."""
    words = name.casefold().split()
    ends = (" ".join(words[at:]) for at in range(len(words)))
    return next((end for end in ends if end in EFFORTS_SAID), "")


def joined(cues: Sequence[str]) -> str:
    """Several cues as one, without repetitions.

    >>> joined(["long", "tall", "long"])
    'long; tall'
    """
    text = "; ".join(dict.fromkeys(cues))
    return text.replace('"', "'") if any(mark in text for mark in "“”„") else text
