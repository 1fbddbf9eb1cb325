"""200 sessions killed at random instants while entries stream in.

    python tests/bench/bench_killed.py [SESSIONS]

A session that lost or doubled an acknowledged entry, or did not come back as if it had never been killed, raises an
AssertionError. A test runs a few of the same.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from table import Row, print_table

from tests.session.storage.killed import a_nursery, kill_one


def main() -> None:
    """Kill, check, print."""
    sessions = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder, a_nursery() as born:
        found = [kill_one(born, Path(folder) / str(seed), 1_000 + seed) for seed in range(sessions)]
    acknowledged = [a for a, _ in found]
    print_table(
        [
            Row("sessions killed, all as if they had not been", str(sessions)),
            Row(
                "entries acknowledged at the kill",
                str(sorted(acknowledged)[sessions // 2]),
                "",
                "",
                f"{min(acknowledged)} to {max(acknowledged)}",
            ),
            Row("entries on disk beyond those acknowledged", str(sum(there - a for a, there in found))),
            Row("seconds", f"{time.perf_counter() - begun:.0f}"),
        ]
    )


if __name__ == "__main__":
    main()
