"""The comments of a squad's file survive an edit: all of them, each in its place, and nothing else changes."""

import random
import re
from dataclasses import replace
from pathlib import Path

import pytest

from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.files.tomlcomments import with_comments
from pacer.squad.register import roster as edit
from pacer.squad.register.roster import Roster
from pacer.squad.register.squadfolder import SquadFolder
from pacer.squad.squad import Pace

ASSETS = Path(__file__).parents[3] / "assets" / "squads"
OURS = """\
# Brackenmere club
name = "Thursday # squad"  # a hash in quotes is no comment
gear = ["tempo"]

[[lane]]  # fast
base = "1:18"  # from May
swimmers = 5

# The slower ones.
[[lane]]
  # In leaving order.
  [[lane.swimmer]]
  name = "Kit"
  base = "1:40"   # after illness
  [[lane.swimmer]]
  base = "1:47"

[factors]  # ours
kick = 1.5
# until the new fins come
"fins kick" = 0.70
# the end
"""


def comments(text):
    """All comments of a text, in order."""
    return re.findall(r'(?m)(?:^|(?<=[\s\]"0-9]))#[^"\n]*$', text)


def edited(text, change):
    """The file after an edit."""
    squad = change(Roster(read_squad(text))).squad
    return with_comments(write_squad(squad), text), squad


def test_another_base_leaves_every_comment_where_it_was():
    made, squad = edited(OURS, lambda roster: edit.with_base(roster, 0, Pace(76_000)))
    assert read_squad(made) == squad and squad.lanes[0].base.ms == 76_000
    assert comments(made) == comments(OURS)
    assert 'base = "1:16"  # from May\n' in made and "# The slower ones.\n[[lane]]\n" in made
    assert '  # In leaving order.\n  [[lane.swimmer]]\n  name = "Kit"\n  base = "1:40"  # after illness\n' in made
    assert made.endswith('# until the new fins come\n"fins kick" = 0.7\n# the end\n')


def test_the_comment_of_a_deleted_line_moves_to_the_next():
    made, squad = edited(OURS, lambda roster: edit.swimmer_gone(roster, 1, 0))
    assert read_squad(made) == squad and sorted(comments(made)) == sorted(comments(OURS))


def test_writing_twice_changes_nothing():
    once, squad = edited(OURS, lambda roster: roster)
    assert with_comments(write_squad(squad), once) == once


@pytest.mark.parametrize("name", ["thursday", "masters"])
def test_the_clubs_own_files(name):
    text = (ASSETS / f"{name}.toml").read_text(encoding="utf-8")
    for lane in range(3):
        made, squad = edited(text, lambda roster, lane=lane: edit.with_base(roster, lane, Pace(71_000)))
        assert read_squad(made) == squad and sorted(comments(made)) == sorted(comments(text))


@pytest.mark.parametrize("seed", range(30))
def test_any_edit_keeps_all_comments(seed):
    rng = random.Random(seed)
    text, roster = OURS, Roster(read_squad(OURS))
    for _ in range(6):
        lane = rng.randrange(len(roster.squad.lanes))
        changes = (
            lambda r, lane=lane: edit.with_base(r, lane, Pace(rng.randrange(70, 120) * 1000)),
            lambda r, lane=lane: edit.swimmer_added(r, lane),
            lambda r, lane=lane: edit.lane_moved(r, lane, 0),
            lambda r: edit.named(r, "Other # one"),
            lambda r: edit.lane_added(r) if len(r.squad.lanes) < 5 else r,
            lambda r, lane=lane: edit.lane_gone(r, lane) if len(r.squad.lanes) > 1 else r,
        )
        roster = rng.choice(changes)(roster)
        text = with_comments(write_squad(roster.squad), text)
        assert read_squad(text) == roster.squad
        assert sorted(comments(text)) == sorted(comments(OURS))


def test_a_file_in_another_layout_is_written_without_comments():
    """Values over several lines, dotted keys: the values matter more than the comments."""
    odd = '[[lane]]\nbase = "1:20"\nswimmers = 2\n[factors]\n"kick"=1.5 # faster\n'
    squad = read_squad(odd)
    assert read_squad(with_comments(write_squad(squad), odd)) == squad
    broken = 'gear = [\n  "tempo", # one = two\n]\n[[lane]]\nbase = "1:20"\n'
    assert read_squad(with_comments(write_squad(read_squad(broken)), broken)) == read_squad(broken)


def test_a_squad_saved_in_its_folder_still_has_its_comments(tmp_path):
    squads = SquadFolder(tmp_path, [ASSETS / "thursday.toml"])
    squads.keep("thursday", edit.with_base(squads.roster("2026-03-02"), 0, Pace(74_000)), "2026-03-02")
    text = (tmp_path / "squads" / "thursday.toml").read_text(encoding="utf-8")
    before = (ASSETS / "thursday.toml").read_text(encoding="utf-8")
    assert 'base = "1:14"' in text and sorted(comments(text)) == sorted(comments(before)) and comments(before)
    assert replace(read_squad(text), lanes=()) == replace(read_squad(before), lanes=())
