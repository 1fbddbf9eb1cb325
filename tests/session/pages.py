"""Plans and squads for the tests of the running session, written as a coach writes them."""

from pacer.plan.notation.planreader import read_plan
from pacer.session.running.replay import replay
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline

#: Lane 4 leaves at 0:00 1:00 2:00 3:00, main 5:00 7:00 9:00, swim-down 12:00; lane 5 likewise, lane 4 ends at 13:25,
#: lane 5 at 13:40.
THREE_SECTIONS = """\
pool: 25 m
Warm-up
  4 x 50 on 1:00
Main set
  3 x 100 on 2:00
Swim-down
  100
"""

TWO_LANES = """\
[[lane]]
number = 4
base = "1:20"
swimmers = 2
[[lane]]
number = 5
base = "1:40"
"""

ONE_LANE = '[[lane]]\nbase = "1:40"\n'


def session(plan=THREE_SECTIONS, squad=TWO_LANES):
    """The timeline of a plan and a squad."""
    return build_timeline(read_plan(plan), read_squad(squad))


def sends(timeline, lane, section=None):
    """When the leader leaves, in seconds; of one section, or of all."""
    track = timeline.tracks[lane]
    return [
        at_ms // 1000
        for i, at_ms in enumerate(track.sendoffs)
        if section is None or track.pass_at(i).section == section
    ]


def left(timeline, lane, swimmer):
    """When a swimmer (from 1) leaves, in seconds, by the events."""
    return [
        event.at_ms // 1000 for event in timeline.events(lane) if event.kind == "send-off" and event.swimmer == swimmer
    ]


def check(timeline):
    """Check the invariants of every track."""
    for track in timeline.tracks:
        track.check()
    return timeline


def run(timeline, *journal):
    """The run after a journal, its timeline checked."""
    made = replay(timeline, journal)
    check(made.timeline)
    return made
