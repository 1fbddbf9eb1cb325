"""The coach's app as a process of its own: its first picture, and what a kill leaves."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[3]

FIRST = """
import os, signal, sys
import pacer.face.kit.kivysetup
pacer.face.kit.kivysetup.prepare_kivy(full=False)
from pacer.face.office import coachapp
from kivy.app import App
from kivy.clock import Clock
from pacer.show.drive.settings import Settings
from pacer.session.cautions import CAUTIONS

def look(dt):
    app = App.get_running_app()
    if app is None or app.player is None or app.office.page is None:
        return
    WHAT
    return False

Clock.schedule_interval(look, 0.05)
coachapp.open_office()
"""


def run(what, home, **more):
    environment = {key: value for key, value in os.environ.items() if not key.startswith(("KIVY", "SDL"))} | {
        "SDL_VIDEODRIVER": "offscreen",
        "SDL_AUDIODRIVER": "dummy",
        "HOME": str(home),
        "PACER_HOME": str(home / "kept"),
        "PYTHONPATH": str(ROOT),
        **more,
    }
    script = FIRST.replace("    WHAT", "\n".join(f"    {row}" for row in what.strip().splitlines()))
    return subprocess.run(
        [sys.executable, "-W", "error::UserWarning", "-c", script],
        capture_output=True,
        text=True,
        timeout=120,
        env=environment,
        cwd=home,
        check=False,
    )


def test_first_start_a_kill_and_what_comes_after(tmp_path):
    done = run(
        """
office = app.office
if office.shell is None:  # it is worked out aside
    if hasattr(office.page, "on_demo"):
        office.page.press("demo")
    return
shell = office.shell
print(shell.driver.run.timeline.plan.title, shell.notices.key.name)
while shell.notices.notice is not None:
    shell.notices.confirm()
print(shell.act("begin", shell.ask("begin")))
office.opened.keeper.wait(30)      # however slow the disk is
shell.frame()
app.keep(shell.settings)
app._writer.close(2)
sys.stdout.flush()
os.kill(os.getpid(), signal.SIGKILL)
""",
        tmp_path,
    )
    assert done.returncode == -signal.SIGKILL and done.stdout.splitlines() == [
        "Long-axis rotation 3 confirm",
        "True",
    ], done.stderr
    assert json.loads((tmp_path / "kept" / "settings.json").read_text())["cautions_read"] > 0
    done = run(
        """
page = app.office.page
print(page.paragraphs[0][0])
page.press("on")
driver = app.office.shell.driver
print(app.office.refuse(), driver.running, [type(entry).__name__ for entry in driver.journal])
app.office.shell.driver.do(app.office.shell.driver.end())
app.stop()
""",
        tmp_path,
    )
    assert done.stdout.splitlines() == ["Long-axis rotation 3 is running", "True True ['Begun', 'CarriedOn']"], (
        done.stderr
    )
    assert done.returncode == 0 and done.stderr == ""
    done = run(
        """
sessions = app.office.store.sessions()
print(type(app.office.page).__name__, len(sessions), sessions[0].ended_ms is not None)
app.office.close()
""",
        tmp_path,
    )
    assert done.stdout.splitlines() == ["HomePage 1 True"] and (done.returncode, done.stderr) == (0, "")


def test_where_nothing_can_be_written_it_runs_and_says_so(tmp_path):
    (tmp_path / "kept").write_text("a file in the way")
    done = run(
        """
office = app.office
print(type(office.page).__name__, bool(office.told or getattr(office.page, "says", "")))
office.quick_set()
office.page.press("run")
shell = office.shell
print(shell is not None and len(shell.driver.run.timeline.lanes))
app.stop()
""",
        tmp_path,
    )
    assert done.returncode == 0 and done.stdout.splitlines()[1] == "1", (done.stdout, done.stderr)
