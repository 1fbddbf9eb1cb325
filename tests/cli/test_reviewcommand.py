"""`pacer review` knows what the coach did with a session on the tablet: times put back, suggestions accepted."""

import json

import pytest

from pacer.cli.commands import main
from pacer.plan.library.shelf import Shelf
from pacer.show.after.pastsession import PastSession
from pacer.squad.register.squadfolder import SquadFolder
from tests.review.learning.missedtouch import PLAN, SQUAD, missed_touch
from tests.review.season.stored import stored


@pytest.fixture
def lookback(tmp_path, monkeypatch):
    folder = tmp_path / "home"
    monkeypatch.setenv("PACER_HOME", str(folder))
    store = stored(folder, [(missed_touch(), 3)])
    (folder / "squads").mkdir()
    (folder / "squads" / "thursday.toml").write_text(SQUAD, encoding="utf-8")
    shelf = Shelf(folder, [])
    shelf.add(PLAN)
    made = PastSession(store, SquadFolder(folder, []), shelf, lambda: "2026-03-08")
    made.open(1)
    return made


def review(capsys, *more):
    assert main(["review", "1", *more]) == 0
    return capsys.readouterr().out


def test_a_time_put_back_counts(lookback, capsys):
    before = json.loads(review(capsys, "--json"))
    (entry,) = before["left_out"]
    assert before["put_back"] == [] and "Left out: too far off to learn from\n  lane 2, swimmer 2" in review(capsys)
    assert lookback.turn(entry) == ""
    told = json.loads(review(capsys, "--json"))
    assert told["left_out"] == [] and told["put_back"] == [entry]
    text = review(capsys)
    assert "Left out" not in text and "Put back: far off, but counted\n  lane 2, swimmer 2, Main set" in text


def test_an_accepted_suggestion_says_so_as_long_as_it_is_accepted(lookback, capsys):
    bram = next(row for row in lookback.offers if row.text.startswith("Bram"))
    assert "(accepted)" not in review(capsys) and lookback.take(bram.key) == ""
    line = f"{bram.text.replace('Bram', 'Lane 2, swimmer 2')} (accepted)."
    assert line in review(capsys) and f"{bram.text} (accepted)." in review(capsys, "--names")
    (told,) = json.loads(review(capsys, "--json"))["accepted"]
    assert (told["key"], told["lane"], told["what"]) == (bram.key, 2, "base")
    assert lookback.turn(lookback.left_out[0].entry) == ""
    assert f"  {line}\n    accepted (later times don't support it)\n" in review(capsys)
    assert lookback.undo(bram.key) == "" and "accepted" not in review(capsys)
