"""Which lanes wait longer after a change, still stop at the wall, or have somebody who hasn't left; what each loses.

No Kivy.
"""

from __future__ import annotations

from pacer.language import tr, tr_n
from pacer.session.journal.entries import CountChanged, SwimmerJoined, TakenBack
from pacer.session.running.brokenrepeats import in_all_each
from pacer.session.running.finish import going
from pacer.session.running.outlook import Outlook, longer
from pacer.session.running.runstate import Run
from pacer.session.running.stragglers import come_far, missed_repeat
from pacer.session.running.whereabouts import swims_by_number
from pacer.show.wording.settext import set_words
from pacer.show.wording.viewtext import nth, say
from pacer.squad.lanenumbers import lane_numbers, spans
from pacer.timeline.course import Course


def named(run: Run, lanes: list[int]) -> str:
    """`lane 4`, `lanes 4, 6–8`, `all lanes`, by the numbers on the wall."""
    numbers = [run.timeline.squad.lanes[lane].number for lane in lanes]
    return lane_numbers(numbers, len(run.timeline.tracks)) or tr("lane {numbers}", numbers=spans(numbers))


def section_name(run: Run, section: int) -> str:
    return run.timeline.plan.sections[section].name or tr("the next section")


def waits(told: Outlook) -> list[str]:
    """Which lanes wait longer, by how much, and before what: `lane 3 waits 6 min longer before Swim-down`."""
    made = []
    for (minutes, before, than_planned), numbers in longer(told).items():
        said = {"numbers": spans(numbers), "minutes": minutes}
        made.append(
            tr_n(
                "lane {numbers} waits {minutes} min longer", "lanes {numbers} wait {minutes} min longer",
                len(numbers), **said,
            )
            if before is None
            else tr_n(
                "lane {numbers} waits {minutes} min longer than planned before {section}",
                "lanes {numbers} wait {minutes} min longer than planned before {section}",
                len(numbers), section=section_name(told.run, before), **said,
            )
            if than_planned
            else tr_n(
                "lane {numbers} waits {minutes} min longer before {section}",
                "lanes {numbers} wait {minutes} min longer before {section}",
                len(numbers), section=section_name(told.run, before), **said,
            )
        )  # fmt: skip
    return made


def waits_in_short(told: Outlook) -> list[str]:
    """Which lanes wait longest, by how much longer than without it: `lanes 2, 4 wait 7 min longer`."""
    found = {wait: numbers for wait, numbers in longer(told).items() if not wait[2]}
    if not found:
        return []
    most = max(minutes for minutes, *_ in found)
    numbers = sorted(number for (minutes, *_), who in found.items() if minutes == most for number in who)
    return [
        tr_n(
            "lane {numbers} waits {minutes} min longer", "lanes {numbers} wait {minutes} min longer",
            len(numbers), numbers=spans(numbers), minutes=most,
        )
    ]  # fmt: skip


def still_stopping(told: Outlook) -> list[str]:
    """The lanes that stop at the wall also without what is undone: they can't be told to swim on."""
    if not told.still_stop or not isinstance(told.entry, TakenBack):
        return []
    lanes = named(told.run, list(told.still_stop))
    return [
        tr_n("{lanes} still stops at the wall", "{lanes} still stop at the wall", len(told.still_stop), lanes=lanes)
    ]


def still_in_short(told: Outlook, brief: bool = False) -> list[str]:
    """The same in few words, and how many don't leave any more on which repeat.

    `brief`: in as few words as possible, `lane 3 still stops; 2 miss repeat 4`.
    """
    if not isinstance(told.entry, TakenBack):
        return []
    made = list[str]()
    if told.still_stop:
        lanes = named(told.run, list(told.still_stop))
        made.append(tr_n("{lanes} still stops", "{lanes} still stop", len(told.still_stop), lanes=lanes))
    if told.missing:
        made.append(misses(told)[brief])
    return made


def misses(told: Outlook, lane: int | None = None) -> tuple[str, str]:
    """How many don't leave any more on which repeat, in full and in few words: `2 swimmers miss repeat 4`.

    The repeat by its number: the lanes' next one is shown beside this, and nobody is to be held back from that.
    `lane`: of that lane alone.
    """
    assert told.entry is not None, "it was pressed"
    missing = {each: n for each, n in told.missing if lane in (None, each)}
    n, what = sum(missing.values()), missed(told.run, list(missing), told.entry.at_ms)
    return (
        tr_n("1 swimmer misses {what}", "{n} swimmers miss {what}", n, what=what),
        tr_n("1 misses {what}", "{n} miss {what}", n, what=what),
    )


def missed(run: Run, lanes: list[int], at_ms: int) -> str:
    """The repeat on which lanes have left last: `repeat 4`, `the 300`; of lanes that differ, `the repeat before`."""
    found = set()
    for lane in lanes:
        if (index := missed_repeat(run.timeline, lane, at_ms)) is not None:
            track = run.timeline.tracks[lane]
            each = track.pass_at(index)
            of, repeat = track.repeats_of(each), track.repeat_in_line(index) + 1
            if of == 1 or each.laneline.own is not None:  # it is swum straight through
                found.add(tr("the {length}", length=set_words(each.laneline, of)))
            else:
                found.add(tr("repeat {repeat}", repeat=repeat))
    return found.pop() if len(found) == 1 else tr("the repeat before")


def still_miss(told: Outlook, lane: int | None = None) -> tuple[str, ...]:
    """How many miss a repeat also without what is undone, as they can't leave on it any more: in full and in few words.

    Nothing if nobody does. `lane`: of that lane alone.
    """
    still = {each: n for each, n in told.still_missing if lane in (None, each)}
    if not still or not isinstance(told.entry, TakenBack):
        return ()
    n, what = sum(still.values()), missed(told.run, list(still), told.entry.at_ms)
    return (
        tr_n("1 swimmer still misses {what}", "{n} swimmers still miss {what}", n, what=what),
        tr_n("1 still misses {what}", "{n} still miss {what}", n, what=what),
    )


def stopped_again(told: Outlook) -> list[str]:
    """That an Undo brings back STOP ALL, which then fills the screen again."""
    back = isinstance(told.entry, TakenBack) and told.run.stopped and told.was is not None and not told.was.stopped
    return [tr("ALL STOPPED again")] if back else []


def still_out(told: Outlook) -> list[str]:
    """Who is in the water, and by an Undo has never joined their lane: they get no more send-offs."""
    entry, was = told.entry, told.was
    if not isinstance(entry, TakenBack) or was is None or not isinstance(was.by, SwimmerJoined):
        return []
    lane, swimmers = was.by.lane, was.timeline.squad.lanes[was.by.lane].swimmers
    place = len(swimmers) - 1 if was.by.place is None else min(was.by.place, len(swimmers) - 1)
    swim = swims_by_number(was.timeline, lane, entry.at_ms)[swimmers[place].number]
    if swim is None or swim.home_ms <= entry.at_ms:
        return []
    return [tr("{lane}: swimmer {swimmer} is still in the water", lane=named(was, [lane]), swimmer=place + 1)]


def gets_in(told: Outlook, lane: int) -> list[str]:
    """Who comes to a lane that waits at the far wall, and has to get in there: `4th gets in at the far end`."""
    assert told.was is not None and told.entry is not None, "it was pressed"
    places = come_far(told.was.timeline, told.run.timeline, lane, told.entry.at_ms)
    return [tr("{nth} gets in at the far end", nth=nth(place)) for place in places]


def back_in(told: Outlook) -> list[str]:
    """The same of an Undo, which nothing else says, with the lane."""
    if not isinstance(told.entry, TakenBack) or told.was is None:
        return []
    lanes = range(len(told.run.timeline.tracks))
    return [tr("{lane}: {way}", lane=named(told.run, [lane]), way=way) for lane in lanes for way in gets_in(told, lane)]


def not_left(told: Outlook) -> list[str]:
    """The lanes in which somebody hasn't left on the repeat that the others swim, and can't any more."""
    if not told.missing:
        return []
    assert told.entry is not None, "it was pressed"
    lanes, n = [lane for lane, _ in told.missing], sum(n for _, n in told.missing)
    return [
        tr_n(
            "{lanes}: 1 swimmer hasn't left and misses {what}",
            "{lanes}: {n} swimmers haven't left and miss {what}",
            n,
            lanes=named(told.run, lanes),
            what=missed(told.run, lanes, told.entry.at_ms),
        )
    ]


def asides(told: Outlook) -> tuple[str, ...]:
    """What is said only where there is room: who hasn't left, who is behind the leader of a lane that stops, which
    lanes stop at both walls or come back from the far one, and which then begin sets there.
    """
    far, lanes = len(told.far), named(told.run, list(told.far))
    begin = tr_n("{lanes} then starts from the far wall", "{lanes} then start from the far wall", far, lanes=lanes)
    return (*not_left(told), *stragglers(told), *([begin] if far else []))


def stragglers(told: Outlook) -> list[str]:
    """How much less the swimmers behind the leaders swim where lanes stop, in which lanes somebody swims back from the
    far wall, and which lanes stop at both walls.
    """
    made = []
    if told.behind:
        lanes, far = named(told.run, [lane for lane, _ in told.behind]), max(far for _, far in told.behind)
        unit = told.run.timeline.plan.pool.unit
        made.append(
            tr("in {lanes}, some swim up to {far} {unit} less than the leader", lanes=lanes, far=far, unit=unit)
        )
    made += swim_back(told)
    if told.split:
        lanes = named(told.run, list(told.split))
        made.append(
            tr_n(
                "{lanes}: swimmers stop at both ends",
                "{lanes}: swimmers stop at both ends",
                len(told.split),
                lanes=lanes,
            )
        )
    return made


def swim_back(told: Outlook) -> list[str]:
    """The lanes whose swimmers at the far wall swim back."""
    lanes = named(told.run, list(told.back)) if told.back else ""
    return [tr("{lanes}: {swim_back}", lanes=lanes, swim_back=say("swim back"))] if lanes else []


def in_short(told: Outlook, gone: bool) -> list[str]:
    """What matters most where there is little room: the longest wait, sets that don't fit (`gone`), the far wall."""
    most = max([minutes for minutes, _, than_planned in longer(told) if not than_planned], default=0)
    return [
        *([tr("up to {minutes} min more waiting", minutes=most)] if most else []),
        *([tr("not all sets fit")] if gone else []),
        *([tr("{lanes} then from the far wall", lanes=named(told.run, list(told.far)))] if told.far else []),
    ]


def catches(told: Outlook) -> list[str]:
    """Who catches the one ahead after a move: `lane 4: swimmer 3 catches the one ahead`."""
    return [
        tr("{lane}: swimmer {swimmer} catches the one ahead", lane=named(told.run, [lane]), swimmer=swimmer)
        for lane, swimmer in told.catches
    ]


def catches_in_short(told: Outlook) -> list[str]:
    """The same in few words, then also without the lane: `lane 4: swimmer 3 catches up`."""
    made = []
    for lane, swimmer in told.catches:
        up = tr("swimmer {swimmer} catches up", swimmer=swimmer)
        made += [tr("{lane}: {catch}", lane=named(told.run, [lane]), catch=up), up]
    return made


def round_cut(told: Outlook) -> list[str]:
    """The lanes that have no time for a round that was added, or not for all of it."""
    entry, was = told.entry, told.was
    if not isinstance(entry, CountChanged) or not entry.rounds or entry.by < 0 or was is None:
        return []
    course, cut = told.run.course, dict[tuple[int, int], list[int]]()
    tracks = going(told.run, entry.at_ms).timeline.tracks
    for lane in told.run.lanes(entry.lanes):
        if tracks[lane].paused_ms is not None:
            continue  # nobody knows how much time it has once it is resumed
        for section in range(len(course.plan.sections)):
            rounds = range(was.course.rounds(section, lane) + 1, course.rounds(section, lane) + 1)
            of = sum(_repeats(course, section, lane, number) for number in rounds)
            swum = sum(
                found.count for found in tracks[lane].passes if found.section == section and found.round in rounds
            )
            if swum < of:
                cut.setdefault((swum, of), []).append(lane)
    return [
        tr("{lanes}: time for {swum} of {of} repeats", lanes=named(told.run, lanes), swum=swum, of=of)
        if swum
        else tr("{lanes}: no time for another round", lanes=named(told.run, lanes))
        for (swum, of), lanes in cut.items()
    ]


def _repeats(course: Course, section: int, lane: int, number: int) -> int:
    """How many repeats a lane swims in one round of a section if there is time for all of it."""
    program = course.program(section, lane)
    places = [place for place in course.order(section, lane, number) if not isinstance(program[place], int)]
    return sum(course.pass_line(section, lane, number, place).count for place in places)


def metres_each(told: Outlook, lane: int) -> tuple[int, int]:
    """How much more or less the swimmers who are in the lane with and without the press swim, least and most."""
    assert told.was is not None and told.counted is not None, "it was pressed"
    was, will = told.counted
    if was.timeline.tracks[lane] is will.timeline.tracks[lane] and was.ended_ms == will.ended_ms:
        return 0, 0
    before, after = (in_all_each(run.timeline, lane, ended=run.ended_ms is not None) for run in (was, will))
    here = [{one.number for one in run.timeline.squad.lanes[lane].swimmers} for run in (told.was, told.run)]
    changes = [after.get(number, 0) - before.get(number, 0) for number in here[0] & here[1]]
    return min(changes, default=0), max(changes, default=0)


def range_words(run: Run, least: int, most: int) -> tuple[str, ...]:
    """`150 m less`, `50 to 150 m less`, `up to 50 m less`."""
    if not least and not most:
        return ()
    said: dict[str, object] = {"unit": run.timeline.plan.pool.unit}
    if least < 0 < most:
        less, more = tr("{far:,} {unit} less", far=-least, **said), tr("{far:,} {unit} more", far=most, **said)
        return (tr("{less} to {more}", less=less, more=more),)
    near, far = sorted((abs(least), abs(most)))
    if near == far:
        return (
            tr("{far:,} {unit} less", far=far, **said) if least < 0 else tr("{far:,} {unit} more", far=far, **said),
        )
    if not near:
        return (
            tr("up to {far:,} {unit} less", far=far, **said)
            if least < 0
            else tr("up to {far:,} {unit} more", far=far, **said),
        )
    said |= {"near": near, "far": far}
    return (
        tr("{near:,} to {far:,} {unit} less", **said) if least < 0 else tr("{near:,} to {far:,} {unit} more", **said),
    )


def span_said(metres: list[int]) -> str:
    """`450`, `450 to 1,800`."""
    least, most = min(metres), max(metres)
    return f"{least:,}" if least == most else tr("{least:,} to {most:,}", least=least, most=most)


def stop_said(stops: list[int], who: str) -> str:
    return tr_n("{who}stops at the wall", "{who}stop at the wall", len(stops), who=who)
