"""Record three minutes of a running session and analyse them: `python -m tests.bench.bench_session_sound`.

Prints the recorded sounds against those of the timeline. `tests/face/clock/test_countdowns.py` checks a short session
without real time.
"""

from __future__ import annotations

import statistics
import tempfile
from pathlib import Path

from pacer.signal.clip import LEAD_MS
from tests.bench.table import Row, print_table
from tests.face.clock.listening import expected_countdowns, recorded, told_apart
from tests.signal.recording import RATE_HZ


def main() -> None:
    """Run, analyse, print."""
    with tempfile.TemporaryDirectory() as folder:
        facts, tones = recorded("long", Path(folder))
    countdowns, stops, rest = told_apart(tones)
    expected = expected_countdowns("long", facts)
    whole = [
        beeps
        for beeps in countdowns
        if [beep.first - beeps[0].first for beep in beeps] == [0, RATE_HZ, 2 * RATE_HZ, 3 * RATE_HZ]
    ]
    rows = [
        Row(
            "count-downs heard, three short and one long to the sample",
            str(len(whole)),
            f"{len(expected)} expected",
            str(len(whole) == len(expected)),
        ),
        Row("stop all heard", str(len(stops)), "1 expected"),
        Row("anything else heard", str(len(rest)), "0 expected"),
        Row(
            "lowest and highest frequency",
            f"{min(t.hertz for t in tones):.1f} and {max(t.hertz for t in tones):.1f} Hz",
            "500 to 2,500 Hz",
        ),
    ]
    called = [at_ms for at_ms, name in facts["called"] if name == "countdown-3"]
    if len(called) == len(expected):
        late = [abs(at_ms + LEAD_MS - wanted) for at_ms, wanted in zip(called, expected)]
        rows.append(
            Row(
                "clip started from its place on the app's clock",
                f"{statistics.median(late)} ms",
                "15 ms (95th percentile)",
                "",
                f"{min(late)} to {max(late)} ms",
                len(late),
            )
        )
    print_table(rows)


if __name__ == "__main__":
    main()
