"""The app in a real window: from the first start to the last touch, by fingers and by keys."""

import os
import random
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from kivy.metrics import Metrics

from pacer.session.cautions import CAUTIONS
from pacer.session.journal.entries import Begun, Ended, Moved, Paused, Resumed, Stopped
from pacer.show.drive.settings import Settings
from pacer.show.view.instantview import pool_view
from pacer.show.wording.timereadings import clock_reading, count_down
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.timeline import build_timeline
from tests.face.deck.leaves import READ
from tests.face.deck.test_viewtags import note
from tests.face.sessions import line, plan, squad

SPACE, ESCAPE, TAB, RETURN, LEFT, RIGHT, DOWN = 32, 27, 9, 13, 276, 275, 274
ROOT = Path(__file__).parents[3]


def kinds(deck):
    return [type(entry) for entry in deck.driver.journal]


def words(widget):
    """Everything written on a page of text, as one line."""
    return " ".join(child.text for child in reversed(widget.children))


# -- before the first start -----------------------------------------------------------------------


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_cautions_come_once_whole_and_are_confirmed_by_a_held_press(deck, size):
    deck_ = deck(size, settings=Settings())
    read = ""
    while True:
        read += " " + words(deck_.shell.notices.notice)
        if "read on" not in deck_.names():
            break
        assert "confirm" not in deck_.names() and "begin" not in deck_.names()
        deck_.press("read on", 60)
    for caution in CAUTIONS:
        assert caution.about in read and caution.brief in read
    deck_.press("in full", 60)
    full = ""
    while "read on" in deck_.names():
        full += " " + words(deck_.shell.notices.notice)
        deck_.press("read on", 60)
    full += " " + words(deck_.shell.notices.notice)
    assert all(caution.text in full for caution in CAUTIONS)
    deck_.press("close", 60)
    assert "begin" not in deck_.names(), "they still have to be confirmed"
    while "read on" in deck_.names():
        deck_.press("read on", 60)
    deck_.press("confirm", 200)
    assert deck_.shell.notices.notice is not None
    deck_.press("confirm")
    assert deck_.shell.notices.notice is None and deck_.kept[-1].cautions_read == len(CAUTIONS)
    assert "begin" in deck_.names()
    again = deck(size, settings=deck_.kept[-1])
    assert again.shell.notices.notice is None


def test_no_page_of_text_overflows(deck):
    for size, dpi in (((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 169.5), ((600, 1024), 169.5)):
        made = deck(size, dpi, settings=Settings())
        notice = made.shell.notices.notice
        for page in range(notice.pages):
            notice.show(page)
            for row in notice.children:
                assert row.x >= 0 and row.right <= size[0] and row.top <= size[1] + 1 and row.y >= made.bar.top - 1, (
                    row.text
                )


def test_hazards_are_confirmed_before_each_session(deck):
    hazard = Finding(
        Severity.HAZARD,
        12,
        (4,),
        "“underwater” asks for breath-holding",
        "no hyperventilation; supervised, one at a time",
    )
    remark = Finding(Severity.REMARK, 3, (), "ends at the far wall")
    deck = deck(findings=[remark, hazard])
    assert "begin" not in deck.names()
    page = words(deck.shell.notices.notice)
    assert "Line 12" in page and "underwater" in page and "far wall" not in page
    deck.press("confirm")
    assert "begin" in deck.names()
    deck.press("begin")
    assert kinds(deck) == [Begun]


def test_a_keyboard_does_not_get_round_the_cautions(deck):
    deck = deck(settings=Settings())
    deck.key(SPACE)
    deck.key(ESCAPE)
    assert deck.driver.journal == () and deck.shell.settings.cautions_read == 0


def test_cautions_can_be_read_later_and_leave_the_clock_free(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("cautions", 60)
    notice = deck.shell.notices.notice
    assert "Lifeguard first" in words(notice)
    assert notice.clock == ":20   lane 4 leaves in 50"
    deck.skip_to(25_000)
    assert notice.clock == ":25   lane 4 leaves in 45" and notice.clock_label.text == notice.clock
    while "read on" in deck.names():
        deck.press("read on", 60)
    deck.press("close", 60)
    assert deck.shell.notices.notice is None and "pause" in deck.names()


def test_nothing_of_the_view_lies_over_the_cautions(deck):
    """Not the key that undoes the last note, and what is under the page can't be pressed."""
    deck = deck()
    deck.begin(20_000)
    note(deck, 0)
    deck.go(200)
    tags = deck.shell.on_deck.tags
    box = tags.box_of(tags.tile("take back"))
    deck.press("cautions", 60)
    before = deck.driver.journal
    touch = deck.finger(box.x + box.width / 2, box.y + box.height / 2)
    deck.go(600)
    touch.touch_up()
    deck.frame(20)
    assert deck.driver.journal == before
    assert deck.shell.children.index(deck.shell.notices.notice) < deck.shell.children.index(tags)
    while "read on" in deck.names():
        deck.press("read on", 60)
    deck.press("close", 60)
    assert tags.tile("take back"), "it is there again"


def test_what_was_wrong_with_the_settings_is_told_first(deck):
    deck = deck(settings=Settings(), told=["Some settings were damaged."])
    assert "Some settings were damaged." in words(deck.shell.notices.notice)
    deck.press("close", 60)
    assert "Lifeguard first" in words(deck.shell.notices.notice)


# -- beginning ---------------------------------------------------------------------------------------


def test_begin_at_the_top(deck):
    deck = deck()
    assert deck.press("top") == "Starts 17:02:00"
    deck.skip_to(0)
    assert deck.wall_ms % 60_000 == 0


def test_begin_at_a_time_of_day_chosen_in_steps(deck, monkeypatch):
    deck = deck()
    assert deck.bar.time == "17:05"
    deck.press("later", 60)
    deck.press("later", 60)
    deck.press("earlier", 60)
    assert deck.bar.time == "17:10"
    assert deck.press("time") in ("Starts 17:10:00", "Starts 17:10")
    assert deck.driver.at_ms() == deck.wall_ms - (deck.wall_ms - deck.wall_ms % 60_000 + 9 * 60_000)


def test_the_proposed_time_goes_on_with_the_day(deck):
    deck = deck()
    deck.frame(7 * 60_000)
    assert deck.bar.time == "17:10"


# -- what is seen -----------------------------------------------------------------------------------------


def shown_reading(deck):
    return deck.shell.views["pool"].view.clock


def test_an_hour_of_uneven_frames_is_never_more_than_a_frame_behind(deck):
    """What is drawn in a frame is the instant that the time source gave in that frame, however long frames are."""
    made = build_timeline(plan(("Main set", line(40, 100, on=95))), squad(3, base=70))
    deck = deck(made=made)
    deck.begin(0)
    dice = random.Random(3_600)
    track = made.tracks[0]
    while deck.driver.at_ms() < 3_600_000:
        deck.frame(dice.choice((1, 7, 16, 16, 17, 33, 120, 900, 2_500)))
        at_ms = deck.driver.at_ms()
        written = {piece.name: piece for piece in reversed(deck.shell.views["pool"].drawn())}
        assert written["clock"].text == clock_reading(at_ms)
        index = track.index_at(at_ms)
        if index + 1 < len(track.sendoffs):
            assert written["count"].text == count_down(-(-(track.sendoffs[index + 1] - at_ms) // 1000))


def test_the_clock_is_read_once_a_frame(deck):
    deck = deck()
    deck.begin(20_000)
    deck.reads = 0
    deck.shell.frame()
    assert deck.reads == 1


def test_views_by_touch(deck):
    deck = deck()
    deck.begin(20_000)
    assert deck.shell.shown == "pool"
    deck.press("dial", 60)
    assert deck.shell.shown == "dial"
    deck.press("pool", 60)
    assert deck.shell.shown == "pool"
    second = [piece for piece in deck.shell.views["pool"].drawn() if piece.name == "number"][1].box
    deck.tap(second.x + 5, second.y + second.height / 2)
    assert (deck.shell.shown, deck.shell.hand) == ("pool", 1) and deck.shell.sheet is not None
    second = [piece for piece in deck.shell.views["pool"].drawn() if piece.name == "number"][1].box
    deck.tap(second.x + 5, second.y + second.height / 2)
    assert (deck.shell.shown, deck.shell.hand, deck.shell.sheet) == ("pool", None, None)
    deck.shell.fill(1)
    deck.frame()
    assert (deck.shell.shown, deck.shell.lane) == ("lane", 1)
    assert {"pool", "dial"} <= set(deck.names()), "both one press away"
    deck.press("dial", 60)
    assert deck.shell.shown == "dial"
    deck.shell.fill(1)
    deck.frame()
    deck.press("pool", 60)
    assert deck.shell.shown == "pool"


def test_the_view_stands_above_the_bar_and_nothing_covers_it(deck):
    for size in ((1280, 800), (800, 1280), (1024, 600)):
        made = deck(size)
        made.begin(20_000)
        view = made.shell.views["pool"]
        assert view.y == pytest.approx(made.bar.top) and view.top == pytest.approx(size[1]) and view.width == size[0]
        assert set(made.shell.children) == {view, made.bar}


def test_between_sections_the_changeover_is_shown_and_gives_way_in_time(deck):
    deck = deck()
    deck.begin(20_000)
    seen = {}
    while deck.driver.at_ms() < 215_000:
        deck.frame(500)
        seen.setdefault(deck.shell.shown, deck.driver.at_ms())
        if deck.shell.shown == "changeover":
            last = deck.driver.at_ms()
    assert 110_000 < seen["changeover"] < 150_000
    assert 199_000 <= last <= 200_000  # the last ten seconds are the lanes' own again


def test_one_lane_opens_in_its_own_view(deck):
    deck = deck(lanes=1)
    assert deck.shell.shown == "lane"
    deck.press("dial", 60)
    assert deck.shell.shown == "dial"
    deck.press("pool", 60)
    assert deck.shell.shown == "lane"


def test_ten_lanes_in_a_bright_theme(deck):
    deck = deck(lanes=10, settings=replace(READ, theme="bright"))
    deck.begin(20_000)
    numbers = [piece for piece in deck.shell.views["pool"].drawn() if piece.name == "number"]
    assert deck.shell.views["pool"].theme.name == "bright" and len(numbers) == 10


def test_reading_distance_reaches_the_views(deck):
    deck = deck(settings=replace(READ, reading_distance_m=12))
    assert deck.shell.views["pool"].glass.tier_1_m == 12
    deck.shell.change(replace(READ, reading_distance_m=5))
    assert deck.shell.views["pool"].glass.tier_1_m == 5


def test_the_flash_is_at_the_send_off_and_can_be_turned_off(deck):
    deck = deck()
    deck.begin(-500)
    lit = []
    for _ in range(60):
        deck.frame(20)
        if deck.shell.lit:
            lit.append(deck.driver.at_ms())
    assert lit and lit[0] == 0 and lit[-1] < 250
    deck.shell.change(replace(READ, flash=False))
    deck.skip_to(209_900)
    for _ in range(30):
        deck.frame(20)
        assert not deck.shell.lit


# -- through a session -------------------------------------------------------------------------------------


def test_hold_resume_move_and_end_by_touch(deck):
    deck = deck()
    deck.begin(20_000)
    assert deck.press("pause").startswith("All lanes stop at the wall and pause")
    assert deck.press("resume").startswith("All lanes leave :")
    deck.go(8_000)
    deck.press("next")
    deck.press("end")
    assert kinds(deck) == [Begun, Paused, Resumed, Moved, Ended]
    assert "reopen" in deck.names() and "close" in deck.names()
    deck.press("again", 200)
    assert deck.begun_again == 0
    deck.press("again")
    assert deck.begun_again == 1
    deck.press("close", 60)
    assert deck.closed == 1


def test_stop_all_is_live_after_the_end_while_swimmers_come_home(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("end")
    deck.go(2_000)
    out = pool_view(deck.driver.seen, deck.driver.at_ms())
    assert "STOP AT WALL" in {band.text.distance for band in out.bands}, "some are out"
    x, y, width, height = dict(deck.bar.placed())["stop"]
    deck.tap(x + width / 2, y + height / 2, 600)
    assert kinds(deck) == [Begun, Ended, Stopped] and deck.shell.shown == "stop"
    deck.press("lanes", 60)
    assert deck.shell.shown == "pool" and "reopen" in deck.names()
    deck.skip_to(621_000)
    deck.tap(x + width / 2, y + height / 2, 600)
    assert len(deck.driver.journal) == 3


def test_when_the_last_has_touched_the_session_can_be_ended(deck):
    deck = deck()
    deck.begin(deck.driver.run.timeline.end_ms + 5_000)
    assert "end" not in deck.names(), "it stands where it always stood, beside More"
    deck.press("end")
    assert kinds(deck) == [Begun, Ended]


def test_turning_the_tablet_loses_nothing(deck):
    deck = deck()
    deck.begin(20_000)
    deck.shell.fill(1)
    deck.frame()
    deck.window.size = (800, 1280)
    deck.settle()
    deck.shell.size = deck.window.size
    deck.frame(20)
    view = deck.shell.views["lane"]
    assert (view.width, view.top) == (800, 1280) and deck.shell.lane == 1
    assert kinds(deck) == [Begun]
    deck.press("pause")
    assert kinds(deck) == [Begun, Paused]


def test_a_change_of_density_is_followed(deck):
    deck = deck((1280, 800), 149.5)
    before = deck.bar.height
    Metrics.dpi = 220
    deck.settle()
    assert deck.bar.height > before


# -- keys ------------------------------------------------------------------------------------------------


def test_space_holds_and_resumes(deck):
    deck = deck()
    deck.begin(20_000)
    deck.key(SPACE)
    assert kinds(deck) == [Begun, Paused] and deck.bar.says.startswith("All lanes stop at the wall and pause")
    deck.key(SPACE)
    assert kinds(deck) == [Begun, Paused, Resumed] and "leave :" in deck.bar.says


def test_tab_and_return_go_through_the_keys_and_the_sheet_with_a_focus_that_is_seen(deck):
    deck = deck()
    deck.begin(20_000)
    edges = {tuple(face.edge) for face in deck.bar.keys.faces}
    deck.key(TAB)
    assert deck.bar.focus == deck.names()[1] == "pause"
    shown = [face for face in deck.bar.keys.faces if face.parent is not None and tuple(face.edge) not in edges]
    assert len(shown) == 1 and shown[0].stroke >= 3
    deck.key(RETURN)
    assert kinds(deck) == [Begun, Paused]
    deck.key(ord("5"))
    for _ in range(len(deck.names())):
        deck.key(TAB)
    focused = [board.focus for board in deck.shell.sheet.boards]
    assert deck.bar.focus == "" and any(focused)
    while "resume" not in (deck.shell.sheet.body.focus, ""):
        deck.key(TAB)
    deck.shell.sheet.body.set_focus("resume")
    deck.key(RETURN)
    assert kinds(deck) == [Begun, Paused], "the first press tells what it would do"
    assert "Lane 5" in deck.shell.deck.deck.note()[0][0]
    deck.key(RETURN)
    assert kinds(deck) == [Begun, Paused, Resumed] and deck.driver.journal[-1].lanes == (1,)
    deck.key(DOWN)
    assert kinds(deck) == [Begun, Paused, Resumed], "arrows move the focus while it is on the sheet"


def test_a_key_that_stays_down_acts_once(deck):
    deck = deck()
    deck.begin(20_000)
    for _ in range(5):
        deck.window.dispatch("on_key_down", SPACE, 44, " ", [])
        deck.frame(20)
    deck.window.dispatch("on_key_up", SPACE, 44)
    assert kinds(deck) == [Begun, Paused]


def test_arrows_move(deck):
    deck = deck()
    deck.begin(20_000)
    deck.key(RIGHT)
    deck.go(10_000)
    deck.key(LEFT)
    assert [entry.step for entry in deck.driver.journal[1:]] == [1, -1]


def test_digits_choose_a_lane_by_its_number_on_the_wall(deck):
    deck = deck(lanes=8)  # lanes 4 to 11
    deck.begin(20_000)
    deck.key(ord("6"))
    assert (deck.shell.mode, deck.shell.hand) == ("pool", 2)
    deck.key(SPACE)  # holds that lane
    assert deck.driver.run.paused() == (2,)
    deck.go(1_500)
    deck.key(ord("6"))
    assert (deck.shell.mode, deck.shell.hand) == ("pool", None)
    deck.shell.fill(2)
    deck.go(1_500)
    deck.key(ord("1"))
    deck.key(ord("0"))
    assert deck.shell.lane == 6
    deck.go(1_500)
    deck.key(ord("2"))  # there is no lane 2
    assert deck.shell.lane == 6


def test_escape_goes_back_to_the_pool_and_never_ends_a_running_session(deck):
    deck = deck()
    deck.begin(20_000)
    deck.shell.choose_lane(1)
    assert deck.key(ESCAPE) is True
    assert deck.shell.mode == "pool" and deck.closed == 0
    for _ in range(5):
        assert deck.key(ESCAPE) is True
    assert deck.closed == 0 and kinds(deck) == [Begun]
    assert deck.bar.says
    deck.press("end")
    deck.key(ESCAPE)
    assert deck.closed == 1


# -- the app around it --------------------------------------------------------------------------------------


def run_python(script, **variables):
    environment = {
        key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")
    }
    return subprocess.run(
        [sys.executable, "-c", script],
        env=environment | {"PYTHONPATH": str(ROOT), **variables},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


APP = """
import pacer.face.window.kivyapp as kivyapp
from kivy.clock import Clock
from tests.face.sessions import plan, line, squad
from kivy.core.window import Window
def look(dt):
    shell = kivyapp.App.get_running_app().shell
    if shell is None or shell.sounds.player is None:
        return
    print(Window.allow_screensaver, shell.shown, shell.size == list(Window.size), end=" ")
    print(shell.sounds.player is not None, Window.fullscreen)
    kivyapp.App.get_running_app().stop()
    return False
Clock.schedule_interval(look, 0.1)
kivyapp.run_app(plan(("Main set", line(4, 50, on=60))), squad(2))
"""


def test_the_app_runs_keeps_the_screen_awake_and_leaves_the_home_folder_alone(tmp_path):
    done = run_python(
        APP,
        SDL_VIDEODRIVER="offscreen",
        SDL_AUDIODRIVER="dummy",
        HOME=str(tmp_path),
        PACER_HOME=str(tmp_path / "kept"),
        MESA_SHADER_CACHE_DISABLE="true",
    )  # a renderer's own cache is none of the app's
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("False pool True True auto"), done.stdout
    assert [path.name for path in tmp_path.iterdir()] == ["kept"]
    assert done.stderr == ""


def test_whether_there_is_a_screen():
    script = "from pacer.face.kit.kivysetup import has_screen; print(has_screen())"
    assert run_python(script).stdout == "False\n"
    assert run_python(script, DISPLAY=":7777").stdout == "False\n"
    done = run_python(script, SDL_VIDEODRIVER="nonsense")
    assert (done.stdout, done.stderr) == ("False\n", "")
    assert run_python(script, SDL_VIDEODRIVER="offscreen").stdout == "True\n"


def test_without_a_screen_asking_brings_no_kivy():
    done = run_python(
        "import sys; from pacer.face.kit.kivysetup import has_screen; has_screen(); print('kivy' in sys.modules)"
    )
    assert done.stdout == "False\n"


def test_main_opens_the_office_and_without_a_screen_the_demo_session(monkeypatch):
    import main
    import pacer.cli.commands
    import pacer.face.kit.kivysetup
    import pacer.face.office.coachapp

    asked, opened = [], []
    monkeypatch.setattr(pacer.cli.commands, "main", lambda arguments: asked.append(arguments) or 0)
    monkeypatch.setattr(pacer.face.office.coachapp, "open_office", lambda: opened.append(1))
    monkeypatch.setattr(pacer.face.kit.kivysetup, "has_screen", lambda: True)
    assert main.main([]) == 0 and (asked, opened) == ([], [1])
    monkeypatch.setattr(pacer.face.kit.kivysetup, "has_screen", lambda: False)
    assert main.main([]) == 0
    assert main.main(["mine.txt"]) == 0
    assert main.main(["mine.txt", "--squad", "mine.toml"]) == 0
    demo_plan, demo_squad = Path(asked[0][1]), Path(asked[0][3])
    assert asked[0][0] == "run" and demo_plan.exists() and demo_squad.exists()
    assert asked[1:] == [["run", "mine.txt"], ["run", "mine.txt", "--squad", "mine.toml"]]


RESUMED = """
from pacer.face.window import kivyapp
from kivy.clock import Clock
from pacer.session.timesource import boot_ms, wall_ms
from pacer.session.journal.entries import Begun
from tests.face.sessions import plan, line, squad
kept = []
class Store:
    def append(self, entry):
        kept.append(entry)
def look(dt):
    shell = kivyapp.App.get_running_app().shell
    if shell is None or not shell.shown or dt == 0:
        return
    driver = shell.driver
    print(45 <= driver.at_ms() // 1000 < 60, shell.shown, shell.notices.notice, driver.do(driver.pause()), len(kept))
    kivyapp.App.get_running_app().stop()
    return False
Clock.schedule_interval(look, 0.1)
journal = (Begun(-1, boot_ms() - 45_000, wall_ms() - 45_000),)
kivyapp.run_app(plan(("Main set", line(4, 50, on=60))), squad(2), store=Store(), journal=journal)
"""


def test_a_session_that_runs_is_carried_on_at_the_second_where_it_is(tmp_path):
    done = run_python(
        RESUMED,
        SDL_VIDEODRIVER="offscreen",
        SDL_AUDIODRIVER="dummy",
        HOME=str(tmp_path),
        PACER_HOME=str(tmp_path / "kept"),
    )
    assert done.stdout == "True pool None () 1\n", done.stderr


def test_nothing_of_kivys_covers_the_session(tmp_path):
    """Kivy's F1 key opens settings of its own; here it does nothing. And its labels have the one rule they need."""
    done = run_python(
        "from pacer.face.kit.kivysetup import prepare_kivy; prepare_kivy(full=False)\n"
        "import kivy\nfrom kivy.lang import Builder\nfrom pacer.face.window.kivyapp import TabletApp\n"
        "from kivy.uix.label import Label\n"
        "rules = {rule.name for _, rule in Builder.rules}\n"
        "print(TabletApp.open_settings(None), '<Label>' in rules, '<-Button,-ToggleButton>' in rules, "
        "kivy.kivy_data_dir.endswith('data'))",
        SDL_VIDEODRIVER="offscreen",
        HOME=str(tmp_path),
        PACER_HOME=str(tmp_path),
    )
    assert (done.stdout, done.stderr) == ("False True False True\n", "")
