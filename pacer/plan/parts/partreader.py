"""Finds the parts of a coach's line: sets, rounds and rests, with their work, interval and rest.

One pass over the line's bits. A word that nobody knows makes the words after it part of the note, up to the next
comma, time or set: `200 easy, no fly` is never fly.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import takewhile

from pacer.plan.parts.bitkinds import Bit, Kind, kept
from pacer.plan.parts.cursor import BREAKS, CLOCK, Cursor
from pacer.plan.parts.details import detail, interval_in, pause, timed_ahead
from pacer.plan.parts.heads import count_after, counted_behind, head, rounds_head
from pacer.plan.parts.leftover import take_time
from pacer.plan.parts.manysets import (
    by_lanes,
    in_pieces,
    in_rounds,
    listed,
    mirrored,
    pieces,
    rests_apart,
    same_without,
    same_work,
)
from pacer.plan.parts.nextpart import broken_pieces, count_first, distance_first, next_begins
from pacer.plan.parts.partvalues import Part, Rounds, Swim
from pacer.plan.parts.shares import fills_again, shares_at

#: Words for a stroke that can mean nothing else, even after other words.
UNMISTAKABLE = frozenset({
    "bk", "bc", "brs", "br", "fr", "fs", "fc", "fl", "backstroke", "breaststroke", "freestyle", "butterfly",
    "breast", "free",
})  # fmt: skip
#: Words in front of a set that say nothing more than it does.
_EMPTY = ("set", "ladder", "pyramid", "of", "a", "the", "with", "do")
#: Words between lanes and the set that only they swim.
_ONLY_LANES = ("only", "just", "also", "do", "does", "swim", "swims", "extra", "an", "another", "have")
#: A swimmer's name in front of an interval.
_NAME = re.compile(r"[A-Z][a-z]+")
#: What can be with gear in front of a set.
_OF_GEAR = (Kind.GEAR, Kind.WITH, Kind.PLUS, Kind.COMMA, Kind.LEFT, Kind.RIGHT)
MOST_WORDS_LED = 2  #: other words in front of a word for a stroke


class PartReader:
    """Reads one line; `pool` is the length of the pool in the plan's unit."""

    def __init__(self, text: str, pool: int = 25) -> None:
        self.line, self.pool = Cursor(count_first(text)), pool
        self.led: tuple[Bit, ...] = ()  #: the bits in front of the first set
        self.ahead: dict[str, str] = {}  #: work in front of the first set
        self.common: dict[str, str] = {}  #: work in front of a colon, for all sets of the line
        self.gear: list[str] = []  #: gear there

    def read(self) -> list[Part]:
        """The parts of the line, in order; [] if it counts nothing that is swum."""
        self.line = distance_first(self.line)
        parts = self._parts()
        return parts if any(isinstance(part, Swim | Rounds) for part in parts) else []

    def _parts(self, closing: bool = False) -> list[Part]:
        """The parts up to the end of the line, or of the bracket."""
        line, parts, lead = self.line, list[Part](), list[Bit]()
        while (bit := line.bit()) is not None:
            if bit.kind is Kind.RIGHT:
                if closing:
                    break
                line.at += 1
            elif bit.kind is Kind.AGAIN and parts and not lead:
                line.at += 1
                parts = [again := Rounds(self._often_again(), parts)]
                if line.sees(0, Kind.WITH, Kind.REST):
                    self._behind(again)
            elif bit.kind is Kind.LEFT and not lead and (rounds := self._bracket_first()) is not None:
                parts.append(rounds)
            elif lead and not parts and (swim := counted_behind(line)) is not None:
                self._ahead(swim, lead)
                self._tail(swim)
                if line.sees(0, Kind.RIGHT):
                    line.at += 1
                    self._tail(swim)
                parts.append(swim)
            elif bit.kind is Kind.MIRRORED and not lead and (last := mirrored(line, parts)):
                self._tail(last)
            elif bit.kind is Kind.OTHERS and parts and not lead:
                parts[-1].notes.append(self.line.to_stop())
            elif (often := rounds_head(line)) is not None:
                parts.append(self._rounds(*often, lead))
            elif several := listed(line, self._tail) or by_lanes(line, self.pool, self._tail):
                self._ahead(several[0], lead)
                parts += several
            elif (here := line.at) is not None and (swim := head(line, self.pool)) is not None:
                alone, joined = bool(parts) and not lead, not line.sees(here - line.at - 1, Kind.COMMA, Kind.STOP)
                self._ahead(swim, lead)
                self._tail(swim)
                if alone:
                    same_work(swim, parts, self.ahead)
                in_pieces(parts, swim)
                same_without(parts, swim)
                if alone and swim.last and (rounds := in_rounds(parts, swim, joined)) is not None:
                    parts[:] = [rounds]
                    continue
                parts += swim.pieces or (rests_apart(swim) if swim.per else [swim])
            elif parts and not lead and (rest := pause(line)) is not None:
                parts.append(rest)
            elif parts and not lead and bit.kind is Kind.TIMES and line.sees(1, Kind.NUMBER) and line.set_ends(2):
                own, parts = parts, [Rounds(line.bits[line.at + 1].number, parts)]
                line.at += 2
                if not line.part_ends(0) and isinstance(own[-1], Swim):  # 4 x 50 free x 2 on 1:00
                    self._tail(own[-1])
            elif bit.kind in BREAKS and not lead:
                line.at += 1
            else:
                lead.append(bit)
                line.at += 1
        if lead and parts:
            parts[-1].notes.append(line.text[lead[0].start : lead[-1].end])
        return parts

    def _often_again(self) -> int:
        """How often all is swum: `do this four times`; 2 if it does not say."""
        if self.line.sees(0, Kind.NUMBER) and self.line.sees(1, Kind.TIMES):
            self.line.at += 2
            return self.line.bits[self.line.at - 2].number
        return 2

    def _ahead(self, swim: Swim, lead: list[Bit]) -> None:
        """The words right in front of a set are its work, or else a note."""
        if not self.led:
            self.led = tuple(lead)
        marked = False  # a colon or a dash: the work is that of all sets of the line
        end = 0  # of the note
        while lead and (lead[-1].kind in (*BREAKS, Kind.WITH) or lead[-1].text.casefold() in _EMPTY):
            last = lead.pop()
            marked = marked or last.kind in (Kind.COLON, Kind.DASH)
            end = max(end, last.end if last.kind is Kind.WITH else 0)
        work: list[Bit] = []
        while lead and lead[-1].kind is Kind.WORK and lead[-1].word not in [each.word for each in work]:
            work.insert(0, lead.pop())
        if not work:  # Brs kick, heels up, 4 x 25
            first = [*takewhile(lambda each: each.kind is Kind.WORK, lead)]
            if first and len({each.word for each in first}) == len(first) < len(lead):
                work, lead[: len(first)] = first, []
        related = any(each.kind is Kind.RELATION for each in lead)
        while lead and lead[-1].text.casefold() in ("a", "an", "the"):
            lead.pop()
        if lead and lead[-1].kind is Kind.RELATION:  # not fly 200
            lead += work
            work = []
        own = {each.word: each.says or each.text for each in work}
        if work and all(each.kind in _OF_GEAR for each in lead):  # kick with fins: 4 x 50, 2 x 25
            swim.gear += [each.text for each in lead if each.kind is Kind.GEAR]
            self.gear = [*swim.gear] if marked else []
            lead.clear()
        swim.notes += [each.text for each in work if kept(each)]
        if marked and not lead:
            self.common = own
        named = [each for each in {*lead[:1], *lead[-1:]} if each.kind is Kind.WORK and each.word == "ACTIVITY"]
        named += [each for each in lead[1:-1] if each.text.casefold() in ("drill", "drills")]
        drills = [each for each in named if each.text.casefold().startswith("drill")]
        if (drills or len(named) == 1) and not related:
            word = (drills or named)[0]
            own.setdefault("ACTIVITY", word.says or word.text)
        swim.work = {**self.common, **own, **swim.work}
        self.ahead = self.ahead or ({**own} if "ACTIVITY" in own else {})
        gear = [each.text for each in lead if each.kind is Kind.GEAR]
        if gear and not related:
            swim.gear += gear
            if any("pull" in each.casefold() for each in gear):
                swim.work.setdefault("ACTIVITY", "pull")
        swim.on = swim.on or interval_in(lead)
        timed_ahead(lead, swim)
        if lead and lead[0].kind is Kind.LANES:
            swim.lanes = lead.pop(0).says
            while lead and lead[0].text.casefold() in _ONLY_LANES:
                lead.pop(0)
        if lead and all(each.kind is Kind.SAID for each in lead):
            swim.said = [*(each.says or each.text for each in lead), *swim.said]
            lead.clear()
        if lead:
            swim.notes.insert(0, self.line.text[lead[0].start : max(lead[-1].end, end)])
            lead.clear()

    # ---- rounds

    def _rounds(self, often: int, bracket: bool, lead: list[Bit]) -> Rounds:
        if lead and lead[-1].kind is Kind.COLON and all(each.kind is Kind.WORK for each in lead[:-1]):
            self.common = {each.word: each.says or each.text for each in lead[:-1]}  # kick: 3 rounds of
        start = self.line.at
        self.line.inside += bracket
        rounds = Rounds(often, self._parts(closing=bracket))
        self.line.inside -= bracket
        signs = {bit.kind for bit in self.line.bits[start : self.line.at]}
        rounds.straight = bracket and Kind.SLASH in signs and not signs & {Kind.PLUS, Kind.COMMA, Kind.THEN}
        if lead:
            first = next((part for part in rounds.parts if isinstance(part, Swim)), None)
            if first is not None:
                self._ahead(first, lead)
        if bracket:
            self._behind(rounds)
        return rounds

    def _behind(self, rounds: Rounds) -> None:
        """What is said of rounds after their bracket."""
        if self.line.sees(0, Kind.RIGHT):
            self.line.at += 1
        tail = Swim()
        self._tail(tail, rounds=True)
        rounds.rest, rounds.on = (found[0] if found else "" for found in (tail.rest, tail.on))
        swims = [part for part in rounds.parts if isinstance(part, Swim)]
        if rounds.rest and not any(swim.on or swim.rest for swim in swims) and (rest := pause(self.line)) is not None:
            for swim in swims:  # 15s, 1 min between sets
                swim.rest = [rounds.rest]
            rounds.rest = rest.time
            if len(swims) == 1 and swims[0].ladder:
                swims[0].rest = tail.rest
        rounds.gear += tail.gear
        rounds.notes += [*tail.notes, *tail.said, *tail.work.values()]

    def _bracket_first(self) -> Rounds | None:
        """`{ 6 x 50 + 200 } x 3`: rounds whose count is after them."""
        line, here = self.line, self.line.at
        line.at += 1
        parts = self._parts(closing=True)
        if parts and line.sees(0, Kind.RIGHT):
            if line.sees(1, Kind.TIMES) and line.sees(2, Kind.NUMBER):
                often, ahead = line.bits[line.at + 2].number, 3
            elif line.sees(1, Kind.NUMBER) and line.sees(2, Kind.TIMES, Kind.ROUNDS):
                often, ahead = line.bits[line.at + 1].number, 3
            else:
                often = ahead = 0
            if often:
                line.at += ahead
                rounds = Rounds(often, parts)
                self._behind(rounds)
                return rounds
        line.at = here
        return None

    # ---- what is said of a set

    def _tail(self, swim: Swim, rounds: bool = False, timed: bool = False) -> None:
        """Everything up to the next part."""
        line, note = self.line, list[Bit]()
        told = len(swim.notes)
        related = False  # whether a word came after which nothing is swum

        def end_note() -> None:
            if note:
                swim.notes.append(line.text[note[0].start : note[-1].end])
                note.clear()

        while (bit := line.bit()) is not None and bit.kind not in (Kind.RIGHT, Kind.MIRRORED):
            if bit.kind is Kind.AGAIN and not related and fills_again(swim, 2):  # IM order twice
                line.at += 1
                continue
            counted = line.sees(1, Kind.NUMBER) and line.sees(2, Kind.TIMES)  # do this four times
            if bit.kind is Kind.AGAIN and (line.part_ends(1) or counted) and not related:
                break
            if bit.kind is Kind.OTHERS:
                end_note()
                swim.notes.append(self.line.to_stop())
                continue
            if not (rounds or related) and (made_pieces := pieces(line, swim)):
                end_note()
                swim.pieces = made_pieces
                return
            if not rounds and (count := count_after(line, bool(note))):
                if bit.kind is Kind.TIMES and fills_again(swim, count):
                    line.at += 2
                    continue
                if swim.often or swim.ladder:
                    if bit.kind is Kind.TIMES:
                        break
                else:
                    swim.often, swim.last = count, bit.kind is Kind.TIMES
                    line.at += 2
                    continue
            opens = bit.kind in (Kind.COLON, Kind.LEFT, Kind.AS)
            listed = any(each[:1].isdigit() for each in swim.notes)  # shares that can't be told apart
            if not (rounds or related or listed or note and not opens or swim.shares) and (
                made := shares_at(line, swim)
            ):
                end_note()
                swim.shares, at = made
                swim.shares_said, line.at = line.between(line.at, at), at
                continue
            if bit.text.casefold() in ("mostly", "mainly") and line.sees(1, Kind.WORK):
                swim.work[line.bits[line.at + 1].word] = line.bits[line.at + 1].text
                note.append(bit)
                line.at += 1
                continue
            if bit.text.casefold() in ("take", "have") and line.sees(1, *CLOCK):  # a rest of its own
                break
            if broken_pieces(line, self.pool, swim):
                end_note()
                start = line.at
                while (bit := line.bit()) is not None and bit.kind not in (Kind.COMMA, Kind.STOP, Kind.RIGHT):
                    line.at += 1
                swim.notes.append(line.between(start, line.at))
                continue
            if next_begins(line, self.pool, swim, bool(note)):
                break
            named = bool(note) and bit.kind is Kind.ON and _NAME.fullmatch(note[-1].text) is not None
            read = False if named else detail(line, swim, related, bool(note))
            if read is None:
                break
            if read:
                end_note()
                related = False
            elif bit.kind in BREAKS:
                glued = (after := line.bit(1)) is not None and after.start == bit.end  # pace +3
                joins = bit.kind is Kind.PLUS and (glued or line.sees(1, Kind.WORD, Kind.WORK))  # long + smooth
                if note and (bit.kind is Kind.SLASH or bit.text == "=" or joins):
                    note.append(bit)
                else:
                    end_note()
                    related = False
                line.at += 1
                if bit.kind is Kind.COMMA and self._work_again(swim):  # sprint, back easy
                    while line.sees(0, Kind.WORK):
                        note.append(line.bits[line.at])
                        line.at += 1
            elif bit.kind is Kind.LEFT:
                end_note()
                self._bracket(swim)
            elif bit.kind is Kind.WORK and not (related or rounds) and self._takes(swim, bit, note):
                swim.work[bit.word] = bit.says or bit.text
                swim.notes += [bit.text] * kept(bit)
                if note:
                    note.append(bit)
                line.at += 1
            elif bit.kind is Kind.SAID and not note and not related:
                swim.said.append(bit.says or bit.text)
                line.at += 1
            elif bit.kind is Kind.QUOTE:
                end_note()
                swim.notes.append(bit.text.strip('"“”'))
                line.at += 1
            else:
                related = related or bit.kind in (Kind.RELATION, Kind.ON, Kind.AT, Kind.HOLD, Kind.REST)
                note.append(bit)
                line.at += 1
        end_note()
        if not rounds and not timed:
            take_time(swim, told)
        for kind, word in self.common.items():
            swim.work.setdefault(kind, word)
        swim.gear = swim.gear or [*self.gear]
        if any(each.casefold().startswith("incl") for each in swim.notes):  # 400 easy incl 100 back
            swim.work.setdefault("STROKE", "choice")

    def _takes(self, swim: Swim, bit: Bit, note: list[Bit]) -> bool:
        """Whether a word of work is the set's: it has none of that kind, and few other words lead up to it."""
        if bit.word in swim.work and (bit.word not in self.common or swim.work[bit.word] != self.common[bit.word]):
            return False
        if bit.word == "EFFORT" and self.line.sees(-1, Kind.COMMA) and self.line.sees(1, Kind.WORD):
            return False  # 4 x 50, fast hands
        if bit.word == "EFFORT" and (note or swim.notes) and (self.line.bit(1) or bit).text.casefold()[:2] == "to":
            return False  # big push, easy to the end
        led = len(note) if all(each.kind is Kind.WORD for each in note) else MOST_WORDS_LED + 1
        sure = bit.text.casefold() in UNMISTAKABLE and led <= MOST_WORDS_LED or bit.text == "IM" and led == 1
        named = bit.text.casefold() in ("kick", "pull", "drill") and not swim.work and led == 1
        return not note or bit.word == "STROKE" and sure or named  # 100 tombstone kick

    def _work_again(self, swim: Swim) -> bool:
        """Whether words after a comma say another kind of work than the set's: they are about the way back."""
        ahead, again = 0, False
        while self.line.sees(ahead, Kind.WORK):
            word = self.line.bits[self.line.at + ahead].word
            again = again or word in swim.work and word not in self.common
            ahead += 1
        return again and ahead > 1

    def _bracket(self, swim: Swim) -> None:
        """A bracket: details of the set if all of it can be read as such, otherwise a note."""
        line, start, depth = self.line, self.line.at, 0
        while (bit := line.bit()) is not None:
            depth += (bit.kind is Kind.LEFT) - (bit.kind is Kind.RIGHT)
            line.at += 1
            if not depth:
                break
        end = line.bits[line.at - 1].start if not depth else len(line.text)
        inside = line.text[line.bits[start].end : end]
        inner = PartReader(inside, self.pool)
        trial = replace(swim, work=dict(swim.work), said=list(swim.said), gear=[], notes=[], on=[], rest=[], by_lane={})
        inner._tail(trial, timed=bool(swim.on or swim.rest))
        if not inner.line.ended or trial.notes:
            swim.notes.append(inside)
            return
        swim.work, swim.said, swim.shares = trial.work, trial.said, trial.shares
        swim.shares_said = swim.shares_said or trial.shares_said
        swim.on, swim.rest = swim.on or trial.on, swim.rest or trial.rest
        swim.hold, swim.trend = swim.hold or trial.hold, swim.trend or trial.trend
        swim.gear += trial.gear
        swim.by_lane |= trial.by_lane
