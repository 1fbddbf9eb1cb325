"""What a press says before it is done, beside what is so after it.

`evening(seed)` gives each press that said something else than it did. The reader of the sentences here shares nothing
with what writes them.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import combinations, pairwise
from typing import NamedTuple

from pacer.plan.planlines import numbered_lines
from pacer.session.journal.entries import CountChanged, LaneJoined
from pacer.session.running.finish import going
from pacer.session.running.instant import lates
from pacer.session.running.runstate import Run, repeat_key
from pacer.session.running.whereabouts import last_swims, places
from pacer.show.drive.deckchanges import MOVES
from pacer.show.view.instantview import pool_view
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER, Pass, Track
from tests.show.drive.evenings import TIMELINE, Evening, S, State


class Wrong(NamedTuple):
    """A press that said something that was not so: which press, what it said, what was so."""

    press: str
    said: str
    so: str


def evening(seed: int, count: int = 10, timeline: Timeline = TIMELINE) -> Iterator[Wrong]:
    """`count` presses of one evening; gives those that said what was not so."""
    it = Evening(seed, timeline)
    for _ in range(count):
        it.go()
        plain, waited = it.state(), it.waits()
        before, promised = it.state(waited), it.promised()
        try:
            found = it.press()
        except CannotRun:
            continue
        if found is None:
            continue
        name, proposal = found
        told = it.driver.do(proposal)
        assert told == (), told
        after = it.state(waited and it.waits())
        if waited and not it.waits():
            before = plain
        if name.split()[0] == "resume":
            before = before._replace(metres=promised)
        for so in wrongs(it, proposal.ways, before, after, name.split()[0]):
            yield Wrong(f"seed {seed}, {it.at_ms / S:.1f} s: {name}", proposal.ways[0], so)


def said_in(seed: int, count: int = 10) -> Iterator[tuple[str, ...]]:
    """All ways in which what the presses of an evening do is said."""
    it = Evening(seed)
    for _ in range(count):
        found = it.next_press()
        if found is not None:
            yield found[1].ways
            assert it.driver.do(found[1]) == ()


# -- what was said, beside what is so -----------------------------------------------------------------------------


def numbers(text: str) -> list[int]:
    """`4, 6–8`."""
    made: list[int] = []
    for part in text.split(", "):
        first, _, last = part.partition("–")
        made += range(int(first), int(last or first) + 1)
    return made


WHO = r"(lanes? \d+(?:(?:, |–)\d+)*)"


def who(text: str) -> set[int]:
    """The lanes, by index, that a part of a sentence is about."""
    return {number - 2 for number in numbers(text.split(" ", 1)[1])}


def wrongs(it: Evening, ways: tuple[str, ...], before: State, after: State, kind: str) -> Iterator[str]:
    """What was not so, or was left out."""
    lanes, every = range(len(after.words)), f"lanes 2–{len(after.words) + 1}"
    ways = tuple(way.replace("all lanes", every) for way in ways)
    said = ways[0]
    said = re.sub(r"^(undoes “.*?”|(sits out|one (repeat|round)) [^:;]*): ", "", said)
    if kind not in ("stop", "reopen", "resume"):
        yield from _wrong_stragglers(it, said, before, after)
    said = re.sub(STRAGGLERS, "", said)
    if kind not in ("stop", "end", "reopen"):
        finish = re.search(r"finish (\d\d:\d\d)", said)
        if finish and finish[1] != after.finish:
            yield f"the header says finish {after.finish}"
        elif not finish and after.finish != before.finish and kind != "pause":
            yield f"the header goes from {before.finish} to {after.finish}"
    moved = re.search(r"finish \d\d:\d\d, (\d+):\d\d (?:later|earlier)", said)
    if kind == "take" and moved and int(moved[1]) > 1 and before.finish == after.finish:  # of 1:59, it may show none
        yield f"the header stays at {after.finish}"
    stop = {lane for lane in lanes if after.words[lane] == "STOP" and before.words[lane] != "STOP"}
    named, last = set(), set(lanes)
    for part in said.split("; "):
        head = re.match(WHO, part)
        last = who(head[1]) if head else last
        if re.search(r"stops? at the wall", part):
            named |= last
    if kind not in ("stop", "reopen") and stop - named:
        yield f"lanes {sorted(lane + 2 for lane in stop - named)} have to stop"
    if named - {lane for lane in lanes if after.words[lane] == "STOP"}:
        yield f"of lanes {sorted(lane + 2 for lane in named)} only {sorted(lane + 2 for lane in stop)} have to stop"
    if kind == "with":
        yield from _not_back(it)
    yield from _left_out(ways, before, after, kind)
    if kind in ("end", "stop", "reopen"):
        if kind == "end":
            yield from _wrong_end(it, ways, before, after)
        if kind == "reopen":
            yield from _wrong_reopen(it, said)
            yield from _wrong_leaves(it, said, after)
        return
    if kind != "pause" and not it.driver.times:
        yield from _wrong_missing(it, said, before, after, kind)
    if kind != "with":
        yield from _wrong_parted(it, said, before, after)
    yield from _wrong_round(it, said, before, after)
    changed = {lane: after.metres[lane] - before.metres[lane] for lane in lanes}
    yield from _wrong_metres(said, {lane: far for lane, far in changed.items() if far})
    yield from _wrong_leaves(it, said, after)
    if kind != "pause":
        yield from _wrong_waits(it, said, before, after)
    if kind not in ("pause", "resume", "next", *MOVES):
        yield from _wrong_starts(it, said, before, after)
        yield from _wrong_tight(said, before, after)
    for part in said.split("; "):
        found = re.match(WHO + r": .*\bpauses?\b", part) or re.match(WHO + r" pauses?$", part)
        for lane in who(found[1]) if found else ():
            if it.driver.run.timeline.tracks[lane].paused_ms is None:
                yield f"lane {lane + 2} is not paused"


BACK = "swimmers at the far end swim back easy"
STRAGGLERS = r"(?:; |^)in " + WHO + r", some swim up to (\d+) (?:m|yd) less than the leader"


def _wrong_stragglers(it: Evening, said: str, before: State, after: State) -> Iterator[str]:
    """Whether it is said how much less swimmers behind the leader swim where they are told to stop with their leader,
    and which lanes stop at both walls."""
    run = it.driver.seen
    span, both = run.timeline.plan.pool.length, set()
    so: dict[int, int] = {}
    for lane, track in enumerate(run.timeline.tracks):
        if not (after.words[lane] == "STOP" != before.words[lane]):
            continue
        swims = last_swims(run.timeline, lane, it.at_ms)
        leader = swims[0] if swims else None
        for swim in swims[1:]:
            if leader is None or swim is None or swim.index > leader.index:
                continue  # ahead of the leader, who hasn't left on that repeat
            if track.cuts.get(swim.index) == it.at_ms:
                led = leader.swims if swim.index == leader.index else swim.shape.distance * 1000
                so[lane] = max(so.get(lane, 0), led - swim.swims)
        if it.driver.run.stopped or before.run.stopped:
            swim_far = [swim is None or swim.shape.distance > 0 for swim in swims]  # others stand on the spot
            home_ms = max([swim.home_ms for swim in swims if swim is not None], default=0)
            if len({at.along > 500 for at, far in zip(places(run.timeline, lane, home_ms), swim_far) if far}) > 1:
                both.add(lane)
    so = {lane: far for lane, far in so.items() if far >= span * 1000}
    found = re.search(STRAGGLERS, said)
    if (who(found[1]) if found else set()) != set(so) or found and abs(int(found[2]) * 1000 - max(so.values())) > 1000:
        yield f"behind the leader: { {lane + 2: far / 1000 for lane, far in so.items()} }"
    named = re.search(WHO + r": swimmers stop at both ends", said)
    if (who(named[1]) if named else set()) != both:
        yield f"at both walls: {sorted(lane + 2 for lane in both)}"
    named = re.search(WHO + f": {BACK}", said)
    was, told = ({lane for lane, said in enumerate(each.marks) if BACK in said} for each in (before, after))
    told -= was
    if (who(named[1]) if named else set()) != told:
        yield f"swim back: {sorted(lane + 2 for lane in told)}"
    for lane in told:
        yield from _apart(it, lane)


def _apart(it: Evening, lane: int) -> Iterator[str]:
    """Whether a lane whose swimmers swim back is at both walls when it leaves next, or somebody jumps on the way."""
    timeline = it.driver.run.timeline
    track, at_ms = timeline.tracks[lane], it.at_ms
    ahead = [ms for ms in track.sendoffs if ms > at_ms and track.paused_ms is None]
    until_ms = min(ahead, default=at_ms + 240 * S) - 1
    if len({place.along > 500 for place in places(timeline, lane, until_ms)}) > 1:
        yield f"lane {lane + 2} is at both walls when it leaves"
    length = timeline.plan.pool.length
    if any(swim is not None and swim.shape.distance % length for swim in last_swims(timeline, lane, at_ms)):
        return  # ends between the walls
    rows = [[place.along for place in places(timeline, lane, ms)] for ms in (*range(at_ms, until_ms, S), until_ms)]
    if any(abs(one - other) > 200 for row, later in pairwise(rows) for one, other in zip(row, later)):
        yield f"somebody of lane {lane + 2} jumps"


def _wrong_parted(it: Evening, said: str, before: State, after: State) -> Iterator[str]:
    """Whether joined lanes are said to part whose next send-offs were the same, and differ now or from the next set's
    second repeat on."""
    found = re.findall(WHO + " no longer leave together", said)
    told, must, may = set[int]().union(*map(who, found)), set[int](), set[int]()
    were, are = (state.run.course.deviation.leaders for state in (before, after))
    for pair in combinations(range(len(after.words)), 2):
        same = all(len({leaders.get(lane, lane) for lane in pair}) == 1 for leaders in (were, are))
        was_ms, now_ms = ([state.leaves_ms[lane] for lane in pair] for state in (before, after))
        if not same or None in was_ms or was_ms[0] != was_ms[1]:
            continue
        paused = {lane for lane in pair if lane in after.run.paused()}
        if len(paused) == 1 or now_ms[0] != now_ms[1] and None not in now_ms:
            must |= set(pair) if _alike_until_now(before, pair, it.at_ms) else set()
        if len(paused) < 2:
            may |= set(pair)
    if not must <= told <= may:
        yield f"no longer leave together: {sorted(lane + 2 for lane in must)}"


def _alike_until_now(state: State, pair: tuple[int, int], at_ms: int) -> bool:
    """Whether two lanes were to leave on all of the next set together."""
    rows = []
    for lane in pair:
        events = state.run.timeline.events(lane)
        left = [e for e in events if e.kind == "send-off" and e.swimmer == 1 and e.at_ms > at_ms]
        rows.append([e.at_ms for e in left if e.what[:3] == left[0].what[:3]])
    return all(one == other for one, other in zip(*rows))


def _wrong_round(it: Evening, said: str, before: State, after: State) -> Iterator[str]:
    """Whether there is time for as many repeats of an added round as it is said."""
    made = it.driver.run.by
    if not isinstance(made, CountChanged) or not made.rounds or made.by < 1 or it.driver.run.before is not before.run:
        return
    for found in re.finditer(WHO + r": (?:time for (\d+) of \d+ repeats|no time for another round)", said):
        for lane in who(found[1]):
            were, are = (_rounds_swum(going(run, it.at_ms), lane) for run in (before.run, after.run))
            new = sum(n for round, n in are.items() if round not in were)
            if new != int(found[2] or 0):
                yield f"lane {lane + 2} swims {new} repeats of the round"


def _rounds_swum(run: Run, lane: int) -> Counter[tuple[str, int]]:
    """The leader's repeats in each round of each section."""
    events = run.timeline.events(lane)
    return Counter(e.what[:2] for e in events if e.kind == "send-off" and e.swimmer == 1)


def _left_out(ways: tuple[str, ...], before: State, after: State, kind: str) -> Iterator[str]:
    """Whether a shorter way leaves out what matters most: who stops, metres, the finish, that it is too tight."""
    stops = any(now == "STOP" != was for was, now in zip(before.words, after.words))
    must = {"stop": stops and kind != "stop"}
    if kind not in ("stop", "end", "reopen", "pause"):
        must |= {
            " (m|yd) (more|less)": before.metres != after.metres,
            "finish": before.finish != after.finish,
            "too tight": "too tight" in ways[0],
        }
    for way in ways:
        missing = [word for word, matters in must.items() if matters and not re.search(word, way)]
        if missing and "earliest finish" not in way:
            yield f"{missing} not in {way!r}"


def _wrong_end(it: Evening, ways: tuple[str, ...], before: State, after: State) -> Iterator[str]:
    """What End says of metres and of who stops, beside the screen when all are home; and the finish in the header."""
    said, unit = ways[0], after.run.timeline.plan.pool.unit
    stop = {lane for lane, word in enumerate(after.words) if word == "STOP"}
    for way in ways:
        named: set[int] = set()
        for found in re.finditer(WHO + " stops?", way):
            named |= who(found[1])
        if named != stop:
            yield f"lanes {sorted(lane + 2 for lane in stop)} stop at the wall, not said in {way!r}"
    shown = [band.text.distance for band in pool_view(it.driver.seen, it.at_ms + 3_600_000).bands]
    swum, of = [], []
    for text in shown:
        done, _, whole = (text or "0").removesuffix(f" {unit}").replace(",", "").partition("/")
        swum.append(int(done))
        of.append(int(whole or done))
    behind = [_lost_behind(it, lane, before, after) for lane in range(len(swum))]
    cuts = [whole - done for done, whole in zip(swum, of)]
    cut = _spread(cuts + [cuts[lane] + less for lane, less in enumerate(behind) if less])
    so = _spread(swum + [max(0, swum[lane] - less) for lane, less in enumerate(behind) if less])
    of = [whole + less for whole, less in zip(of, behind)]
    if of != swum and f"{so} {unit} swum, {cut} {unit} cut" not in said:
        yield f"{so} {unit} swum, {cut} {unit} cut by the screen"
    if of == swum and f"{so} {unit} swum" not in said and f"everything is swum, {so} {unit}" not in said:
        yield f"{so} {unit} swum by the screen"
    if "everything is swum" in said and stop:
        yield f"lanes {sorted(lane + 2 for lane in stop)} still swim"
    if set(before.words) == {"DONE"} and (before.finish, before.shown) != (after.finish, after.shown):
        yield f"all were home, but {before.finish}, {before.shown} is now {after.finish}, {after.shown}"


def _lost_behind(it: Evening, lane: int, before: State, after: State) -> int:
    """How much more of what their leader has begun a swimmer of the lane loses than the leader, at most, by an end."""
    timeline, track = it.driver.seen.timeline, after.run.timeline.tracks[lane]
    if before.run.timeline.tracks[lane].paused_ms is not None or before.words[lane] == "STOP":
        return 0
    swims = last_swims(timeline, lane, it.at_ms)[: len(timeline.squad.lanes[lane].swimmers)]
    leader, most = swims[0] if swims else None, 0
    if leader is None:
        return 0
    gone = before.run.timeline.tracks[lane].closed  # what an earlier press took from them is no loss by this one
    for place, swim in enumerate(swims[1:], 1):
        last, led, far = (-1, 0, 0) if swim is None else (swim.index, 0, swim.swims // 1000)
        for index in range(max(0, last), leader.index + 1):
            if place >= len(track.pass_at(index).laneline.bases):
                continue
            if index in gone:
                far = 0 if index == last else far
                continue
            shape = track.pass_at(index).laneline.shapes[track.repeat_in_line(index)]
            led += leader.swims // 1000 if index == leader.index else shape.distance
        most = max(most, led - far)
    return most if most >= timeline.plan.pool.length else 0


def _wrong_reopen(it: Evening, said: str) -> Iterator[str]:
    """Whether the lanes are paused that were so before the end or were stopped after it, and are said to stay so."""
    run = it.driver.run
    ahead = {lane for lane, track in enumerate(run.timeline.tracks) if it.at_ms < track.end_ms}
    held, named = set(run.paused()), re.search(WHO + " stays? paused", said)
    if it.stopped and (ahead - held or held and not run.stopped):
        yield f"lanes {sorted(lane + 2 for lane in ahead - held)} swim, though all were stopped"
    if (who(named[1]) if named else set()) != held:
        yield f"lanes {sorted(lane + 2 for lane in held)} are paused"
    if not it.stopped and held - it.paused:
        yield f"lanes {sorted(lane + 2 for lane in held - it.paused)} are paused by the end"


def _wrong_missing(it: Evening, said: str, before: State, after: State, kind: str) -> Iterator[str]:
    """Whether the swimmers are said who were to leave on a repeat that others swim, and never do now."""
    found = re.search(WHO + r": (\d+) swimmers? ha(?:s|ve)n't left and miss(?:es)? (?:repeat \d+|the [^;,]+)", said)
    told, so, unknown = who(found[1]) if found else set(), {}, set()
    for lane, old in enumerate(before.run.timeline.tracks):
        here = old.index_at(it.at_ms)
        sent = [event for event in before.run.timeline.events(lane) if event.kind == "send-off" and event.swimmer == 1]
        ahead = [e for e in after.run.timeline.events(lane) if e.kind == "send-off" and e.swimmer == 1]
        most = max(max(Counter(e.what[:4] for e in events).values(), default=0) for events in (sent, ahead))
        if here >= 0 and (any(lates(old)) or most > 1):
            unknown.add(lane)  # they leave at their own touches, or it can't be said here which repeat it is
            continue
        led = max([(e.at_ms, e.what[:4]) for e in sent if e.at_ms <= it.at_ms], default=(0, None))
        kept = [e.what[:4] for e in after.run.timeline.events(lane) if e.kind == "send-off" and e.at_ms == led[0]]
        repeat = repeat_key(old, here) if here >= 0 else None
        again = any(repeat_key(old, index) == repeat for index in range(here + 1, len(old.sendoffs)))
        if here >= 0 and (
            old.paused_ms is not None and again or old.pass_at(here).first < here and old.pass_at(here).laneline.own
        ):
            unknown.add(lane)  # no events tell of a repeat to come of a paused lane, nor that one set is one swim
            continue
        if led[1] is not None and led[1] not in kept:
            unknown.add(lane)  # right after its send-off, the whole lane sits the repeat out: its metres are said
            continue
        were, are = (_leave_later(each.run.timeline, lane, it.at_ms) for each in (before, after))
        later = after.run.timeline.events(lane)
        again = {
            (event.swimmer, *event.what[:4]) for event in later if event.kind == "send-off" and event.at_ms > it.at_ms
        }
        here = len(before.run.timeline.squad.lanes[lane].swimmers)  # who got out or goes to another lane misses nothing
        missing = were - are - again
        leaves_again = old.paused_ms is not None and after.run.timeline.tracks[lane].paused_ms is None
        if leaves_again or kind == "take":  # who didn't leave before, either
            missing = _never_left(after, lane, it.at_ms)
            if not leaves_again:
                missing -= _never_left(before, lane, it.at_ms)
        if missing := {each for each in missing if each[0] <= here}:
            so[lane] = len(missing)
    if told - unknown != set(so) or found and not told & unknown and int(found[2]) != sum(so.values()):
        yield f"swimmers who miss a repeat, by lane: { {lane + 2: n for lane, n in so.items()} }"


def _leave_later(timeline: Timeline, lane: int, at_ms: int) -> set[tuple]:
    """Who leaves after `at_ms` on the repeat on which the lane's leader has left last, and on which."""
    left = [(event.at_ms, event.swimmer, event.what) for event in timeline.events(lane) if event.kind == "send-off"]
    led_ms, led = max([(ms, what[:4]) for ms, swimmer, what in left if swimmer == 1 and ms <= at_ms], default=(0, None))
    again_ms = min(
        [ms for ms, swimmer, what in left if swimmer == 1 and what[:4] == led and ms > led_ms], default=NEVER
    )
    return {(swimmer, *what[:4]) for ms, swimmer, what in left if what[:4] == led and at_ms < ms < again_ms}


def _never_left(state: State, lane: int, at_ms: int) -> set[tuple]:
    """Who of a lane that has left on a repeat never leaves on it, and on which."""
    timeline = state.run.timeline
    left = [(event.at_ms, event.swimmer, event.what[:4]) for event in timeline.events(lane) if event.kind == "send-off"]
    led_ms, led = max([(ms, what) for ms, swimmer, what in left if swimmer == 1 and ms <= at_ms], default=(0, None))
    index = timeline.tracks[lane].index_at(led_ms)
    if led is None or index < 0:
        return set()
    here = range(1, len(timeline.tracks[lane].pass_at(index).laneline.bases) + 1)
    gone = {swimmer for ms, swimmer, what in left if what == led and ms >= led_ms}
    return {(swimmer, *led) for swimmer in here if swimmer not in gone}


def _new_set_ms(it: Evening, lane: int) -> int | None:
    """When a lane first leaves on the set that was just added."""
    run, was = it.driver.run, it.driver.run.before
    assert was is not None
    known = Counter(section for section, *_ in numbered_lines(was.course.plan))
    track = run.timeline.tracks[lane]
    new = [found for found in track.passes if found.laneline.number > known[found.section]]
    return next((track.sendoffs[found.first] for found in new if track.sendoffs[found.first] >= it.at_ms), None)


def _wrong_waits(it: Evening, said: str, before: State, after: State) -> Iterator[str]:
    """Whether just the lanes that wait longer are said to: for their next send-off, or early at a later section."""
    told: dict[int, set[tuple[int, str]]] = {}
    for names, minutes, section in re.findall(
        WHO + r" waits? (\d+) min longer(?: than planned)?(?: before ([^;]+))?", said
    ):
        for lane in who(names):
            told.setdefault(lane, set()).add((int(minutes), section))
    for lane in range(len(after.words)):
        old, new = before.run.timeline.tracks[lane], after.run.timeline.tracks[lane]
        if old.paused_ms is not None or new.paused_ms is not None:
            continue
        so = _longer(it, lane, before, after)
        if bool(so) != (lane in told) or not told.get(lane, set()) <= so:
            yield f"lane {lane + 2} waits longer: {sorted(so) or 'not'}"


def _longer(it: Evening, lane: int, before: State, after: State) -> set[tuple[int, str]]:
    """The lane's waits that are longer than before by more than an interval: minutes, and before which section."""
    old, new = before.run.timeline.tracks[lane], after.run.timeline.tracks[lane]
    here, found = old.index_at(it.at_ms), set()
    was_ms, next_ms = before.leaves_ms[lane], after.leaves_ms[lane]
    if was_ms is not None and next_ms is not None:
        least_ms = max(_interval(old, max(0, here)), _interval(new, new.index_at(it.at_ms) + 1))
        stood = max(_standing(before.run.timeline, lane, it.at_ms, next_ms), default=0)
        more_ms = max(_standing(after.run.timeline, lane, it.at_ms, next_ms), default=0) - stood
        if min(next_ms - was_ms, more_ms) > least_ms:
            found.add((_minutes(more_ms), ""))
    were = _waits_for_sections(before.run.timeline, lane, it.at_ms)
    first = before.run
    while first.before is not None:
        first = first.before
    planned = _waits_for_sections(first.timeline, lane, -NEVER)
    for section, (ms, interval_ms) in _waits_for_sections(after.run.timeline, lane, it.at_ms).items():
        if section not in were or not old.sendoffs:
            continue
        more_ms = ms - were[section][0]
        least_ms = max(60_000, interval_ms, were[section][1], _interval(old, max(0, here)))
        in_all_ms = ms - planned[section][0] if section in planned else 0
        if more_ms > least_ms:
            found.add((_minutes(more_ms), section))
        elif more_ms >= 30_000 and in_all_ms > least_ms:
            found.add((_minutes(in_all_ms), section))
    return found


def _minutes(ms: int) -> int:
    return max(1, (ms + 30_000) // 60_000)


def _standing(timeline: Timeline, lane: int, at_ms: int, until_ms: int) -> list[int]:
    """How long the whole lane is at the wall before each send-off after `at_ms` and until `until_ms`."""
    made = []
    for event in timeline.events(lane):
        if event.kind == "send-off" and event.swimmer == 1 and at_ms < event.at_ms <= until_ms:
            swims = last_swims(timeline, lane, event.at_ms - 1)
            home_ms = max([at_ms, *(swim.home_ms for swim in swims if swim is not None)])
            made.append(max(0, event.at_ms - home_ms))
    return made


def _waits_for_sections(timeline: Timeline, lane: int, at_ms: int) -> dict[str, tuple[int, int]]:
    """By section ahead: how long nobody of the lane swims before it, and the interval before that."""
    made: dict[str, tuple[int, int]] = {}
    track, here = timeline.tracks[lane], "-"
    for event in timeline.events(lane):
        section = event.what.section
        if event.kind == "send-off" and section != here:
            if here != "-" and event.at_ms > at_ms:
                swims = last_swims(timeline, lane, event.at_ms - 1)
                home_ms = max([swim.home_ms for swim in swims if swim is not None], default=0)
                interval_ms = _interval(track, track.sendoffs.index(event.at_ms) - 1)
                made[section or "the next section"] = event.at_ms - home_ms, interval_ms
            here = section
    return made


def _interval(track: Track, index: int) -> int:
    intervals, repeat = track.pass_at(index).laneline.intervals, track.repeat_in_line(index)
    return intervals[repeat] if repeat < len(intervals) else 0


def _wrong_starts(it: Evening, said: str, before: State, after: State) -> Iterator[str]:
    """Whether just the common starts that move are said to, by as much: none that is over, none in a pause of all."""
    sections, at_ms = after.run.timeline.plan.sections, it.driver.at_ms()
    so = {
        sections[section].name or "the next section": _moved(start_ms - was_ms)
        for section, was_ms in before.starts.items()
        if was_ms is not None and (start_ms := after.starts.get(section)) is not None and start_ms != was_ms
        if max(was_ms, start_ms) > at_ms and (_going(after, at_ms) or not _going(before, at_ms))
    }
    told = dict(re.findall(r"([^;:]+) starts ([\d:]+ (?:later|earlier))", said))
    if {name.strip(): by for name, by in told.items()} != so:
        yield f"starts move: {so or 'none'}"


def _going(state: State, at_ms: int) -> bool:
    """Whether somebody swims, or will without a resume; also when all are done."""
    tracks = state.run.timeline.tracks
    return any(each.paused_ms is None and at_ms < each.end_ms for each in tracks) or all(
        each.paused_ms is None for each in tracks
    )


def _moved(ms: int) -> str:
    minutes, seconds = divmod(abs(ms) // 1000, 60)
    clock = f"{minutes // 60}:{minutes % 60:02d}" if minutes >= 60 else f"{minutes}"
    return f"{clock}:{seconds:02d} {'later' if ms > 0 else 'earlier'}"


def _wrong_tight(said: str, before: State, after: State) -> Iterator[str]:
    """Whether just the lanes for which something becomes too tight are said, and by how much at most."""
    so = {}
    for lane, (old, new) in enumerate(zip(before.run.timeline.tracks, after.run.timeline.tracks)):
        known = {_set_key(found): _short(found) for found in old.passes}
        worst = max([_short(found) for found in new.passes if _short(found) > known.get(_set_key(found), 0)], default=0)
        if worst:
            so[lane] = worst
    found = re.search(r"too tight for " + WHO + r", by (?:up to )?(?:(\d+):(\d\d)|(\d+) s)", said)
    told = who(found[1]) if found else set()
    by = 60 * int(found[2] or 0) + int(found[3] or found[4]) if found else 0
    if told != set(so) or by != -(-max(so.values(), default=0) // S):
        yield f"too tight: { {lane + 2: ms for lane, ms in so.items()} }"


def _set_key(found: Pass) -> tuple:
    return found.section, found.laneline.number, found.laneline.intervals


def _short(found: Pass) -> int:
    """How much too late the slowest is back: for a send-off that is written, five seconds of rest belong to it."""
    line = found.laneline
    if line.own is not None:
        return 0
    rest_ms = 5 * S if line.line.interval is not None else 0
    late_ms = [
        line.times(repeat, swimmer)[-1] + rest_ms - line.intervals[repeat]
        for repeat in range(line.count)
        for swimmer in range(len(line.bases))
    ]
    return max([0, *late_ms])


def _spread(metres: list[int]) -> str:
    least, most = min(metres), max(metres)
    return f"{least:,}" if least == most else f"{least:,} to {most:,}"


def _not_back(it: Evening) -> Iterator[str]:
    """Whether somebody of a lane that joins another still swims five seconds before it leaves."""
    entry = it.driver.journal[-1]
    if isinstance(entry, LaneJoined):
        timeline, back_ms = it.driver.run.timeline, entry.leave_ms - 5 * S
        apart_ms = timeline.squad.lanes[entry.lane].spacing_ms  # each leaves so much after the one ahead
        late = [
            place
            for place in range(len(timeline.squad.lanes[entry.lane].swimmers))
            if places(timeline, entry.lane, back_ms + place * apart_ms)[place].moving
        ]
        if late:
            yield f"lane {entry.lane + 2} isn't back at {back_ms / S:.0f} s: {late}"
        texts = [
            pool_view(it.driver.seen, at_ms).bands[entry.lane].text for at_ms in range(it.at_ms, entry.leave_ms, S)
        ]
        words = [text.word for text in texts]
        if "STOP" in words[1:] and words[0] != "STOP":
            yield f"lane {entry.lane + 2} stops {words.index('STOP')} s later"


def _wrong_metres(said: str, changed: dict[int, int]) -> Iterator[str]:
    told: dict[int, int] = {}
    whole = set()
    for part in said.split("; "):
        head = re.match(WHO, part)
        for first, far, word in re.findall(r"(?:(\d[\d,]*) to )?(\d[\d,]*) (?:m|yd) (more|less)", part):
            metres = int(far.replace(",", "")) * (1 if word == "more" else -1)
            if first or not head:
                least = int(first.replace(",", "")) * (1 if metres > 0 else -1) if first else metres
                whole |= {least, metres}
            else:
                told |= dict.fromkeys(who(head[1]), metres)
    if whole:
        if whole - set(changed.values()) and not told:
            yield f"metres change by {changed}"
        return
    for lane in told.keys() | changed.keys():
        if told.get(lane, 0) != changed.get(lane, 0):
            yield f"lane {lane + 2}: {changed.get(lane, 0):+} m, not {told.get(lane, 0):+}"


def _wrong_leaves(it: Evening, said: str, after: State) -> Iterator[str]:
    for part in said.split("; "):
        for names, clock in re.findall(WHO + r"(?:: (?:[^;]*, )?| )leaves? (:\d\d)", part):
            for lane in who(names):
                leaves_ms = _new_set_ms(it, lane) if "the new set" in part else after.leaves_ms[lane]
                reading = None if leaves_ms is None else f":{leaves_ms // S % 60:02d}"
                if reading != clock:
                    yield f"lane {lane + 2} leaves {reading}"
        for names, hours, minutes, seconds in re.findall(WHO + r"(?: leaves?)? in (?:(\d+):)?(\d+):(\d\d)", part):
            so = {after.leaves_ms[lane] for lane in who(names)}
            told_s = 3600 * int(hours or 0) + 60 * int(minutes) + int(seconds)
            if {None if ms is None else -((it.at_ms - ms) // S) for ms in so} != {told_s}:
                yield f"{names} leave at {so}"
