"""The folder of squads."""

import json
import os
from pathlib import Path

import pytest

from pacer.disk import write_whole
from pacer.squad.files.squadreader import read_squad
from pacer.squad.register import roster as edit
from pacer.squad.register.squadfolder import SquadFolder, SquadsTrouble
from pacer.squad.squad import Pace
from pacer.squad.trials.trialwatch import arrived, begun
from pacer.squad.trials.trialwatch import new_swim as fresh_swim

ASSETS = Path(__file__).parents[3] / "assets" / "squads"
DEMOS = [ASSETS / "thursday.toml", ASSETS / "masters.toml"]
MONDAY, TUESDAY = "2026-03-02", "2026-03-03"


@pytest.fixture
def squads(tmp_path):
    return SquadFolder(tmp_path, DEMOS)


def again(squads):
    return SquadFolder(squads.folder, DEMOS)


def test_the_first_start_has_the_demo_squads(squads):
    assert squads.current == "thursday" and {card.name for card in squads.cards()} == {"thursday", "masters"}
    card = next(card for card in squads.cards() if card.name == "thursday")
    assert (card.title, card.lanes, card.swimmers) == ("Brackenmere Thursday", 6, 26)
    assert squads.told == ()


def test_the_current_squad_stays_when_an_import_brings_others(tmp_path):
    mine = SquadFolder(tmp_path)
    (tmp_path / "squads").mkdir(exist_ok=True)
    told = DEMOS[0].read_text(encoding="utf-8")
    (tmp_path / "squads" / "mine.toml").write_text(told.replace("Brackenmere Thursday", "Harbour"), encoding="utf-8")
    mine.read()
    assert mine.current == "mine"  # the only one, though nobody chose it
    (tmp_path / "squads" / "thursday.toml").write_text(told, encoding="utf-8")
    mine.read()
    assert mine.current == "mine" and mine.cards()[0].title == "Brackenmere Thursday"


def test_a_saved_squad_is_there_after_a_restart(squads):
    roster = edit.turned(edit.with_base(squads.roster(MONDAY), 0, Pace(75_000)), 2, 1)
    squads.keep("thursday", roster, MONDAY)
    squads.choose("masters")
    found = again(squads)
    assert found.current == "masters"
    assert found.roster(MONDAY, "thursday") == roster


def test_tomorrow_everybody_is_here_again(squads):
    squads.keep("thursday", edit.turned(squads.roster(MONDAY), 2, 1), MONDAY)
    assert again(squads).roster(MONDAY).away == {(2, 1)}
    assert again(squads).roster(TUESDAY).away == frozenset()
    squads.keep("masters", edit.turned(squads.roster(TUESDAY, "masters"), 0, 0), TUESDAY)
    assert again(squads).roster(MONDAY).away == frozenset()


def test_tests_alone_are_worth_writing(squads):
    name = squads.new("One")
    roster = edit.with_tests(squads.roster(MONDAY), 0, 0, _trials(160_000, 340_000))
    squads.keep(name, roster, MONDAY)
    other = edit.with_tests(squads.roster(MONDAY), 0, 0, _trials(161_000, 341_000))
    assert other.squad == roster.squad
    squads.keep(name, other, MONDAY)
    assert again(squads).roster(MONDAY).squad.lanes[0].swimmers[0].tests[0].time_ms == 161_000


def _trials(short, long):
    text = f'[[lane]]\ntests = {{ 200 = "{short / 1000}", 400 = "{long / 1000}" }}'
    return (
        read_squad(
            text.replace('"160.0"', '"2:40"')
            .replace('"340.0"', '"5:40"')
            .replace('"161.0"', '"2:41"')
            .replace('"341.0"', '"5:41"')
        )
        .lanes[0]
        .tests
    )


def test_a_broken_file_is_set_aside_and_reported(squads):
    path = squads.folder / "squads" / "masters.toml"
    path.write_text("[[lane]]\nbase = nonsense\n")
    found = again(squads)
    assert [card.name for card in found.cards()] == ["thursday"]
    assert not path.exists() and path.with_name("masters.toml.broken").read_text().startswith("[[lane]]")
    assert "masters" in found.told[0] and "line 2" in found.told[0]
    assert again(squads).told == ()


def test_broken_files_of_the_same_name_are_all_kept(squads):
    path = squads.folder / "squads" / "masters.toml"
    for number in range(3):
        path.write_text(f"nonsense {number}")
        again(squads)
    assert len(list(path.parent.glob("masters.toml*"))) == 3


def test_if_all_files_are_broken_a_squad_is_assumed(tmp_path):
    (tmp_path / "squads").mkdir()
    (tmp_path / "squads" / "a.toml").write_bytes(b"\xff\xfe\x00")
    squads = SquadFolder(tmp_path)
    assert squads.current == "" and squads.roster(MONDAY).squad.assumed
    squads.new("Mine")
    assert squads.current == "mine"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"current": 3}',
        '{"current": "x", "day": "y", "away": {"thursday": [[99, 99], [0, 0]]}}',
        '{"current": "x", "day": "y", "away": 3}',
    ],
)
def test_a_broken_record_of_today_does_no_harm(squads, text):
    (squads.folder / "squads" / "today.json").write_text(text)
    found = again(squads)
    assert found.current in ("thursday", "masters") and len(found.cards()) == 2
    assert found.roster("y").away <= {(0, 0)}


def test_making_copying_renaming(squads):
    assert squads.new("Thursday") == "thursday-2" and squads.current == "thursday-2"
    copied = squads.copy("masters")
    title = next(card.title for card in squads.cards() if card.name == copied)
    assert title.endswith(", copy") and squads.current == copied
    squads.rename(copied, "Early birds")
    assert squads.roster(MONDAY).squad.name == "Early birds"
    with pytest.raises(SquadsTrouble, match="too long"):
        squads.rename(copied, "x" * 70)


def test_a_hidden_squad_comes_back(squads):
    before = squads.roster(MONDAY).squad
    squads.put_away("thursday")
    assert squads.put_away_names() == ("thursday",) and squads.current == "masters"
    with pytest.raises(SquadsTrouble, match="only squad"):
        squads.put_away("masters")
    squads.new("Thursday")
    back = squads.bring_back("thursday")
    assert back.startswith("thursday-") and squads.roster(MONDAY, back).squad == before


def test_import_and_export(squads, tmp_path):
    out = tmp_path / "out.toml"
    squads.give_out("thursday", out, names=False)
    assert "Orla" not in out.read_text() and "1:28.5" in out.read_text()
    squads.give_out("thursday", out, names=True)
    assert "Orla" in out.read_text()
    assert squads.bring_in(out.read_bytes(), "out.toml") == "thursday"  # it is there already
    assert squads.bring_in(b'[[lane]]\nbase = "1:20"\n', "Deep end.toml") == "deep-end"
    assert squads.roster(MONDAY).squad.name == "Deep end"
    with pytest.raises(SquadsTrouble, match=r"bad\.toml, line 2: "):
        squads.bring_in(b"[[lane]]\nbase = 3\n", "bad.toml")


def test_a_full_disk_is_reported_and_nothing_is_lost(squads, monkeypatch):
    def full(*_args, **_kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pacer.squad.register.squadfolder.write_whole", full)
    roster = edit.with_base(squads.roster(MONDAY), 0, Pace(75_000))
    with pytest.raises(SquadsTrouble, match="the squad can't be saved: the tablet's storage is full"):
        squads.keep("thursday", roster, MONDAY)
    with pytest.raises(SquadsTrouble, match="storage is full"):
        squads.new("x")
    monkeypatch.setattr("pacer.squad.register.squadfolder.write_whole", write_whole)
    squads.keep("thursday", roster, MONDAY)
    assert again(squads).roster(MONDAY) == roster


def test_a_folder_that_cannot_be_made_is_reported(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("")
    squads = SquadFolder(blocked, DEMOS)
    assert "can't be saved here" in squads.told[0] and squads.roster(MONDAY).squad.assumed


def test_a_file_is_written_whole_or_not_at_all(squads, monkeypatch):
    def crash(*_args):
        raise OSError(5, "Input/output error")

    before = (squads.folder / "squads" / "thursday.toml").read_bytes()
    monkeypatch.setattr(os, "replace", crash)
    with pytest.raises(SquadsTrouble):
        squads.keep("thursday", edit.lane_added(squads.roster(MONDAY)), MONDAY)
    assert (squads.folder / "squads" / "thursday.toml").read_bytes() == before


# -- unfinished test swims ---------------------------------------------------------------------------------------


def test_test_swims_survive_a_restart(squads):
    swims = (arrived(begun(fresh_swim(400, (0, 1, 2), 10_000), 5_000_000), 5_400_000),)
    squads.keep_tests("thursday", 2, swims, "boot 1")
    assert again(squads).tests("boot 1") == ("thursday", 2, swims)
    squads.keep_tests("thursday", 2, ())
    assert again(squads).tests() is None


def test_after_a_reboot_only_finished_swimmers_count(squads):
    swims = (
        arrived(begun(fresh_swim(400, (0, 1, 2), 10_000), 5_000_000), 5_400_000),
        begun(fresh_swim(200, (0, 1), 10_000), 9_000_000),
    )
    squads.keep_tests("thursday", 2, swims, "boot 1")
    _, _, found = again(squads).tests("boot 2")
    assert found[0].is_in and found[0].trials().keys() == {0} and found[1].zero_ms is None


@pytest.mark.parametrize("change", [{"squad": "gone"}, {"lane": 17}, {"swims": []}, {"swims": [3]}, {"lane": None}])
def test_test_swims_that_fit_no_squad_are_dropped(squads, change):
    squads.keep_tests("thursday", 2, (fresh_swim(400, (0, 1), 10_000),))
    path = squads.folder / "squads" / "tests.json"
    path.write_text(json.dumps({**json.loads(path.read_text()), **change}))
    assert again(squads).tests() is None


def test_changes_to_the_assumed_squad_are_there_after_a_restart(tmp_path):
    (tmp_path / "squads").mkdir()
    (tmp_path / "squads" / "mine.toml").write_bytes(b"[[lane]")
    squads = SquadFolder(tmp_path)
    roster = edit.swimmer_added(squads.roster(MONDAY), 0)
    squads.keep(squads.current, roster, MONDAY)
    assert squads.current and squads.roster(MONDAY).squad.lanes == roster.squad.lanes
    once_more = edit.swimmer_added(roster, 0)
    squads.keep("", once_more, MONDAY)  # a page that still has the old name saves to the same squad
    assert SquadFolder(tmp_path).roster(MONDAY).squad.lanes == once_more.squad.lanes
    assert len(squads.cards()) == 1 and not (tmp_path / "squads" / ".toml").exists()
    assert (tmp_path / "squads" / "mine.toml.broken").read_bytes() == b"[[lane]"


def test_a_squad_that_an_earlier_pacer_saved_without_a_name_is_found(tmp_path):
    (tmp_path / "squads").mkdir()
    (tmp_path / "squads" / ".toml").write_text('[[lane]]\nbase = "1:18"\nswimmers = 3\n')
    assert [card.swimmers for card in SquadFolder(tmp_path).cards()] == [3]


def test_test_swims_of_the_assumed_squad_are_found_again(tmp_path):
    squads = SquadFolder(tmp_path)
    squads.keep_tests(squads.current, 0, (begun(fresh_swim(200, (0,), 10_000), 5_000_000),), "boot")
    assert SquadFolder(tmp_path).tests("boot")[0] == squads.current != ""
