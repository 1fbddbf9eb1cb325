"""The command line: what it prints, where, and its exit codes."""

from __future__ import annotations

import io
import json
import re
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from pacer.cli.commands import main
from pacer.plan.text.withoutcomments import without_comments
from pacer.session.storage.store import Store

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.real_clock  # a command asks the machine what time it is
PLAN = str(ROOT / "assets" / "plans" / "long-axis-rotation-3.txt")
SQUAD = str(ROOT / "assets" / "squads" / "thursday.toml")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    """A folder of its own for what is kept."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "kept"))


@pytest.fixture
def written(tmp_path):
    def write(text: str, name: str = "thursday.txt") -> str:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def test_timeline_json_is_one_object_of_the_contract_and_nothing_else(capsys):
    assert main(["timeline", PLAN, "--squad", SQUAD, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert list(told) == ["format", "title", "pool", "booking_ms", "end_ms", "lanes"]
    assert told["format"] == "pacer-timeline/1" and told["title"] == "Long-axis rotation 3"
    assert told["pool"] == {"length": "25", "unit": "m"} and told["booking_ms"] == 3_600_000
    first = told["lanes"][0]
    assert list(first) == ["lane", "base_ms", "spacing_ms", "swimmers", "distance", "end_ms", "events"]
    assert (first["lane"], first["base_ms"], first["spacing_ms"], first["swimmers"]) == (1, 76_000, 5_000, 5)
    assert first["events"][0] == {
        "at_ms": 0, "kind": "send-off", "swimmer": 1, "section": "Warm-up", "round": 1, "line": 1, "repeat": 1, "of": 1,
        "done": 0,
        "doing": "300 choice easy", "cue": "", "clock": "0:00",
    }  # fmt: skip
    assert told["end_ms"] == max(lane["end_ms"] for lane in told["lanes"]) <= told["booking_ms"]
    assert first["events"][-1]["at_ms"] == first["end_ms"]


def test_without_a_squad_it_says_what_it_takes(capsys):
    assert main(["check", PLAN]) == 0
    assert "no squad given: one lane, one swimmer, base 1:40" in capsys.readouterr().err


def test_the_table_can_be_read_aloud(capsys):
    assert main(["timeline", PLAN, "--squad", SQUAD]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert rows[0] == "LANE 1, group A: base 1:16 per 100 m, 5 swimmers 0:05 apart, 2,200 metres in 58:07"
    assert rows[1] == "base typed in, default factors"
    assert "Main set, round 4 of 4" in rows
    assert any(
        "leaves :40  at    4:40   touches    5:36   swims  0:56   rests  0:19  (1 to 2.9)" in row for row in rows
    )
    assert sum(row.startswith("LANE") for row in rows) == 6


def test_a_plan_that_cannot_be_read_is_exit_2_with_every_mistake(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  8 x 50 free on 1:75\n  4 x 100 fre on 2:00\n")
    assert main(["timeline", path]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert f"{path}:4:" in told.err and f"{path}:5:" in told.err and "^^^^" in told.err


def test_findings_that_stop_are_exit_1(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  4 x 50 on A 1:00 / B 1:10\n")
    squad = written('[[lane]]\nbase = "1:30"\n', "squad.toml")
    assert main(["check", path, "--squad", squad]) == 1
    assert "error: lane 1" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments", [["check", "nowhere.txt"], ["timeline", PLAN, "--squad", "nowhere.toml"], ["check", str(ROOT)]]
)
def test_files_that_cannot_be_opened(arguments, capsys):
    assert main(arguments) == 2
    assert "can't be opened" in capsys.readouterr().err


def test_tidy_prints_the_canonical_form_and_a_second_pass_changes_nothing(written, capsys):
    path = written("pool: 25m\nMain set,2 rounds\n4X50 bk ez,rest 15\n")
    assert main(["tidy", path]) == 0
    once = capsys.readouterr().out
    assert "4 x 50 back easy, rest 0:15" in once
    assert main(["tidy", path, "--write"]) == 0
    assert Path(path).read_text(encoding="utf-8") == once
    assert main(["tidy", path]) == 0 and capsys.readouterr().out == once


def test_check_says_where_how_bad_and_for_whom(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  4 x 100 free on 1:30\n")
    assert main(["check", path]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"{path}:4: warning: lane 1: too tight: the slowest swimmer needs 1:40")


def test_run_needs_a_plan_or_a_line(capsys):
    assert main(["run"]) == 2
    assert "name a plan or a quick set" in capsys.readouterr().err


def test_a_mistake_in_a_line_is_shown(capsys):
    assert main(["run", "--line", "10 x 100 fre on 1:40", "--text"]) == 2
    assert "--line:1:" in capsys.readouterr().err
    assert main(["run", "--line", "10 x 100 on 1:40", "--pool", "25 furlongs", "--text"]) == 2


def test_without_a_screen_it_says_so_in_one_sentence_and_goes_on_as_text(capsys, monkeypatch):
    from pacer.cli import textform
    from pacer.face.kit import kivysetup

    ran = []
    monkeypatch.setattr(kivysetup, "has_screen", lambda: False)
    monkeypatch.setattr(textform, "run_in_text", lambda driver, beside: ran.append(driver))
    assert main(["run", PLAN, "--squad", SQUAD]) == 0
    assert capsys.readouterr().out == kivysetup.NO_SCREEN + "\n"
    assert len(ran[0].run.timeline.lanes) == 6


def test_where_only_opengl_is_missing_the_sentence_says_so(monkeypatch):
    """A bare Debian with a screen."""
    import ctypes

    from pacer.face.kit import kivysetup

    def cannot_load(name, *_):
        raise OSError(f"{name}: cannot open shared object file: No such file or directory")

    monkeypatch.setattr(ctypes, "CDLL", cannot_load)
    monkeypatch.setenv("DISPLAY", ":0")
    assert kivysetup.why_none() == kivysetup.NO_OPENGL
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    assert kivysetup.why_none() == kivysetup.NO_SCREEN


def test_pace_from_two_swims_in_any_order(capsys):
    for swims in (["200=2:40", "400=5:40"], ["400=5:40", "200=2:40"]):
        assert main(["pace", *swims]) == 0
        assert capsys.readouterr().out.startswith("base 1:30 per 100 m, from 200 m in 2:40, 400 m in 5:40")
    assert main(["pace", "200=2:40", "400=5:40", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["format"] == "pacer-pace/1" and told["base_ms"] == 90_000 and told["unit"] == "m"


@pytest.mark.parametrize("swims, said", [
    (["200=2:40", "400=2:30"], "farther but takes no longer"), (["400"], "write distance=time"),
    (["400=5.40"], "colon"),
    (["400=5:40", "--endurance", "x"], "--endurance needs a number"),
])  # fmt: skip
def test_swims_that_give_no_pace_say_why(swims, said, capsys):
    assert main(["pace", *swims]) == 2
    assert said in capsys.readouterr().err


def test_lanes_writes_a_squad_that_can_be_read(written, capsys):
    path = written("name,200,400\nA,2:40,5:40\nB,3:00,6:15\nC,2:23,5:00\nD,2:30,5:20\n", "swimmers.csv")
    assert main(["lanes", path, "--lanes", "2"]) == 0
    squad = written(capsys.readouterr().out, "squad.toml")
    assert main(["timeline", PLAN, "--squad", squad]) == 0
    assert capsys.readouterr().out.count("LANE") == 2
    assert main(["lanes", path, "--lanes", "0"]) == 1
    assert "there can be 1 to 20" in capsys.readouterr().err


def test_fit_reports_what_each_lane_swims(capsys):
    assert main(["rounds", PLAN, "--squad", SQUAD]) == 0
    out = capsys.readouterr().out
    assert "lane 1: 2,200 m, Main set 4 rounds, in 58:07" in out and "lane 6: 1,750 m, Main set 3 rounds" in out
    assert main(["rounds", PLAN, "--squad", SQUAD, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["end_ms"] <= told["limit_ms"] == 3_600_000 and len(told["lanes"]) == 6


def test_suggest_fills_in_intervals_at_the_published_ratio(written, capsys):
    # Toubekis et al. 2011: rest to swimming 1:8 at critical velocity. At 1:20 a 400 takes 5:20, an eighth of it is
    # 0:40.
    path = written("pool: 25 m\n\nMain set\n  5 x 400 free\n")
    squad = written('[[lane]]\nbase = "1:20"\n', "squad.toml")
    assert main(["suggest", path, "--squad", squad, "--ratio", "1:8"]) == 0
    told = capsys.readouterr()
    assert "5 x 400 free, on 6:00" in told.out
    assert "rests 0:40, 1 to 8" in told.err
    assert main(["suggest", path, "--ratio", "eight"]) == 2


def test_tidy_for_another_pool_lists_what_it_changed(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  4 x 75 free, on 1:40\n")
    assert main(["tidy", path, "--pool", "50 m"]) == 0
    told = capsys.readouterr()
    assert "pool: 50 m" in told.out and "4 x 75" not in told.out
    assert "header: pool: 25 m  ->  pool: 50 m" in told.err and "line 4: " in told.err


def test_check_as_json(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  4 x 100 free on 1:30\n")
    assert main(["check", path, "--json"]) == 0
    (finding,) = json.loads(capsys.readouterr().out)["findings"]
    assert finding["line"] == 4 and finding["lanes"] == [1] and finding["severity"] == "will not work"


def test_check_as_json_gives_what_would_help(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  4 x 100 free on 1:30\n")
    assert main(["check", path, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["errors"] == []
    (warning,) = told["warnings"]
    assert (warning["line"], warning["column"], warning["end_column"]) == (4, 3, 23)
    assert warning["fixes"][0]["text"].startswith("  4 x 100 free on 1:4")


def test_check_as_json_of_a_plan_that_cannot_be_read(written, capsys):
    path = written("Main set\r\n  8 x 50 free on 1;30\r\n  4 x 100 brest\r\n")
    assert main(["check", path, "--json"]) == 2
    told = json.loads(capsys.readouterr().out)
    assert [error["line"] for error in told["errors"]] == [1, 2, 3] and told["warnings"] == []
    pool, point, word = told["errors"]
    assert pool["fixes"][0]["text"] == "pool: 25 m\nMain set\n"
    assert (point["column"], point["end_column"]) == (18, 22) and point["message"] and point["hint"]
    assert point["fixes"][0] == {"label": "1:30", "text": "  8 x 50 free on 1:30\n", "line": 2, "lines": 1}
    assert word["fixes"][0]["text"] == "  4 x 100 breast\n"
    rows = ["Main set\n", "  8 x 50 free on 1;30\n", "  4 x 100 brest\n"]
    for error in told["errors"]:
        rows[error["line"] - 1] = error["fixes"][0]["text"]
    path = written("".join(rows))
    assert main(["check", path, "--json"]) == 0 and json.loads(capsys.readouterr().out)["errors"] == []


def test_check_as_json_has_fixes_over_several_lines(written, capsys):
    rows = ["pool: 25 m", "Main set", "  2 rounds", "  4 x 50 kick", "  100 easy", ""]
    assert main(["check", written("\n".join(rows)), "--json"]) == 2
    (error,) = json.loads(capsys.readouterr().out)["errors"]
    fix = error["fixes"][0]
    assert (fix["label"], fix["line"], fix["lines"]) == ("put the 2 sets below in these rounds", 4, 2)
    assert fix["text"] == "    4 x 50 kick\n    100 easy\n"
    rows[fix["line"] - 1 : fix["line"] - 1 + fix["lines"]] = fix["text"].rstrip("\n").split("\n")
    assert main(["check", written("\n".join(rows)), "--json"]) == 0


def test_check_as_json_has_a_set_for_each_lane(written, capsys):
    assert main(["check", written("pool: 25 m\nMain set\n  5 x 200 r:30 (lane 2: 150s)\n"), "--json"]) == 2
    (error,) = json.loads(capsys.readouterr().out)["errors"]
    fix = error["fixes"][0]
    assert fix["text"] == "  all but lane 2: 5 x 200 free, rest 0:30\n  lane 2: 5 x 150 free, rest 0:30\n"


def test_check_as_json_of_a_file_that_is_no_text(tmp_path, capsys):
    path = tmp_path / "picture.txt"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\x00\xff")
    assert main(["check", str(path), "--json"]) == 2
    (error,) = json.loads(capsys.readouterr().out)["errors"]
    assert error["message"] == "this is a picture (PNG), not a plan" and error["fixes"] == []


def test_check_as_json_of_a_plan_that_cannot_be_run(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  4 x 100 free on A 1:50\n")
    squad = written('name = "Brackenmere"\n[[lane]]\nbase = "1:40"\ngroup = "B"\n', "squad.toml")
    assert main(["check", path, "--squad", squad, "--json"]) == 1
    (error,) = json.loads(capsys.readouterr().out)["errors"]
    assert (error["line"], error["lanes"], error["severity"]) == (4, [1], "cannot run")


PAGE = "Tuesday\r\n25m pool, 60 min\r\nWU: 400 choice\r\nMain\r\n- 8 x 50 kick = 500\r\n- 4 x 100 @ 1:40\r\n"


def test_read_makes_a_plan_of_a_page_and_says_what_it_leaves_open(written, capsys):
    assert main(["read", written(PAGE.replace("@", "on"))]) == 0
    told = capsys.readouterr()
    assert told.out == (
        "title: Tuesday\npool: 25 m\nbooking: 60 min\n\nWU\n  400 choice\n\n"
        "Main\n  8 x 50 kick\n  4 x 100 free, on 1:40\n"
    )
    assert ":5: - 8 x 50 kick = 500\n    your text says 500, but it adds up to 400" in told.err
    assert main(["read", written(PAGE)]) == 1
    told = capsys.readouterr()
    assert "4 x 100 @ 1:40" in told.out and "      - 4 x 100 on 1:40" in told.err


def test_read_gives_the_answers_of_like_questions_once(written, capsys):
    assert main(["read", written(PAGE + "- 6 x 75 @ 1:20\r\n")]) == 1
    told = capsys.readouterr().err
    assert told.count("can mean an interval or a pace") == 2
    assert "- 6 x 75 on 1:20" not in told and "    same answer as line 6" in told


def test_read_as_json(written, capsys):
    assert main(["read", written(PAGE), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert [line["written"] for line in told["lines"]] == [*PAGE.split("\r\n")[:-1], ""]
    assert told["lines"][2]["understood"] == ["WU", "400 choice"] and told["lines"][2]["question"] is None
    assert told["lines"][5]["question"]["answers"][:2] == ["4 x 100 on 1:40", "4 x 100 hold 1:40"]


def test_read_asks_for_the_pool_or_is_told(written, capsys):
    path = written("400 choice\n8 x 50 kick\n")
    assert main(["read", path]) == 1 and "How long is the pool?" in capsys.readouterr().err
    assert main(["read", path, "--pool", "33 1/3 m"]) == 0
    assert capsys.readouterr().out == "pool: 33 1/3 m\n\n  400 choice\n  8 x 50 kick\n"


def run_on_deck(monkeypatch, keys: dict[int, str], *arguments: str) -> int:
    """`pacer` in text, time moving only while it waits.

    `keys` by the number of the wait, "stop" breaks off as a kill would.
    """
    from pacer.cli import textform

    waits = 0

    def wait(seconds: float) -> str:
        nonlocal waits
        waits += 1
        if keys.get(waits) == "stop":
            raise KeyboardInterrupt
        return keys.get(waits, "")

    real = textform.run_in_text
    monkeypatch.setattr(textform, "run_in_text", lambda driver, beside: real(driver, wait=wait))
    code = main(list(arguments))
    monkeypatch.setattr(textform, "run_in_text", real)
    return code


def test_a_session_that_was_broken_off_is_listed_and_carried_on(monkeypatch, capsys):
    assert main(["log"]) == 0 and "No sessions yet." in capsys.readouterr().out
    assert main(["resume"]) == 1 and "No session is running" in capsys.readouterr().err
    assert run_on_deck(monkeypatch, {3: " ", 5: "stop"}, "run", "--line", "4 x 50 free on 1:10", "--text") == 0
    assert "The session is still running. To resume it: pacer resume" in capsys.readouterr().out
    assert main(["log"]) == 0
    assert "not ended" in capsys.readouterr().out
    assert run_on_deck(monkeypatch, {2: "q"}, "resume") == 0
    assert "PAUSED" in capsys.readouterr().out
    assert main(["log", "1", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    kinds = [entry["kind"] for entry in told["session"]["journal"]]
    assert kinds[:2] == ["begun", "held"] and kinds[-1] == "ended"
    assert main(["log", "1"]) == 0 and main(["log", "2"]) == 1
    assert run_on_deck(monkeypatch, {2: "q"}, "resume") == 0, "for ten minutes an ended session can be resumed"
    capsys.readouterr()
    assert main(["log", "1", "--json"]) == 0
    kinds = [entry["kind"] for entry in json.loads(capsys.readouterr().out)["session"]["journal"]]
    assert kinds.count("ended") == 2 and "taken back" in kinds and kinds[-1] == "ended"


def test_a_plans_own_words_are_kept(monkeypatch, capsys):
    assert run_on_deck(monkeypatch, {1: "q"}, "run", PLAN, "--squad", SQUAD, "--text") == 0
    capsys.readouterr()
    assert main(["log", "1", "--json", "--names"]) == 0
    kept = json.loads(capsys.readouterr().out)["session"]
    assert kept["plan"] == Path(PLAN).read_text(encoding="utf-8")
    assert main(["log", "1", "--json"]) == 0
    unnamed = json.loads(capsys.readouterr().out)["session"]
    assert unnamed["plan"] == without_comments(kept["plan"]) != kept["plan"]
    assert "Orla" in json.dumps(kept) and "Orla" not in json.dumps(unnamed)


def test_an_interval_on_request(written, capsys):
    path = written("pool: 25 m\n\nMain set\n  4 x 100 free, rest 0:10\n  2 x 50 on 1:00\n")
    assert main(["suggest", path]) == 0
    assert "every set of two or more repeats already has an interval or a rest" in capsys.readouterr().err
    assert main(["suggest", path, "--line", "4", "--ratio", "1:8"]) == 0
    told = capsys.readouterr()
    assert "4 x 100 free, on 1:55" in told.out and "2 x 50 free, on 1:00" in told.out  # 1:40 and 12.5 s: on a mark
    assert main(["suggest", path, "--line", "3"]) == 2
    assert "no set on line 3 of the plan; sets are on lines 4, 5" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["check", "timeline", "rounds", "suggest"])
def test_a_squad_that_a_plan_has_no_entry_for(written, capsys, command):
    path = written("pool: 25 m\n\n4 x 100 on A 1:40 / B 1:50\n  2 x 50 free\n")
    squad = written('[[lane]]\nbase = "1:20"\ngroup = "C"\n', "squad.toml")
    assert main([command, path, "--squad", squad]) == 1
    told = capsys.readouterr()
    assert "lane 1 has no value: this set has values for A, B only" in told.err and not told.out


# -- a session that is running, and another one is asked for ------------------------------------------


class Terminal(io.StringIO):
    """Standard input as a terminal on which this is typed."""

    def isatty(self):
        return True


@pytest.fixture
def left_running(monkeypatch, capsys):
    assert run_on_deck(monkeypatch, {3: " ", 5: "stop"}, "run", "--line", "4 x 50 free on 1:10", "--text") == 0
    capsys.readouterr()


def kept(capsys):
    """The list of sessions as it is kept: number and whether it has ended, the newest first."""
    capsys.readouterr()
    assert main(["log", "--json"]) == 0
    return [(one["number"], one["ended_ms"] is not None) for one in json.loads(capsys.readouterr().out)["sessions"]]


@pytest.mark.usefixtures("left_running")
def test_it_is_asked_whether_to_carry_on(monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", Terminal("maybe\nyes\n"))
    assert run_on_deck(monkeypatch, {2: "q"}, "run", PLAN, "--squad", SQUAD, "--text") == 0
    told = capsys.readouterr()
    assert (
        "Untitled session is running. pacer was interrupted during this session." in told.err
        and "All lanes are paused. Resume the session?" in told.err
    )
    assert told.err.count("yes (resume) or no (end it): ") == 2 and "PAUSED" in told.out
    assert kept(capsys) == [(1, True)]


@pytest.mark.usefixtures("left_running")
def test_in_the_window_it_is_said_that_all_lanes_still_stand(monkeypatch):
    told = []
    glass = SimpleNamespace(run_app=lambda *_args, **more: told.extend(more["told"]))
    monkeypatch.setitem(sys.modules, "pacer.face.window.kivyapp", glass)
    monkeypatch.setitem(sys.modules, "pacer.face.kit.kivysetup", SimpleNamespace(has_screen=lambda: True, why_none=str))
    monkeypatch.setattr("sys.stdin", Terminal("yes\n"))
    assert main(["run", PLAN, "--squad", SQUAD]) == 0
    assert told[0] == (
        "Untitled session was running and is running again: all lanes are paused. "
        "To start another session, end this one first."
    )


@pytest.mark.usefixtures("left_running")
def test_no_it_is_over_and_the_new_one_begins(monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", Terminal("n\n"))
    assert run_on_deck(monkeypatch, {2: "stop"}, "run", PLAN, "--squad", SQUAD, "--text") == 0
    assert kept(capsys) == [(2, False), (1, True)]


def test_a_session_that_ended_just_now_is_not_lost_without_a_word(monkeypatch, capsys):
    """Once another starts, it can't be resumed: in the terminal that is asked, elsewhere it is said."""
    line = ("run", "--line", "4 x 50 free on 1:10", "--text")
    assert run_on_deck(monkeypatch, {3: "q", 4: "q"}, *line) == 0
    assert kept(capsys) == [(1, True)]
    monkeypatch.setattr("sys.stdin", Terminal("no\n"))
    assert main([*line]) == 1
    told = capsys.readouterr().err
    assert "ended just now. Once you start this plan, you can't resume that session." in told
    assert told.endswith("pacer resume resumes the other one\n") and kept(capsys) == [(1, True)]
    monkeypatch.setattr("sys.stdin", Terminal("yes\n"))
    assert run_on_deck(monkeypatch, {3: "q", 4: "q"}, *line) == 0
    assert kept(capsys) == [(2, True), (1, True)]
    monkeypatch.setattr("sys.stdin", io.StringIO())
    assert run_on_deck(monkeypatch, {3: "q", 4: "q"}, *line) == 0
    assert "you can't resume that session" in capsys.readouterr().err


@pytest.mark.usefixtures("left_running")
def test_without_a_terminal_it_says_what_to_type(monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", io.StringIO())
    for arguments in (["run", PLAN, "--text"], ["run", "--text"]):
        assert main(arguments) == 1
        assert "pacer resume resumes it; pacer run --new ends it and starts another" in capsys.readouterr().err
    assert kept(capsys) == [(1, False)]
    assert run_on_deck(monkeypatch, {2: "stop"}, "run", PLAN, "--squad", SQUAD, "--text", "--new") == 0
    assert kept(capsys) == [(2, False), (1, True)]


@pytest.mark.usefixtures("left_running")
def test_without_a_plan_it_goes_on_with_what_is_running(monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", Terminal("no\n"))
    assert main(["run", "--text"]) == 1 and "name a plan or a quick set" in capsys.readouterr().err
    monkeypatch.setattr("sys.stdin", Terminal(""))
    assert main(["run", "--text"]) == 1 and "pacer resume resumes it" in capsys.readouterr().err
    monkeypatch.setattr("sys.stdin", Terminal("y\n"))
    assert run_on_deck(monkeypatch, {2: "q"}, "run", "--text") == 0
    assert kept(capsys) == [(1, True)]
    assert main(["run", "--text"]) == 2


@pytest.mark.usefixtures("left_running")
def test_where_another_has_it_that_is_said_and_a_new_one_can_be_run(monkeypatch, capsys):
    lock = Store().claim()
    try:
        monkeypatch.setattr("sys.stdin", Terminal("y\n"))
        assert main(["run", PLAN, "--text"]) == 1
        assert "pacer run --new starts another session anyway" in capsys.readouterr().err
        assert run_on_deck(monkeypatch, {2: "q"}, "run", PLAN, "--squad", SQUAD, "--text", "--new") == 0
        assert "Another copy of pacer on this device has a session open" in capsys.readouterr().err
    finally:
        lock.close()


@pytest.mark.usefixtures("left_running")
def test_a_store_that_is_damaged_stops_no_session(monkeypatch, capsys):
    path = Store().path
    path.write_bytes(b"SQLite format 3\0" + bytes(range(256)) * 40)
    assert run_on_deck(monkeypatch, {2: "q"}, "run", PLAN, "--squad", SQUAD, "--text") == 0
    assert "damaged" in capsys.readouterr().err


def test_a_squads_doubtful_test_swims_are_told(tmp_path, capsys):
    plan, squad = tmp_path / "p.txt", tmp_path / "s.toml"
    plan.write_text("pool: 25 m\n\nMain set\n  4 x 100, rest 0:10\n")
    squad.write_text(
        '[[lane]]\nnumber = 3\n[[lane.swimmer]]\nname = "Kit"\nbase = "1:40"\n[[lane.swimmer]]\n'
        'tests = { "100" = "0:21.7" }\n'
    )
    doubt = "swimmer 2: 100 in 0:21.7 is faster than anybody has swum"
    for command in ("timeline", "rounds", "check"):
        assert main([command, str(plan), "--squad", str(squad)]) == 0
        out, err = capsys.readouterr()
        assert doubt in (out if command == "check" else err) and "Kit" not in out + err
    squad.write_text('[[lane]]\ntests = { "200" = "2:40", "400" = "5:40" }\n')
    assert main(["check", str(plan), "--squad", str(squad)]) == 0
    assert "test swim" not in "".join(capsys.readouterr())


def test_a_review(monkeypatch, capsys, written):
    assert main(["review"]) == 1 and "No sessions yet." in capsys.readouterr().err
    assert run_on_deck(monkeypatch, {1: "q"}, "run", PLAN, "--squad", SQUAD, "--text") == 0
    capsys.readouterr()
    assert main(["review"]) == 1, "it was over after seconds"
    assert main(["review", "7"]) == 1 and "There is no session 7." in capsys.readouterr().err
    assert main(["review", "1", "--next", PLAN]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Review of session 1: ") and "it doesn't count as swum" in told and "Orla" not in told
    assert main(["review", "1", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["format"] == "pacer-review/1"


def test_a_session_is_hidden_shown_again_and_its_notes_keep_their_words(tmp_path, monkeypatch, capsys):
    from pacer.session.storage.sessionimport import take_in
    from pacer.session.storage.store import Store
    from tests.review.exports.test_merging import EVENINGS

    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    take_in(Store(tmp_path), EVENINGS[1:2])

    def said(*words, code=0):
        assert main(["log", *words]) == code
        return "".join(capsys.readouterr())

    for asked in (["1"], ["1", "--json"]):
        assert "Kit was late" not in said(*asked) and "Kit was late" in said(*asked, "--names")
    for asked in ([], ["--json"]):
        assert main(["review", "1", *asked]) == 0 and "Kit was late" not in capsys.readouterr().out
        assert main(["review", "1", *asked, "--names"]) == 0 and "Kit was late" in capsys.readouterr().out
    assert said("1", "--hide") == "Session 1 is hidden and left out of all totals. pacer log 1 --show shows it.\n"
    assert said() == "No sessions yet.\n" and said("--hidden").splitlines()[1].startswith("1 ")
    assert "the session is hidden" in said("1")
    said("1", "--show")
    assert "No sessions yet" in said("--hidden") and "No sessions yet" not in said()
    assert "say which session" in said("--hide", code=2) and "There is no session 9" in said("9", "--hide", code=1)


def test_every_command_s_help_says_what_it_does_with_a_verb_first(capsys):
    """Checked against the list below; `pacer --help` names the commands themselves."""
    with pytest.raises(SystemExit):
        main(["--help"])
    listed = capsys.readouterr().out.split("COMMAND\n", 1)[1].split("\n\n", 1)[0]
    told = dict(re.findall(r"^    (\w+) +(\w+)", listed, re.MULTILINE))
    assert len(told) == 20
    verbs = "say turn write work suggest print run list review show draft import enter resume sort"
    assert set(told.values()) <= set(verbs.split()), told
