"""A computer without a screen as the clock of a pool: `pacer run PLAN --text --screens`, killed, and resumed."""

from __future__ import annotations

import asyncio
import io
import json
import os
import re
import signal
import subprocess
import sys
from contextlib import closing, contextmanager

import pytest
from websockets.asyncio.client import connect

from pacer.cli.textscreens import TextScreens
from pacer.shippedfiles import DRILLS, SQUADS
from pacer.squad.files.drillreader import read_drills
from tests.screens.hall import PATIENT_S, PHONE, driver, kept_says, own_ports, until

pytestmark = pytest.mark.real_clock

#: `python -m pacer`, at ports of the test's own.
PACER = """
import runpy
from pacer.screens import lanescreens
lanescreens.PORT = {port}
runpy.run_module("pacer", run_name="__main__", alter_sys=True)
"""
PLAN = "pool: 25 m\nSkill set\n  20 x 50 drill three-stroke switch, on 1:30\n"


@contextmanager
def pacer(home, port, *arguments):
    """The command, and the first line that says where its screens join."""
    environment = {**os.environ, "PACER_HOME": str(home), "PYTHONUNBUFFERED": "1"}
    command = [sys.executable, "-c", PACER.format(port=port), *arguments]
    with subprocess.Popen(
        command, env=environment, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        try:
            said = ""
            for line in process.stdout:
                said += line
                if found := re.search(r"lane screens: http://(\S+?),? .*code (\d{3}) (\d{3})", line):
                    break
            else:
                raise AssertionError(said)
            yield process, found[1], found[2] + found[3]
        finally:
            process.send_signal(signal.SIGKILL)
            process.communicate()


async def joined(where, **by):
    """Join, pick a lane, and what comes."""
    async with connect(f"ws://{where}/link", origin=f"http://{where}", compression=None, max_size=None) as socket:
        hello = json.loads(await socket.recv())
        await socket.send(json.dumps({"type": "join", "v": 1, "device": PHONE, "session": hello["session"], **by}))
        told = json.loads(await socket.recv())
        await socket.send(json.dumps({"type": "pick", "lane": 0, "view": "lane"}))
        async with asyncio.timeout(PATIENT_S):
            while (cards := json.loads(await socket.recv()))["type"] != "cards":
                pass
        return told, cards["cards"]["texts"]


def test_it_serves_screens_and_is_found_again_after_a_kill(tmp_path):
    plan, home = tmp_path / "plan.txt", tmp_path / "home"
    plan.write_text(PLAN)
    squad, port = str(SQUADS / "thursday.toml"), own_ports()
    with pacer(home, port, "run", str(plan), "--squad", squad, "--text", "--screens") as (process, where, code):
        told, texts = asyncio.run(joined(where, code=code))
        assert told["type"] == "joined" and told["lanes"] == [1, 2, 3, 4, 5, 6]
        how = read_drills(DRILLS.read_text(encoding="utf-8")).drill("three-stroke switch").how
        assert "three-stroke" in json.dumps(texts) and how in texts
        until(lambda: kept_says(home, '"lane": 0'))
        process.kill()
    with pacer(home, port, "resume") as (_, again, _):
        assert again == where
        back, _ = asyncio.run(joined(where, token=told["token"]))
        assert back["type"] == "joined" and back["number"] == told["number"] and back["lane"] == 0


@pytest.mark.parametrize("encoding, drawn", [("utf-8", True), ("ascii", False)])
def test_without_a_terminal_it_draws_the_qr_code_or_says_what_would_show_it(encoding, drawn, monkeypatch):
    monkeypatch.setattr("pacer.screens.lanescreens.HOST", "127.0.0.1")
    monkeypatch.setattr("pacer.screens.lanescreens.PORT", own_ports())
    with closing(TextScreens(driver(), None, io.TextIOWrapper(io.BytesIO(), encoding))) as screens:
        said = until(lambda: [line for line in screens.lines() if "lane screens: http" in line])[0]
    assert re.search(r"http://127.0.0.1:\d+, code \d{3} \d{3}", said)
    assert ("\u2588" in said) == drawn
    assert ("A terminal in UTF-8 would show the QR code too." in said) == (not drawn)
