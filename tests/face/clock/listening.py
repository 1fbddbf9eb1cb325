"""What `session_child.py` sounded, and what it should have sounded: worked out from the timeline's events alone."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from pacer.timeline.timeline import build_timeline
from tests.face.clock.session_child import SOUNDING, session
from tests.signal.recording import Heard, heard, samples

ROOT = Path(__file__).resolve().parents[3]


def recorded(kind: str, folder: Path) -> tuple[dict, list[Heard]]:
    """Run the app on the session called `kind`; what it tells, and the tones in the recording."""
    raw = folder / "heard.raw"
    return told(kind, folder, SDL_AUDIODRIVER="disk", SDL_DISKAUDIOFILE=str(raw)), heard(samples(raw))


def told(kind: str, folder: Path, **more: str) -> dict:
    """Run the app on the session called `kind`; what it tells."""
    environment = os.environ | {
        "HOME": str(folder),
        "PACER_HOME": str(folder / "kept"),
        "PYTHONPATH": str(ROOT),
        "SDL_VIDEODRIVER": "offscreen",
        "SDL_AUDIODRIVER": "dummy",
        **more,
    }
    command = [sys.executable, str(Path(__file__).with_name("session_child.py")), kind]
    run = subprocess.run(command, env=environment, cwd=folder, capture_output=True, text=True, timeout=300, check=False)
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout.splitlines()[-1])


def told_apart(tones: list[Heard]) -> tuple[list[list[Heard]], list[list[Heard]], list[Heard]]:
    """Count-downs (short beeps up to a long one), stop-all sounds, and what is neither."""
    countdowns, stops, rest, shorts = [], [], [], []
    for tone in tones:
        if abs(tone.hertz - 880) < 3 and 150 < tone.length_ms < 250:
            shorts.append(tone)
        elif abs(tone.hertz - 1760) < 3 and 500 < tone.length_ms < 650:
            countdowns.append([*shorts, tone])
            shorts = []
        elif 1_000 < tone.hertz < 1_500:
            # The tones of one burst follow one another without a gap: they are heard as one.
            if stops and tone.first - stops[-1][-1].last < 44_100:
                stops[-1].append(tone)
            else:
                stops.append([tone])
        else:
            rest.append(tone)
    return countdowns, stops, rest + shorts


def expected_countdowns(kind: str, facts: dict) -> list[int]:
    """Session times that are counted down to, from the timeline's events.

    Section starts and the leader of the lane that sounds.

    A line swum straight through is left on once. What would overlap a section start, and what
    would begin while all is muted or after stop all, is silent.
    """
    plan, squad = session(kind)
    timeline = build_timeline(plan, squad)
    straight = {
        (section.name, number)
        for section in plan.sections
        for number, item in enumerate(section.items, 1)
        if item.interval is None and item.rest_ms is None
    }
    starts, sounding = {}, set()
    for index, lane in enumerate(squad.lanes):
        for event in timeline.events(index):
            what = event.what
            if (
                event.kind == "send-off"
                and event.swimmer == 1
                and not (what.repeat > 1 and (what.section, what.line) in straight)
            ):
                starts[what.section] = min(event.at_ms, starts.get(what.section, event.at_ms))
                if lane.number == SOUNDING:
                    sounding.add(event.at_ms)
    made = sorted(starts.values())
    made += [at_ms for at_ms in sorted(sounding) if all(abs(at_ms - other) >= 3_600 for other in made)]
    mutes = [at_ms for at_ms, name in facts["pressed"] if name == "mute"] or [1 << 60, 0]
    over_ms = next(at_ms for at_ms, name in facts["pressed"] if name in ("stop", "over"))
    return sorted(at_ms for at_ms in made if at_ms <= over_ms and not mutes[0] - 600 < at_ms < mutes[1] + 3_000)
