"""Real browsers without a screen, and the page with a link whose time and cards the test sets.

Chromium is driven by its own driver. Debian has no driver for Firefox, but Firefox speaks WebDriver BiDi (a W3C draft)
by itself: `Firefox` is a client for the six commands that are needed.
"""

from __future__ import annotations

import base64
import json
import re
import shutil
import subprocess
import tempfile
from contextlib import ExitStack
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from pacer.screens.screenpage import FOLDER, SCRIPTS, joined

FAKE_LINK = Path(__file__).with_name("fakelink.js")
ARGUMENTS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
    "--force-device-scale-factor=1",
    "--autoplay-policy=no-user-gesture-required",
)


def page_with(folder: Path, lanes: list[str], link: str = "") -> Path:
    """The page as a file, with a link of the test's own."""
    fake = f"const LANES = {json.dumps(lanes)};\n{link or FAKE_LINK.read_text(encoding='utf-8')}"
    scripts: list[Any] = [fake if name == "link.js" else FOLDER / name for name in SCRIPTS]
    path = folder / "page.html"
    path.write_text(joined(*scripts), encoding="utf-8")
    return path


def needs(*commands: str) -> pytest.MarkDecorator:
    """Skip where a browser is not installed."""
    lacking = [command for command in commands if shutil.which(command) is None]
    return pytest.mark.skipif(bool(lacking), reason=f"not installed: {', '.join(lacking)}")


class Chromium:
    """Chromium with one page."""

    needs = ("chromium", "chromedriver")

    def __init__(self) -> None:
        from selenium import webdriver

        options = webdriver.ChromeOptions()
        options.binary_location = str(shutil.which("chromium"))
        for argument in ARGUMENTS:
            options.add_argument(argument)
        self.driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(shutil.which("chromedriver")))
        self.driver.set_script_timeout(120)

    def get(self, address: str) -> None:
        """Open a page."""
        self.driver.get(address)

    def run(self, script: str, *values: Any) -> Any:
        """What a script returns, or the promise that it returns; it has the values as `values`."""
        called = f"""const [values, done] = arguments;
            new Promise(gives => gives((() => {{ {script} }})())).then(
              made => done([made]), wrong => done(String(wrong && wrong.stack || wrong)));"""
        told = self.driver.execute_async_script(called, values)
        assert isinstance(told, list), told
        return told[0]

    def resize(self, width: int, height: int) -> None:
        """Make the page itself so large."""
        size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)

    def shot(self, path: Path) -> None:
        """Take a picture."""
        self.driver.save_screenshot(str(path))

    def quit(self) -> None:
        """End it."""
        self.driver.quit()


class Firefox:
    """Firefox with one page."""

    needs = ("firefox-esr",)

    def __init__(self) -> None:
        self.profile = tempfile.mkdtemp(prefix="firefox-")
        prefs = {
            "media.autoplay.default": 0,
            "datareporting.policy.dataSubmissionEnabled": False,
            "browser.shell.checkDefaultBrowser": False,
            "app.update.enabled": False,
            "network.captive-portal-service.enabled": False,
            "network.connectivity-service.enabled": False,
        }
        rows = (f"user_pref({json.dumps(name)}, {json.dumps(value)});" for name, value in prefs.items())
        Path(self.profile, "user.js").write_text("\n".join(rows), encoding="utf-8")
        command = [str(shutil.which("firefox-esr")), "--headless", "--no-remote", "--profile", self.profile]
        self.process = subprocess.Popen(
            [*command, "--remote-debugging-port", "0"], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
        )
        self.opened = ExitStack()
        try:
            self._speak()
        except BaseException:
            self.quit()
            raise

    def _speak(self) -> None:
        from websockets.sync.client import connect

        assert self.process.stderr is not None
        address = next(
            found[1] for row in self.process.stderr if (found := re.search(r"BiDi listening on (ws://\S+)", row))
        )
        self.socket = self.opened.enter_context(connect(f"{address}/session", max_size=None, compression=None))
        self.numbers = count(1)
        self.ask("session.new", capabilities={})
        self.context = self.ask("browsingContext.getTree")["contexts"][0]["context"]

    def ask(self, method: str, **params: Any) -> Any:
        """A command's result."""
        number = next(self.numbers)
        self.socket.send(json.dumps({"id": number, "method": method, "params": params}))
        while (told := json.loads(self.socket.recv())).get("id") != number:
            pass
        assert told["type"] == "success", told
        return told["result"]

    def get(self, address: str) -> None:
        """Open a page."""
        self.ask("browsingContext.navigate", context=self.context, url=address, wait="complete")

    def run(self, script: str, *values: Any) -> Any:
        """What a script returns, or the promise that it returns; it has the values as `values`."""
        made = self.ask(
            "script.callFunction",
            functionDeclaration="async told => { const values = JSON.parse(told);"
            f"return JSON.stringify([await (() => {{ {script} }})()]); }}",
            arguments=[{"type": "string", "value": json.dumps(values)}],
            target={"context": self.context},
            awaitPromise=True,
        )
        assert made["type"] == "success", made
        return json.loads(made["result"]["value"])[0]

    def resize(self, width: int, height: int) -> None:
        """Make the page itself so large."""
        self.ask("browsingContext.setViewport", context=self.context, viewport={"width": width, "height": height})

    def shot(self, path: Path) -> None:
        """Take a picture."""
        path.write_bytes(base64.b64decode(self.ask("browsingContext.captureScreenshot", context=self.context)["data"]))

    def quit(self) -> None:
        """End it."""
        self.opened.close()
        self.process.terminate()
        try:
            self.process.communicate(timeout=20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.communicate()
        shutil.rmtree(self.profile, ignore_errors=True)
