"""A session run second by second, by the written rules alone: the engine must give the same result.

It knows whole seconds, lines on an interval, and sections that start together. It shares nothing with the
engine: every second, lanes walk through a list of repeats.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import count

CHANGEOVER, STARTS, CLOCK, GRACE, NOTICE = 60, 30, 5, 5, 5


@dataclass
class Repeat:
    section: int
    interval: int
    swims: list[int]  #: seconds of each swimmer
    spacing: int
    line: int = 0  #: of its section
    missed: bool = False
    turns: int = 1  #: how often it reaches the home wall, where swimmers who break off stop
    nth: int = 0  #: which one of its line
    number: int = field(default_factory=count().__next__)  #: copies of a repeat keep its number

    @property
    def takes(self) -> int:
        """From the leader's send-off to the last touch, if all leave."""
        return max(k * self.spacing + swim for k, swim in enumerate(self.swims))

    def stopped_short(self, since: int) -> bool:
        """Whether somebody stops at the home wall before the end, if told to break off `since` the leader left."""
        swum = [(since - k * self.spacing, swim) for k, swim in enumerate(self.swims)]
        return any(-(-min(on, swim) * self.turns // swim) < self.turns for on, swim in swum if on >= 0)


@dataclass
class Lane:
    repeats: list[Repeat]
    place: int = 0  #: the repeat it leaves on next
    next_at: int | None = 0  #: when; None: with the others, when its section starts
    sent: list[tuple[int, int]] = field(default_factory=list)  #: (second, repeat) of its past send-offs
    ended: int = 0  #: last touch so far
    held_at: int | None = None
    again: bool = False  #: resumed, it swims its last repeat again
    cuts: dict[int, int] = field(default_factory=dict)  #: by second of a send-off: when its repeat was broken off
    came: int = 0  #: when it came to its current section
    swam: bool = False  #: whether it has swum any of it
    alone: bool = False  #: nobody waits for it: it has to be at the common starts in time
    until: int | None = None  #: it has to finish its section by then; None: any time
    ahead: list[tuple[int, int]] = field(default_factory=list)  #: its later send-offs, as far as known
    ends: int = 0  #: its last touch, as far as known
    touched: int = 0  #: while it waits: the last touch of those who had left
    shut: dict[int, int] = field(
        default_factory=dict
    )  #: by second of a send-off: after this, nobody left on it any more
    starts: dict[int, int] = field(default_factory=dict)  #: when it comes to each section, as far as known
    through: tuple[int, int] = (
        99,
        0,
    )  #: a section to which it has come but which it does not swim to the end, and when that would have ended

    #: by section: what it never swims because there was no time for it when something was added
    gone: dict[int, list[Repeat]] = field(default_factory=dict)

    @property
    def last(self) -> list[int]:
        """The repeat on which it left last, if it has left."""
        return [index for _, index in self.sent[-1:]]

    @property
    def cut(self) -> bool:
        """Whether its last repeat was broken off before its end."""
        second, index = self.sent[-1] if self.sent else (0, 0)
        return second in self.cuts and self.repeats[index].stopped_short(self.cuts[second] - second)

    def hardly(self, lanes: list[Lane]) -> bool:
        """Whether its last repeat was broken off before a length of it was swum, in one lane stopped on it with it."""
        if not self.cut or any(index in self.last for _, index in self.ahead):
            return False
        told, last = self.cuts[self.sent[-1][0]], self.repeats[self.sent[-1][1]]
        for lane in lanes:
            for second, index in lane.sent:
                repeat = lane.repeats[index]
                alike = (repeat.section, repeat.line, repeat.nth) == (last.section, last.line, last.nth)
                if alike and lane.cuts.get(second) == told and (told - second) * 2 * repeat.turns < repeat.swims[0]:
                    return True
        return False

    @property
    def begins(self) -> bool:
        """Whether its next repeat is the first of its section."""
        return not self.place or self.repeats[self.place - 1].section < self.repeats[self.place].section


class Naive:
    """The whole session. `now` is the current second."""

    def __init__(self, lanes: list[list[Repeat]]):
        self.now = -1
        self.lanes = [Lane(repeats) for repeats in lanes]
        self.gates: dict[int, int] = {}
        self.lines = {r.section: r.line for lane in self.lanes for r in lane.repeats}  #: how many each section has
        self._foresee_all()

    # -- looking ahead, second by second ----------------------------------------------------------

    def _foresee_all(self, lanes: list[Lane] | None = None) -> None:
        """Let lanes walk on together, and find later common starts on the way."""
        lanes = self.lanes if lanes is None else lanes
        walking = deepcopy(lanes)
        going = [lane for lane in walking if lane.place < len(lane.repeats)]
        for lane in going:
            section = lane.repeats[lane.place].section
            if lane.begins and any(other.repeats[other.place].section < section for other in going):
                lane.next_at = None
        reached = [lane.repeats[lane.place].section - (lane.next_at is None) for lane in going]
        old, self.gates = self.gates, {s: at for s, at in self.gates.items() if s <= min(reached, default=99)}
        left_in = {lane.repeats[i].section for lane in self.lanes for _, i in lane.sent}
        over = {
            s for s in left_in if old.get(s, 10**6) <= self.now
        }  # a past start at which somebody left stays, even if other lanes are behind it
        begun = [(lane.repeats[lane.place].section, lane) for lane in going if lane.next_at is not None and lane.begins]
        for section, lane in begun:
            at = lane.starts.setdefault(section, lane.next_at)
            self.gates[section] = old[section] if section in over else at
        for section, lane in begun:
            if lane.starts[section] != self.gates.get(section) and section not in over:  # each by itself
                self.gates.pop(section, None)
        midst = {lane.repeats[lane.place].section for lane in going if not lane.begins}
        for lane in walking:
            lane.ahead, lane.alone = [], False
        self._walk(walking, 0)
        for lane, walked in zip(lanes, walking):
            lane.ahead, lane.ends, lane.starts = walked.ahead, walked.ended, walked.starts
        for section in midst & old.keys() - {
            section for section, _ in begun
        }:  # a lane that sat out the first repeat of a section has come to it anyway
            self.gates.setdefault(section, old[section])
        for section in over:
            self.gates[section] = old[section]

    def _foresee(self, lane: Lane, latest: int) -> None:
        """Let one lane walk on alone, between common starts that stay as they are."""
        walking = deepcopy(lane)
        walking.ahead, walking.alone = [], True
        if walking.next_at is not None:
            self._limit(walking, latest)
        self._walk([walking], latest)
        lane.ahead, lane.ends, lane.starts = walking.ahead, walking.ended, walking.starts

    def _walk(self, lanes: list[Lane], latest: int) -> None:
        second = min([self.now, *(lane.ended if lane.next_at is None else lane.next_at for lane in lanes)])
        while any(lane.place < len(lane.repeats) for lane in lanes):
            for lane in lanes:
                while lane.place < len(lane.repeats) and lane.next_at == second:
                    self._leave(lane, second)
                    self._open_sections(lanes, latest)
            self._open_sections(lanes, latest)
            second += 1
            assert second < 100_000

    def _leave(self, lane: Lane, second: int) -> None:
        repeat = lane.repeats[lane.place]
        if lane.until is not None and second + repeat.takes > lane.until:
            self._give_up(lane)
            return
        if not repeat.missed:
            lane.ahead.append((second, lane.place))
            lane.ended, lane.swam = max(lane.ended, second + repeat.takes), True
        lane.place += 1
        if lane.place < len(lane.repeats) and lane.repeats[lane.place].section == repeat.section:
            lane.next_at = second + repeat.interval
            if lane.until is not None and lane.next_at + lane.repeats[lane.place].takes > lane.until:
                self._give_up(lane)
        else:
            lane.next_at = lane.until = None

    @staticmethod
    def _give_up(lane: Lane) -> None:
        """Drop the rest of the section, which does not fit."""
        section = lane.repeats[lane.place].section
        while lane.place < len(lane.repeats) and lane.repeats[lane.place].section == section:
            lane.place += 1
        lane.next_at = lane.until = None

    def _open_sections(self, lanes: list[Lane], latest: int) -> None:
        """Give lanes that wait for a section its start, once nobody is before it any more."""
        for lane in lanes:
            while lane.next_at is None and lane.place < len(lane.repeats) and self._sits_out(lane):
                self._give_up(lane)
        for lane in lanes:
            if lane.place >= len(lane.repeats) or lane.next_at is not None:
                continue
            section = lane.repeats[lane.place].section
            if lane.alone:
                lane.next_at = self.gates.get(section, lane.came)
                if lane.next_at <= lane.came:
                    lane.next_at = (
                        -(-(self._free(lane, section) + CHANGEOVER) // CLOCK) * CLOCK if lane.swam else lane.came
                    )
                lane.came = lane.starts[section] = lane.next_at
                lane.swam = False
                self._limit(lane, latest)
                continue
            before = [
                other
                for other in lanes
                if other.place < len(other.repeats) and other.repeats[other.place].section < section
            ]
            if section not in self.gates and not before:
                coming = [other for other in lanes if other.place >= len(other.repeats) or other.next_at is None]
                free = max(self._free(other, section) for other in coming) + CHANGEOVER
                self.gates[section] = -(-max(free, self.now + NOTICE) // STARTS) * STARTS
            if section in self.gates:
                lane.next_at = lane.came = lane.starts[section] = self.gates[section]
                lane.swam = False

    @staticmethod
    def _sits_out(lane: Lane) -> bool:
        """Whether a lane sits out everything that is left of its current or next section."""
        section = lane.repeats[lane.place].section
        return all(r.missed for r in lane.repeats[lane.place :] if r.section == section)

    @staticmethod
    def _free(lane: Lane, section: int) -> int:
        """Since when a lane that waits has nothing to do before a section."""
        through, until = lane.through
        return max(lane.ended, until) if section > through else lane.ended

    def _upcoming(self, lane: Lane, now: int | None = None) -> tuple[int, int] | None:
        """When and on which repeat the lane leaves next.

        If it sits out the first repeat of a section still ahead: that repeat, and the section's start.
        """
        if not lane.ahead:
            return None
        second, index = lane.ahead[0]
        section, first, start = lane.repeats[index].section, index, second
        while first and lane.repeats[first - 1].section == section:
            first -= 1
            start -= lane.repeats[first].interval
        if now is None:
            now = self.now if lane.held_at is None else min(self.now, lane.held_at)
        swum = any(lane.repeats[i].section == section for _, i in lane.sent)
        if not swum and start == lane.starts.get(section) == self.gates.get(section) and start > now:
            return start, first
        return second, index

    # -- now -----------------------------------------------------------------------------------------

    def go(self, seconds: int) -> None:
        """Let time pass."""
        for _ in range(seconds):
            self.now += 1
            for lane in self.lanes:
                if lane.held_at is None and lane.ahead and lane.ahead[0][0] == self.now:
                    lane.sent.append(lane.ahead.pop(0))

    def end(self) -> int:
        """The last touch of all, as far as known."""
        return max(lane.ends for lane in self.lanes)

    def sends(self, lane: int) -> list[int]:
        """The lane's past and later send-offs."""
        found = self.lanes[lane]
        return [second for second, _ in found.sent] + [second for second, _ in found.ahead]

    def _touch(self, lane: Lane, by: int = 10**6) -> int:
        """The last touch of those who had left by then, over all repeats; a repeat that was broken off ended there."""
        return max(
            [
                min(second + k * r.spacing + swim, lane.cuts.get(second, 10**6))
                for second, i in lane.sent
                for r in [lane.repeats[i]]
                for k, swim in enumerate(r.swims)
                if second + k * r.spacing <= min(by, lane.shut.get(second, by))
            ],
            default=0,
        )

    def _busy(self, but: list[Lane]) -> list[Lane]:
        return [lane for lane in self.lanes if lane not in but and (lane.held_at is not None or self.now < lane.ends)]

    # -- presses -----------------------------------------------------------------------------------------

    def pause(self, lanes: list[int]) -> None:
        held = [lane for lane in (self.lanes[i] for i in lanes) if lane.held_at is None and self.now < lane.ends]
        fresh = self._whole(held)
        for lane in held:
            self._hold(lane)
            self._break_off(lane)
        for lane in fresh:
            lane.again = lane.hardly(self.lanes)

    def _hold(self, lane: Lane) -> None:
        lane.held_at = self.now
        for second, _ in lane.sent:
            lane.shut.setdefault(second, self.now)
        lane.touched = self._touch(lane, self.now)

    @staticmethod
    def _whole(lanes: list[Lane]) -> list[Lane]:
        """The lanes whose last repeat has not been broken off yet."""
        return [lane for lane in lanes if not lane.sent or lane.sent[-1][0] not in lane.cuts]

    def stop(self) -> None:
        fresh = self._whole([lane for lane in self.lanes if lane.held_at is None and self.now < lane.ends])
        for lane in self.lanes:
            if self.now < lane.ends or lane.held_at is not None:
                if lane.held_at is None:
                    self._hold(lane)
                self._break_off(lane)
        for lane in fresh:
            lane.again = lane.hardly(self.lanes)

    def _break_off(self, lane: Lane) -> None:
        if lane.sent and lane.touched > self.now:
            lane.touched = self.now
            lane.cuts.setdefault(lane.sent[-1][0], self.now)
        if not lane.ahead:
            lane.ends = lane.touched

    def resume(self, lanes: list[int], leave: int) -> None:
        going = [self.lanes[i] for i in lanes if self.lanes[i].held_at is not None]
        waiting = self._busy(going)
        alone = any(lane.held_at is None for lane in waiting)
        with_them = [] if alone else waiting
        if not going:
            return
        latest = max(self.end(), 0)
        states = [(lane, lane.held_at) for lane in with_them]
        swimming = any(other.held_at is None and leave < other.ends for other in self.lanes)
        for lane in going + with_them:
            self._take_up(lane, leave, swimming)
        if alone:
            for lane in going:
                self._foresee(lane, latest)
        else:
            self._foresee_all(going + with_them)
        for lane, held_at in states:
            lane.held_at = held_at
        for lane in going:
            lane.again = False

    def _take_up(self, lane: Lane, leave: int, swimming: bool) -> None:
        """Let the lane resume after its last repeat; if the others are in a later section by now, with that section."""
        upcoming = self._upcoming(lane, leave - 1 if swimming else None)
        lane.held_at, lane.ended, lane.until, lane.through = None, lane.touched, None, (99, 0)
        if lane.again:
            lane.place, lane.next_at = lane.sent[-1][1], leave
        elif upcoming is None:
            lane.place, lane.next_at, lane.ahead = len(lane.repeats), None, []
            return
        else:
            planned, lane.place = upcoming
            stopped_in_it = lane.cut and lane.repeats[lane.sent[-1][1]].section == lane.repeats[lane.place].section
            lane.next_at = leave if stopped_in_it and not lane.begins else max(leave, planned)
        section = lane.repeats[lane.place].section
        passed = [s for s, at in self.gates.items() if s > section and at <= lane.next_at]
        if swimming and passed:
            lane.place = next(
                (i for i, repeat in enumerate(lane.repeats) if repeat.section >= max(passed)), len(lane.repeats)
            )
            if lane.place == len(lane.repeats) or lane.repeats[lane.place].section > max(passed):
                lane.came, lane.swam, lane.next_at = (
                    lane.next_at,
                    False,
                    None,
                )  # it comes to the next one when the others do
                return
        lane.came, lane.swam = lane.next_at, not lane.begins
        self._comes(lane)

    @staticmethod
    def _comes(lane: Lane) -> None:
        """Record that the lane comes to its section now, with its first send-off there."""
        section = lane.repeats[lane.place].section if lane.place < len(lane.repeats) else None
        if not lane.sent or lane.repeats[lane.sent[-1][1]].section != section:
            lane.starts[section] = lane.next_at

    def _limit(self, lane: Lane, latest: int) -> None:
        section = lane.repeats[lane.place].section
        later = [at for s, at in self.gates.items() if s > section and at > lane.next_at]
        with_others = lane.next_at == self.gates.get(section) and lane.begins
        lane.until = min(later) - CHANGEOVER if later else None if with_others else latest
        if lane.until == latest and lane.begins and section == max(r.section for r in lane.repeats):
            first = lane.next_at  # of the last section, a lane swims one repeat at least
            for repeat in lane.repeats[lane.place :]:
                if not repeat.missed:
                    lane.until = max(latest, first + repeat.takes)
                    break
                first += repeat.interval

    def _due(self, lane: Lane) -> tuple[int, int, bool] | None:
        """Second and repeat of the send-off that has just passed, otherwise of the next; whether it has passed."""
        if lane.held_at is not None:
            return None
        if lane.sent and self.now - lane.sent[-1][0] < GRACE and lane.sent[-1][0] not in lane.shut:
            return (*lane.sent[-1], True)
        return (*lane.ahead[0], False) if lane.ahead else None

    def late(self, index: int, leave: int) -> None:
        lane = self.lanes[index]
        due = self._due(lane)
        if due is None:
            return
        second, place, been = due
        alone = bool(self._busy([lane]))
        latest = self.end()
        if been:
            lane.sent.pop()
        lane.place, lane.next_at, lane.ended, lane.until, lane.through = (
            place,
            max(leave, second),
            self._touch(lane),
            None,
            (99, 0),
        )
        lane.came, lane.swam = lane.next_at, not lane.begins
        if alone:
            self._foresee(lane, latest)
        else:
            self._comes(lane)
            self._foresee_all([lane])

    def miss(self, index: int) -> None:
        lane = self.lanes[index]
        due = self._due(lane)
        if due is None:
            return
        lane.repeats[due[1]].missed = True
        if due[2]:
            lane.sent.pop()
        else:
            lane.ahead.pop(0)
        lane.ends = max([self._touch(lane), *(second + lane.repeats[i].takes for second, i in lane.ahead)])

    # -- add and skip lines ------------------------------------------------------------------------------

    def put_in(self, lanes: list[int], new: dict[int, list[Repeat]], leave: int) -> bool:
        """Add repeats; return whether any of them is swum. `new`: by lane, without section and line yet."""
        going = {i: lane for i in lanes if (lane := self.lanes[i]).sent or lane.ahead}
        gone = [lane for lane in going.values() if lane.sent]
        cut_short = {
            self._here(lane)
            for lane in gone
            if lane.ahead and lane.repeats[lane.ahead[0][1]].section > self._here(lane) and not self._through(lane)
        }
        in_hand = {
            self._here(lane)
            for lane in gone
            if self._left_in(lane) or self._coming_home(lane) and self._here(lane) not in cut_short
        }
        places = {i: place for i, lane in going.items() if (place := self._put_at(lane, in_hand, leave, new[i]))}
        if not places:
            return False
        places = self._at_one_place(places)
        number = {section: self.lines[section] + 1 for section in {section for _, section, _ in places.values()}}
        for section in number:
            self.lines[section] += 1 + max(r.line for r in new[lanes[0]])
        taking = [self.lanes[i] for i in places]
        latest, alone, running = max(self.end(), 0), bool(self._busy(taking)), self._running()
        swum, firsts = [], []
        for i, (index, section, second) in places.items():
            lane = self.lanes[i]
            mine = [replace(r, section=section, line=number[section] + r.line) for r in new[i]]
            first = min(index, self._upcoming(lane)[1]) if lane.ahead else index
            rest = lane.repeats[index:]
            if not any(r.section == section for r in rest):  # after all that it had time for: it may have time for more
                back, before = lane.gone.pop(section, []), lane.repeats[index - 1].line if index else None
                same = [r for r in back if r.line == before]
                lane.repeats[index:] = same
                index, rest = index + len(same), back[len(same) :] + rest
            lane.repeats = lane.repeats[:index] + mine + rest
            self._go_on(lane, first, second)
            swum += mine
            firsts.append((lane, first, section))
        self._foresee_again(taking, alone, latest)
        if not any(lane.repeats[i] in swum for lane in taking for _, i in lane.ahead):
            return False
        for lane, first, section in firsts if running else ():
            self._for_good(lane, first, section)
        return True

    def _running(self) -> bool:
        """Whether some lane is not paused and still swims."""
        return any(lane.held_at is None and self.now < lane.ends for lane in self.lanes)

    @staticmethod
    def _for_good(lane: Lane, first: int, section: int) -> None:
        """What a lane has no time for in a section, from repeat `first` on, it never swims."""
        here = [i for _, i in lane.sent + lane.ahead if lane.repeats[i].section == section]
        coming = [i for i, r in enumerate(lane.repeats) if i >= first and r.section == section and not r.missed]
        if not here or len(coming) <= sum(i >= first for i in here):
            return
        drop = [i for i, r in enumerate(lane.repeats) if i > max(here) and r.section == section]
        lane.gone[section] = [lane.repeats[i] for i in drop] + lane.gone.get(section, [])
        lane.repeats = [r for i, r in enumerate(lane.repeats) if i not in drop]
        lane.ahead = [(second, i - len(drop) * (i > max(here))) for second, i in lane.ahead]

    def _at_one_place(self, places: dict[int, tuple[int, int, int]]) -> dict[int, tuple[int, int, int]]:
        """In a section, all add it behind the last line that one of them is behind, and doesn't sit out."""
        lines: dict[int, set[int]] = {}
        for i, (index, section, _) in places.items():
            before = next((r for r in reversed(self.lanes[i].repeats[:index]) if not r.missed), None)
            if before is not None and before.section == section:
                lines.setdefault(section, set()).add(before.line)
        made = {}
        for i, (index, section, second) in places.items():
            ahead = [(at, r) for at, r in enumerate(self.lanes[i].repeats) if at >= index and r.section == section]
            swum = {r.line for _, r in ahead if not r.missed} & lines.get(section, set())
            index = max([index, *(at + 1 for at, r in ahead if r.line in swum)])
            made[i] = index, section, second
        return made

    @staticmethod
    def _here(lane: Lane) -> int:
        """The section of a lane's last send-off."""
        return lane.repeats[lane.sent[-1][1]].section

    def _through(self, lane: Lane) -> bool:
        """Whether a lane has left on the last repeat of its section, not counting those that it sits out."""
        here = self._here(lane)
        rest = [r for r in lane.repeats[lane.sent[-1][1] + 1 :] if r.section == here]
        return all(r.missed for r in (*rest, *lane.gone.get(here, ())))

    def _left_in(self, lane: Lane) -> bool:
        """Whether a lane has more of its section ahead."""
        return bool(lane.ahead) and lane.repeats[lane.ahead[0][1]].section == self._here(lane)

    def _coming_home(self, lane: Lane) -> bool:
        """Whether somebody in a lane is still swimming its last repeat."""
        now, by = (self.now, 10**6) if lane.held_at is None else (lane.held_at, lane.held_at)
        return now < self._touch(lane, by)

    def _put_at(self, lane: Lane, in_hand: set[int], leave: int, new: list[Repeat]) -> tuple[int, int, int] | None:
        """Where to add: before which repeat, in which section, and when the lane leaves on it."""
        if lane.sent:
            second, index = lane.sent[-1]
            here = lane.repeats[index]
            through = self._through(lane)
            after = max(second + here.interval, leave)
            later = (
                not lane.ahead
                or lane.repeats[lane.ahead[0][1]].section != here.section
                and (here.section in in_hand or self._fits_in_the_wait(lane, after, new))
            )
            if later and through:
                behind = index + 1
                while behind < len(lane.repeats) and lane.repeats[behind].section == here.section:
                    behind += 1
                return behind, here.section, after
        if not lane.ahead:
            return None
        second, index = self._upcoming(lane)
        section, line = lane.repeats[index].section, lane.repeats[index].line
        if index and (lane.repeats[index - 1].section, lane.repeats[index - 1].line) == (section, line):
            while index < len(lane.repeats) and (lane.repeats[index].section, lane.repeats[index].line) == (
                section,
                line,
            ):
                index += 1
        return index, section, second

    def _fits_in_the_wait(self, lane: Lane, second: int, new: list[Repeat]) -> bool:
        """Whether a lane that goes swims all of them, from `second` on, before the common start for which it waits."""
        index = self._upcoming(lane)[1]
        section = lane.repeats[index].section
        waits = not index or lane.repeats[index - 1].section < section
        if lane.held_at is not None or not waits or section not in self.gates:
            return False
        for repeat in new:
            if second + repeat.takes > self.gates[section] - CHANGEOVER:
                return False
            second += repeat.interval
        return True

    def _go_on(self, lane: Lane, index: int, second: int) -> None:
        """Set the lane's next send-off to `second`, with the repeat that is now at `index`."""
        lane.place, lane.next_at, lane.until, lane.through = index, second, None, (99, 0)
        lane.ended = self._touch(lane)
        lane.came, lane.swam = second, lane.place < len(lane.repeats) and not lane.begins

    def _foresee_again(self, lanes: list[Lane], alone: bool, latest: int) -> None:
        if alone:
            for lane in lanes:
                self._foresee(lane, latest)
        else:
            self._foresee_all(lanes)

    def leave_out(self, lanes: list[int], section: int, line: int) -> None:
        def gone(lane: Lane, index: int) -> bool:
            return (lane.repeats[index].section, lane.repeats[index].line) == (section, line)

        going = [
            lane for lane in map(self.lanes.__getitem__, lanes) if any(gone(lane, index) for _, index in lane.ahead)
        ]
        if not going:
            return
        latest, alone = max(self.end(), 0), bool(self._busy(going))
        upcoming = [self._upcoming(lane) for lane in going]
        places = [
            (
                lane.repeats[i].section,
                any(lane.repeats[at].section == lane.repeats[i].section for at in [*range(i)[-1:], *lane.last]),
            )
            for lane, (_, i) in zip(going, upcoming)
        ]
        for lane, (second, first), (of, begun) in zip(going, upcoming, places):
            end = max(i for i, r in enumerate(lane.repeats) if r.section == section) + 1
            lane.repeats[end:end] = lane.gone.pop(section, [])  # with less to swim there may be time for it
            swum = 1 + max(lane.last, default=-1)
            first = swum if first < swum and gone(lane, first) else first  # it was to swim it again
            lane.repeats = [r for i, r in enumerate(lane.repeats) if i < max(first, swum) or not gone(lane, i)]
            self._go_on(lane, first, second)
            lane.again = lane.again and not gone(lane, lane.sent[-1][1])
            lane.swam = begun
            if begun and (first == len(lane.repeats) or lane.repeats[first].section != of):
                lane.through, lane.next_at = (of, second - CHANGEOVER), None
            elif first == len(lane.repeats) or lane.repeats[first].section != of and (alone or (of, True) in places):
                lane.next_at = None  # together with the others, when they come to that section
            elif lane.repeats[first].section != of:
                self._comes(lane)  # in place of the skipped one
        self._foresee_again(going, alone, latest)

    # -- undo ----------------------------------------------------------------------------------------------

    def take_back(self, before: Naive, leave: int, put_in: bool) -> Naive | None:
        """The session with its last change undone, which turned `before` into it; None if the change has been swum.

        The past stays; lanes for which the change has happened leave at `leave` or later. `put_in`: the change added
        lines; lanes that have begun them skip the rest from now on.
        """
        made = deepcopy(before)
        made.go(self.now - made.now)
        happened = []
        for i, (lane, was) in enumerate(zip(self.lanes, made.lanes)):
            stopped = self._stopped_since(lane, was, before.now)
            if stopped and lane.held_at == was.held_at and self._leaves(lane) == made._leaves(was):
                was.cuts, was.shut, was.ends = dict(lane.cuts), dict(lane.shut), lane.ends  # it stays as it is
            elif stopped or self._past(lane) != made._past(was) or self._too_soon(lane, was):
                happened.append(i)
        known = [{was.repeats[i].number for _, i in was.sent + was.ahead} for was in made.lanes]
        if any({self.lanes[i].repeats[place].number for _, place in self.lanes[i].sent} - known[i] for i in happened):
            return self._without_the_rest(made.lines) if put_in else None
        if not happened:
            return made
        waiting = [i for i in happened if made.lanes[i].held_at is not None]
        alone = bool(made._busy([made.lanes[i] for i in happened]) or waiting)
        latest, ends = max(made.end(), 0), [(lane.held_at, lane.ends) for lane in made.lanes]
        for i in happened:
            lane, was = deepcopy(self.lanes[i]), made.lanes[i]
            made.lanes[i] = lane
            lane.again, again = lane.again and i in waiting, i not in waiting and lane.hardly(self.lanes)
            if i in waiting and lane.held_at is None and self.now < lane.ends:
                fresh = self._whole([lane])
                made._hold(lane)
                made._break_off(lane)
                lane.again = bool(fresh) and lane.hardly([lane])
            leave_by = made._go_on_as(lane, was, leave, again)
            swimming = any(held is not None or leave_by < end for other, (held, end) in enumerate(ends) if other != i)
            made._or_with_the_others(lane, swimming)
        made._foresee_again([made.lanes[i] for i in happened], alone, latest)
        for lane in (made.lanes[i] for i in waiting):  # it was resumed and left: it is paused again from now
            lane.held_at = self.now if lane.ahead else None
        return made

    def _leaves(self, lane: Lane) -> tuple:
        """All send-offs of a lane, with their repeats, and who has left."""
        return [(second, lane.repeats[i].number) for second, i in lane.sent + lane.ahead], self._past(lane)[0]

    def _stopped_since(self, lane: Lane, was: Lane, changed: int) -> bool:
        """Whether a lane that left as it `was` to leave was stopped: told after `changed`, or shorter by now."""
        if self._past(lane)[0] != self._past(was)[0]:
            return False
        for second, place in lane.sent:
            repeat, cut, other = lane.repeats[place], lane.cuts.get(second), was.cuts.get(second)
            if cut == other:
                continue
            if cut is not None and changed < cut <= self.now:
                return True
            for k, swim in enumerate(repeat.swims):
                leaves = second + k * repeat.spacing
                if leaves <= min(self.now, lane.shut.get(second, self.now)):
                    far = [self._swum(repeat, swim, leaves, each) for each in (cut, other)]
                    if far[0] != far[1]:
                        return True
        return False

    def _swum(self, repeat: Repeat, swim: int, leaves: int, cut: int | None) -> int:
        """How many lengths a swimmer who left then has swum by now."""
        told = repeat.turns if cut is None else -(-min(cut - leaves, swim) * repeat.turns // swim)
        return min(2 * told, min(self.now - leaves, swim) * 2 * repeat.turns // swim)

    def _too_soon(self, lane: Lane, was: Lane) -> bool:
        """Whether a lane `was` to leave within the notice, and was told otherwise since."""
        before, after = (each.ahead[0][0] if each.held_at is None and each.ahead else None for each in (was, lane))
        return before is not None and before < self.now + NOTICE and before != after

    def _past(self, lane: Lane) -> tuple[list, list]:
        """A lane's departures (swimmer, repeat, second), and where each swimmer is."""
        newest = self.now if lane.held_at is None else min(self.now, lane.held_at)
        left, where = [], []
        for k in range(max((len(r.swims) for r in lane.repeats), default=0)):
            at: object = "wall"
            for second, place in lane.sent:
                repeat = lane.repeats[place]
                leaves = second + k * repeat.spacing
                if leaves <= min(newest, lane.shut.get(second, newest)):
                    left.append((leaves, repeat.number))
                    at = self._place(repeat, repeat.swims[k], leaves, lane.cuts.get(second))
            where.append(at)
        return left, where

    def _place(self, repeat: Repeat, swim: int, leaves: int, cut: int | None) -> object:
        """Where a swimmer who left then is: how many times round; at the wall at the end and after breaking off."""
        reach = (
            swim if cut is None else Fraction(-(-min(cut - leaves, swim) * repeat.turns // swim) * swim, repeat.turns)
        )
        on = self.now - leaves
        return "wall" if on >= reach else Fraction(on * repeat.turns, swim) % 1

    def _without_the_rest(self, lines: dict[int, int]) -> Naive:
        """Skip, from now on, lines with numbers above `lines` of their section."""
        made = deepcopy(self)
        for section, before in sorted(lines.items()):
            lanes = [
                i
                for i, lane in enumerate(made.lanes)
                if any(r.section == section and r.line > before for r in lane.repeats)
            ]
            for line in range(before + 1, made.lines[section] + 1):
                made.leave_out(lanes, section, line)
        return made

    def _go_on_as(self, lane: Lane, was: Lane, leave: int, again: bool) -> int:
        """Let a lane with its own past continue with what it `was` to do next; return when, or `leave`.

        If it left earlier on what is before that, in the same section, it goes on as much earlier. `again`: it swims
        its last repeat again.
        """
        numbers = [lane.repeats[place].number for _, place in lane.sent]
        places = {r.number: place for place, r in enumerate(was.repeats)}
        lane.repeats, lane.gone = deepcopy(was.repeats), deepcopy(was.gone)
        lane.sent = [(second, places[number]) for (second, _), number in zip(lane.sent, numbers)]
        lane.ended, lane.held_at, lane.until, lane.through = self._touch(lane), None, None, (99, 0)
        way = was.sent + was.ahead
        done = 0
        if lane.sent:
            last = lane.sent[-1][1]
            same = [at for at, (_, place) in enumerate(way) if place == last]
            left = min(sum(place == last for _, place in lane.sent), len(same))
            done, again = same[left - 1] + 1, again and left == len(same)
        if again:
            lane.starts, lane.place, lane.next_at = dict(was.starts), lane.sent[-1][1], leave
            return leave
        if done == len(way):
            lane.place, lane.next_at, lane.ahead, lane.starts = len(lane.repeats), None, [], dict(was.starts)
            return leave
        lane.starts = dict(was.starts)
        rest = replace(was, sent=lane.sent, ahead=way[done:])
        planned, lane.place = self._upcoming(rest, self.now)
        sections = {lane.repeats[place].section for _, place in way[max(0, done - 1) : done + 1]}
        if done and lane.place == way[done][1] and len(sections) == 1:
            planned -= max(0, way[done - 1][0] - lane.sent[-1][0])
        lane.next_at = max(leave, planned)
        return lane.next_at

    def _or_with_the_others(self, lane: Lane, swimming: bool) -> None:
        """If the others are in a later section by the time it leaves, continue with that section."""
        if lane.next_at is None:
            return
        section = lane.repeats[lane.place].section
        passed = [s for s, at in self.gates.items() if s > section and at <= lane.next_at]
        if swimming and passed:
            lane.place = next((i for i, r in enumerate(lane.repeats) if r.section >= max(passed)), len(lane.repeats))
            if lane.place == len(lane.repeats) or lane.repeats[lane.place].section > max(passed):
                lane.came, lane.swam, lane.next_at = lane.next_at, False, None
                return
        lane.came, lane.swam = lane.next_at, not lane.begins
        self._comes(lane)
