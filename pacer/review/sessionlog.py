"""The log: a list of all sessions, or one session in full, as text for people and as JSON for programs."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace

from pacer.language import tr
from pacer.plan.decimals import decimals
from pacer.plan.problem import Unreadable
from pacer.plan.text.withoutcomments import without_comments
from pacer.plan.times import text_from_ms
from pacer.plan.titles import titled
from pacer.review.alignedrows import aligned
from pacer.review.eventlist import Telling
from pacer.session.journal.entries import Begun, Entry
from pacer.session.journal.recordentries import Corrected, Noted, Record, Touched, unnamed_source
from pacer.session.records.entrytext import Names, clock, how_it_went, names_of
from pacer.session.records.expectedtimes import by_times
from pacer.session.records.headsandfeedback import heads, summaries
from pacer.session.records.strokefigures import ratings
from pacer.session.records.touches import TakenTime, difference, tenths, time_figures, times
from pacer.session.running.brokenrepeats import in_all, swum, swum_of
from pacer.session.running.replay import replay
from pacer.session.running.runstate import Run
from pacer.session.storage.savedsession import KeptSession, Line, Listed, recency
from pacer.session.timezone import day_and_time, time_of_day
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline

FORMAT = "pacer-log/1"

CANNOT_RUN = tr("This version can't run its plan; what was recorded is below.")


# -- as text -----------------------------------------------------------------------------------------


def log_order(sessions: Iterable[Listed]) -> tuple[Listed, ...]:
    """The sessions in the order of the log, on the tablet and in the terminal: the last started first."""
    return tuple(sorted(sessions, key=recency, reverse=True))


def list_text(sessions: Iterable[Listed]) -> str:
    """All sessions, one in each row."""
    rows = [("", tr("started"), tr("title"), tr("pool"), tr("lasted"), tr("recorded"))]
    for one in sessions:
        begun = tr("not started") if one.begun_ms is None else day_and_time(one.begun_ms, one.zone)
        rows.append((str(one.number), begun, titled(one.title), one.pool, took(one), str(one.entries)))
    if len(rows) == 1:
        return tr("No sessions yet.")
    return "\n".join(aligned(rows, left=(1, 2, 3)))


def took(one: Listed) -> str:
    """How long a session took, as text; `not ended` if it has no end, "" if it never started."""
    if one.begun_ms is None:
        return ""
    if one.ended_ms is None:
        return tr("not ended")
    return text_from_ms(max(0, one.ended_ms - one.begun_ms) // 1000 * 1000)


def session_text(kept: KeptSession, *, names: bool = False) -> str:
    """One session: its plan, how it went, times, and every press. Swimmers by their places, no names.

    The words of notes, which may contain a name, only with `names`.
    """
    return "\n\n".join("\n".join(rows) for rows in _session_blocks(kept, words=names))


def _session_blocks(kept: KeptSession, *, words: bool) -> tuple[tuple[str, ...], ...]:
    """The same in blocks of rows; the first row of each is its heading."""
    blocks = [_head(kept)]
    names, run = Names((), ()), None
    try:
        timeline = kept.session.timeline()
        names, run = names_of(timeline), replay(timeline, kept.journal)
    except (Unreadable, CannotRun):
        blocks.append([CANNOT_RUN])
    blocks.append(list(kept.lost))
    if run is not None:
        blocks += [_lanes(kept, timeline, run, names), _times(kept, run, names), _rates(kept, names)]
    blocks.append(_entries(kept.lines, names, words))
    return tuple(tuple(rows) for rows in blocks if rows)


def _head(kept: KeptSession) -> list[str]:
    one = kept.listed
    begun = tr("not started") if one.begun_ms is None else day_and_time(one.begun_ms, one.zone)
    rows = [
        tr("Session {number}: {title}", number=one.number, title=titled(one.title)),
        ", ".join(part for part in (begun, one.pool, took(one)) if part),
    ]
    rows += filter(None, [known(one)])
    found = heads(kept.journal)
    if found.into is not None or found.out is not None:
        rows.append(
            tr(
                "head count: {into} in, {out} out",
                into="?" if found.into is None else found.into,
                out="?" if found.out is None else found.out,
            )
        )
    if found.warning:
        rows.append(found.warning)
    return rows


def _lanes(kept: KeptSession, begun: Timeline, run: Run, names: Names) -> list[str]:
    """A row for each lane: how much it swam of what was planned when the session was `begun`, and how it went."""
    summed = summaries(kept.journal)
    rows = []
    for index in range(len(run.timeline.tracks)):
        row = f"{names.lane(index)}: {_distance(kept, begun, run, index)}"
        if index in summed:
            row += f", {how_it_went(summed[index])}"
        rows.append(row)
    return rows


def _distance(kept: KeptSession, begun: Timeline, run: Run, lane: int) -> str:
    done, planned, left = lane_swum(kept, begun, run, lane)
    unit = run.timeline.plan.pool.unit
    swum = tr("{done:,} {unit} of {left:,}", done=done, unit=unit, left=left) if done < left else f"{done:,} {unit}"
    return swum if left == planned else tr("{swum}, planned {planned:,}", swum=swum, planned=planned)


def lane_swum(kept: KeptSession, begun: Timeline, run: Run, lane: int) -> tuple[int, int, int]:
    """How far a lane swam, as far as that is known.

    Also how far it should swim by the plan when the session was `begun`, and how far it would have swum after all
    changes on deck, had the session not been ended.
    """
    until_ms = None if run.ended_ms is not None else known_ms(kept, run)  # at the end, all swam to the wall
    seen = by_times(run, kept.journal).timeline
    done = swum(seen, lane, until_ms)
    if until_ms is not None:
        done += sum(_rest_of(seen, lane, one.touched, until_ms) for one in times(kept.journal))
    return done, begun.distance(lane), in_all(seen, lane, run.ended_ms)


def _rest_of(timeline: Timeline, lane: int, touched: Touched, until_ms: int) -> int:
    """What the lane's leader had swum by a touch beyond what was expected by then: they may be faster than expected."""
    track = timeline.tracks[lane]
    if (touched.lane, touched.swimmer) != (lane, 0) or touched.left_ms not in track.sendoffs:
        return 0
    index = track.sendoffs.index(touched.left_ms)
    return swum_of(timeline, lane, index) - swum_of(timeline, lane, index, until_ms)


def known_ms(kept: KeptSession, run: Run) -> int | None:
    """Up to when, in session time, it is known how a started session went: its end, or when it was last saved."""
    if run.begun is None or run.ended_ms is not None:
        return run.ended_ms
    seen_ms = kept.lines[-1].entry.at_ms
    return seen_ms if kept.seen_boot_ms is None else max(seen_ms, kept.seen_boot_ms - run.begun.boot_ms)


def known(one: Listed) -> str:
    """For a session without an end, a text that says up to when it is known how it went; "" for others."""
    if one.begun_ms is None or one.ended_ms is not None or one.seen_ms is None:
        return ""
    return tr("never ended; recorded up to {seen}", seen=time_of_day(one.seen_ms, one.zone)[:5])


def shown_in_order(kept: KeptSession) -> list[TakenTime]:
    """The times after all corrections, lane by lane and line by line."""

    def place(taken: TakenTime) -> tuple[int, ...]:
        one = taken.touched
        return one.lane, one.section, one.round, one.line, one.swimmer, one.left_ms

    return sorted(times(kept.journal), key=place)


def _times(kept: KeptSession, run: Run, names: Names) -> list[str]:
    """The times, lane by lane and line by line."""
    taken = shown_in_order(kept)
    if not taken:
        return []
    rows = [tr("times (vs expected)")]
    before = None
    for _, entry in taken:
        place = (entry.lane, entry.section, entry.round, entry.line)
        if place != before:
            rows.append(f"  {names.lane(entry.lane)}, {names.line(entry.section, entry.line, entry.round)}")
            before = place
        said = tr(
            "swimmer {swimmer}, repeat {repeat}  {time:>7}",
            swimmer=entry.swimmer + 1,
            repeat=entry.repeat,
            time=tenths(entry.time_cs),
        )
        parts = [*(f"{part:>5}" for part in against(run, entry)), *([tr("called")] if entry.called else [])]
        rows.append(f"    {'  '.join([said, *parts])}{_of_source(entry.source)}")
    return rows


def against(run: Run, entry: Touched) -> tuple[str, ...]:
    """A time compared with the prediction, its target and its interval, as far as there are any."""
    what = time_figures(run, entry)
    if what is None:
        return ()
    hold = "" if what.over_hold_ms is None else tr("target {difference}", difference=difference(what.over_hold_ms))
    rest = "" if what.rest_ms is None else tr("rest {time}", time=text_from_ms(max(0, what.rest_ms) // 1000 * 1000))
    return tuple(filter(None, (difference(what.over_predicted_ms), hold, rest)))


def _rates(kept: KeptSession, names: Names) -> list[str]:
    found = ratings(kept.journal)
    rows = [
        "  "
        + tr(
            "{who}  {rate} cycles a minute over {cycles}, {least} to {most}{source}",
            who=names.who(entry.lane, entry.swimmer),
            rate=decimals(what.rate),
            cycles=what.cycles,
            least=decimals(what.least),
            most=decimals(what.most),
            source=f"  {entry.source}" if entry.source else "",
        )
        for entry, what in found
        if what is not None
    ]
    return [tr("stroke rates"), *rows] if rows else []


def _entries(lines: Iterable[Line], names: Names, words: bool) -> list[str]:
    """Every entry as a sentence, with its number and session time; notes with their `words`."""
    telling = Telling(names)
    rows = [
        f"{line.number:>5}  {clock(line.entry.at_ms):>8}  {telling.told(line.entry if words else _unnamed(line.entry))}"
        for line in lines
    ]
    return [tr("journal"), *rows] if rows else [tr("No changes were made.")]


def _unnamed(entry: Entry | Record) -> Entry | Record:
    """An entry without a note's words and the name of its source file, which may contain a swimmer's name."""
    if isinstance(entry, Begun | Touched | Corrected):
        return replace(entry, source=unnamed_source(entry.source))
    if isinstance(entry, Noted):
        return replace(entry, text=tr("a note"))
    return entry


def _of_source(source: str) -> str:
    return source and f"  {unnamed_source(source)}"


# -- as JSON ----------------------------------------------------------------------------------------------


def list_json(sessions: Iterable[Listed]) -> dict:
    """All sessions for a program."""
    return {"format": FORMAT, "sessions": [_listed_json(one) for one in sessions]}


def session_json(kept: KeptSession, *, names: bool = False) -> dict:
    """One session in full.

    The plan's and the squad's text, counts, the journal as recorded, the times after all corrections.

    Swimmers' names are personal data, and are left out unless `names`, as are comments and notes, which may have some.
    """
    session = kept.session
    return {
        "format": FORMAT,
        "session": {
            **_listed_json(kept.listed),
            "plan": session.plan if names else without_comments(session.plan),
            "squad": session.squad if names else session.unnamed_squad,
            "squad_assumed": session.assumed,
            "counts": [
                {"section": section, "line": line, "lanes": list(lanes)} for section, line, lanes in session.counts
            ],
            "journal": [
                {"number": line.number, "written_ms": line.wall_ms, **entry_json(line, names=names)}
                for line in kept.lines
            ],
            "times": [_time_json(one, names) for one in times(kept.journal)],
            "lost": list(kept.lost),
        },
    }


def _listed_json(one: Listed) -> dict:
    return {
        "number": one.number,
        "title": one.title,
        "pool": one.pool,
        "begun_ms": one.begun_ms,
        "zone": one.zone,
        "ended_ms": one.ended_ms,
        "entries": one.entries,
    }


def entry_json(line: Line, *, names: bool) -> dict:
    """An entry of the journal; without `names`, no swimmer's name, and no words of a note, which may contain one."""
    told_json = json.loads(line.text)
    if not names:
        told_json.pop("name", None)
        if isinstance(line.entry, Noted):
            told_json["text"] = ""
        if "source" in told_json:
            told_json["source"] = unnamed_source(told_json["source"])
    return told_json


def _time_json(one: TakenTime, names: bool) -> dict:
    entry = one.touched
    return {
        "entry": one.number,
        "lane": entry.lane,
        "swimmer": entry.swimmer + 1,
        "section": entry.section,
        "round": entry.round,
        "line": entry.line,
        "repeat": entry.repeat,
        "left_ms": entry.left_ms,
        "time_cs": entry.time_cs,
        "called": entry.called,
        "source": entry.source if names else unnamed_source(entry.source),
        "bound_ms": entry.bound_ms,
    }
