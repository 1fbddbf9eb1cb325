"""Some of the mutants of `tests/bench/bench_mutants.py`, through every command: each ends with an exit code."""

import pytest

from tests.mutants import Deck, Mutant, corpus, ended

PLANS, SQUADS = corpus()


@pytest.mark.parametrize("block", range(8))
def test_a_mutant_is_fine_or_is_told_what_is_wrong(block, tmp_path, monkeypatch):
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "kept"))
    codes, sessions = [], []
    for seed in range(block * 40, block * 40 + 40):
        deck = Deck(seed)
        for line in Mutant(seed, tmp_path, PLANS, SQUADS).lines():
            codes.append(ended(line, deck))
            if line[0] in ("run", "resume"):
                sessions.append((line[0], codes[-1]))
    assert set(codes) <= {0, 1, 2}
    assert codes.count(0) > 100  # most plans stay plans
    assert sessions.count(("run", 0)) > 10 and sessions.count(("resume", 0)) > 5  # and most sessions are there again
