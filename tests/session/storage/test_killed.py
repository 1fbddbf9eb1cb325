"""Killed at random instants while entries stream in. All 200 sessions: `python -m tests.bench.bench_killed`."""

from tests.session.storage.killed import ENTRIES, a_nursery, kill_one

SESSIONS = 40


def test_acknowledged_entries_survive_the_process(tmp_path):
    with a_nursery() as born:
        found = [kill_one(born, tmp_path / str(seed), seed) for seed in range(SESSIONS)]
    assert any(acknowledged < ENTRIES // 2 for acknowledged, _ in found), "killed on their way, not at the end"
    assert len({there for _, there in found}) > SESSIONS // 3
