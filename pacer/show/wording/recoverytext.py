"""What the coach is told about an interrupted session before it is resumed. No Kivy."""

from __future__ import annotations

from pacer.language import tr, tr_n
from pacer.plan.sentence import sentence
from pacer.plan.times import MINUTE_MS, text_from_ms
from pacer.plan.titles import titled
from pacer.session.running.finish import going
from pacer.session.running.instant import State, lane_states
from pacer.session.storage.recovery import Recovery
from pacer.session.storage.savedsession import Listed


def recall_words(recovery: Recovery) -> tuple[tuple[str, str], ...]:
    """Headings and texts: what was running, and where it would be now."""
    run, at_ms = recovery.run, recovery.at_ms
    title = titled(recovery.title or run.timeline.plan.title)
    if recovery.over:
        ago = text_from_ms(max(0, at_ms - run.timeline.end_ms) // MINUTE_MS * MINUTE_MS)
        return (
            (
                tr("{title} was left running", title=title),
                tr("The last swimmer finished {ago} ago. Resume the session or end it.", ago=ago),
            ),
        )
    now = (
        tr("When pacer opened, the session had not started.")
        if at_ms < 0
        else (
            tr(
                "When pacer opened, the session was {time} in, {where}. Its clock is still running.",
                time=text_from_ms(at_ms // 1000 * 1000),
                where=_where(recovery),
            )
        )
    )
    pauses = _pauses(recovery)
    told = [
        tr("pacer was interrupted during this session."),
        now,
        *([sentence(pauses)] if pauses else []),
        tr("STOP ALL was pressed: all lanes stay stopped. Resume the session?")
        if run.stopped
        else tr("Resume the session?")
        if _all_wait(recovery)
        else tr("Resume as if it had never stopped?"),
    ]
    words = [(tr("{title} is running", title=title), " ".join(told))]
    if recovery.rebooted:
        words.append(
            (
                tr("Restarted"),
                tr("The tablet was restarted, so pacer goes by the tablet's clock. Check that its time is right."),
            )
        )
    elif recovery.doubtful:
        words.append(
            (
                tr("Time of day"),
                tr(
                    "The time of day has changed since. If the tablet was also restarted, check that the "
                    "session time is right."
                ),
            )
        )
    return tuple(words)


def running_again(recovery: Recovery, title: str) -> str:
    """What is said once an interrupted session is on the screen again: never that it went on, if all lanes stand."""
    pauses, said = _pauses(recovery), {"title": titled(recovery.title or title)}
    if recovery.run.stopped:
        what = tr("STOP ALL was pressed in {title}: all lanes stay stopped until you resume them.", **said)
    elif pauses:
        what = tr("{title} was running and is running again: {pauses}.", pauses=pauses, **said)
    else:
        what = tr("{title} was running and resumes as if it had never stopped.", **said)
    return tr("{what} To start another session, end this one first.", what=what)


def _all_wait(recovery: Recovery) -> bool:
    """Whether all who have still to swim are paused."""
    return going(recovery.run, recovery.at_ms) is not recovery.run


def _pauses(recovery: Recovery) -> str:
    """How many lanes are paused, not by STOP ALL; "" if none."""
    paused = recovery.run.paused()
    if not paused or recovery.run.stopped:
        return ""
    if _all_wait(recovery):
        return tr("all lanes are paused")
    return tr_n("{n} lane is paused", "{n} lanes are paused", len(paused))


def no_way_back(ended: Listed, now_ms: int) -> str:
    """That a session that has ended can't be resumed once another starts; `now_ms` is the time of day."""
    minutes = max(0, now_ms - (ended.ended_ms or now_ms)) // MINUTE_MS
    ago = tr("{minutes} min ago", minutes=minutes) if minutes else tr("just now")
    return tr(
        "{title} ended {ago}. Once you start this plan, you can't resume that session.",
        title=titled(ended.title),
        ago=ago,
    )


def in_use_words(recovery: Recovery) -> tuple[tuple[str, str], ...]:
    """Headings and texts: another copy of the app has the session, and what the coach can do."""
    title = titled(recovery.title or recovery.run.timeline.plan.title)
    return (
        (
            tr("{title} is running in another copy of pacer on this tablet", title=title),
            tr(
                "pacer is open twice. Use the other one, or close it and press Try again. You can "
                "also resume later, from your plans."
            ),
        ),
    )


def _where(recovery: Recovery) -> str:
    """The section that most lanes are in, as in the top line: who waits for the next one is in none."""
    timeline = recovery.run.timeline
    sections: list[int] = []
    next_ones: list[int] = []
    for track, state in zip(timeline.tracks, lane_states(timeline, recovery.at_ms)):
        waits = state.state is State.CHANGEOVER
        index = state.upcoming if state.upcoming >= 0 and (waits or state.state is State.READY) else state.index
        if 0 <= index < len(track.sendoffs):
            (next_ones if waits else sections).append(track.pass_at(index).section)
    sections = sections or next_ones
    name = timeline.plan.sections[max(set(sections), key=sections.count)].name if sections else ""
    return tr("in {name}", name=name) if name else tr("under way")
