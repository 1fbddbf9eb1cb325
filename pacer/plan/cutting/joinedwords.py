"""Words that are written together: `fr-bk`, `K-D-S`, `SKPS`, `easy-fast`."""

from __future__ import annotations

import re

from pacer.plan.cutting.askedwords import one_to_other
from pacer.plan.cutting.grouplabels import GroupLabels
from pacer.plan.model import Activity, Stroke
from pacer.plan.words.linepatterns import FILLERS, FLOATS, GEAR_AFTER, INITIALS, LEAST_LENGTH, OF_BREATH, S_NEXT, WORK
from pacer.plan.words.sayings import SAYINGS, WATCHED
from pacer.plan.words.vocabulary import DETAILS


class JoinedWords(GroupLabels):
    """Reads words that hyphens or nothing at all separate."""

    def _hyphened(self, piece: str, at: int) -> bool:
        """`fr-bk by 25`: the two words with a slash between; `easy-fast` can mean other things too."""
        if self._many_hyphened(piece, at):
            return True
        one, dash, other = piece.replace("‑", "-").partition("-")
        (type_, value), (other_type, other_value) = (self.words.get(w.casefold(), ("", None)) for w in (one, other))
        if not dash or type_ not in ("ACTIVITY", "STROKE", "EFFORT") or type_ != other_type:
            return False
        end = at + len(piece)
        if type_ == "EFFORT":
            self.stop(one_to_other(self.text, self.tokens, at, end, str(value), str(other_value)))
            return True
        self.at = end
        self.add(type_, one, value, at, at + len(one))
        self.add("_SLASH", "", None, at + len(one), at + len(one) + 1)
        self.add(type_, other, other_value, end - len(other), end)
        return True

    def _many_hyphened(self, piece: str, at: int) -> bool:
        """`K-D-S`, `SKPS`: work in its order, with slashes between."""
        parts = piece.replace("‑", "-").split("-")
        if INITIALS.match(self.text, at) and len(parts) == 1:
            parts = list(piece)
        kinds = [
            ("ACTIVITY", Activity.SWIM) if part in ("S", "s") else self.words.get(part.casefold()) for part in parts
        ]
        if len(parts) < (2 if {*parts} & {"S", "s"} else 3) or len({kind and kind[0] for kind in kinds}) != 1:
            return False
        if kinds[0] is None or kinds[0][0] not in ("ACTIVITY", "STROKE"):
            return False
        self.at = at + len(piece)
        place = at
        for part, (type_, value) in zip(parts, [kind for kind in kinds if kind]):
            if place > at:
                self.add("_SLASH", "", None, place, place)
            self.add(type_, part, value, place, place + len(part))
            place += len(part) + (len(piece) > len(parts))
        return True

    def _swum(self, piece: str, end: int) -> bool:
        """Whether an S is swim: a capital after a distance, or kick, pull or drill come after its slash."""
        if piece == "S" and self.before == "NUMBER":
            return True
        behind = S_NEXT.match(self.text, end)
        return behind is not None and self.words.get(behind[1].casefold(), ("",))[0] == "ACTIVITY"

    def _gear_last(self, piece: str, at: int, end: int) -> bool:
        """Read gear after a drill's name, if the name ends there: `drill 6-3-6 fins`; return whether there was some."""
        gear = self.gear.get(piece.casefold(), "") if piece.casefold() not in FLOATS else ""
        more = GEAR_AFTER.match(self.text, end)
        behind = self._next_word(end)
        more = more if more and more[1].casefold() in self.gear else None
        goes_on = more or not behind or behind in DETAILS or piece.casefold() != "paddle"
        if not gear or self.before not in ("NAME", "GEAR", "ACTIVITY", "STROKE", "EFFORT") or not goes_on:
            return False
        if SAYINGS.fullmatch(f"{self.tokens[-1].text} {piece}"):  # doggy paddle
            return False
        self.at = end
        self.add("GEAR", piece, gear, at, end)
        self.naming = self.naming and more is None
        return True

    def _parts_of(self, far: int) -> bool:
        """Whether a distance after work between slashes is that of its parts: they fill each repeat."""
        whole = max((token.value for token in self.tokens if token.type == "NUMBER"), default=0)
        return self.before in WORK and LEAST_LENGTH <= far < whole and whole % (2 * far) == 0

    def _ends_a_name(self, piece: str, value: object, end: int) -> bool:
        """Whether an effort's word in a name is an effort: the app's own word, or another one that ends the name."""
        behind = self._next_word(end)
        return (
            piece.casefold() == value
            or not behind
            or behind in self.words
            or behind in FILLERS
            or bool(WATCHED.match(self.text[end:].lstrip()))
        )

    def _apart_from_names(self, at: int) -> bool:
        """Whether a cue begins here that no drill has in its name: how to breathe, what to watch."""
        saying = SAYINGS.match(self.text, at)
        watched = self.before == "NAME" and WATCHED.match(self.text, at)
        return bool(saying and saying["note"] and (watched or OF_BREATH.match(saying[0])))

    def _own_stroke(self, said: re.Match[str] | None) -> bool:
        """Read words for the stroke that each swimmer chooses, which are shown too; return whether there are any."""
        if said is None:
            return False
        self.at = said.end()
        self.add("STROKE", said[0], Stroke.CHOICE, said.start(), self.at)
        self.add("NOTE", said[0], said[0], said.start(), self.at)
        return True
