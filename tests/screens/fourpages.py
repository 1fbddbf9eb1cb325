"""Four phones from a drawer: pages of four sizes in windows of one Chromium, each with storage of its own.

As a script it walks four lanes: joins them, pauses on the tablet, takes one phone off the network, and takes pictures:

    python tests/screens/fourpages.py FOLDER
"""

from __future__ import annotations

import shutil
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

SIZES = ((320, 568, 5.2), (375, 667, 5.6), (768, 1024, 5.0), (1280, 800, 5.9))  # CSS pixels; of them a mm
FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
    "--mute-audio",
    "--disable-backgrounding-occluded-windows",
    "--disable-renderer-backgrounding",
    "--disable-background-timer-throttling",
)
#: Notes session times at which a change was painted.
PAINTED = """
window.painted = [];
const before = link.onCards;
link.onCards = list => {
  before(list);
  requestAnimationFrame(() => requestAnimationFrame(() => painted.push(link.now())));
};
"""


class FourPages:
    """Page n is at 127.0.0.n and at lane n. `draw` is called while something is waited for.

    `first` runs before any script of a page.
    """

    def __init__(self, port: int, code: str, draw: Callable[[], object], last_port: int | None = None, first: str = ""):
        from selenium import webdriver

        options = webdriver.ChromeOptions()
        options.binary_location = str(shutil.which("chromium"))
        for flag in FLAGS:
            options.add_argument(flag)
        self.driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(shutil.which("chromedriver")))
        self.draw, self.handles = draw, []
        for number, (width, height, px_per_mm) in enumerate(SIZES):
            if number:
                self.driver.switch_to.new_window("window")
            self.handles.append(self.driver.current_window_handle)
            self.driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": first})
            size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
            self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
            last = last_port is not None and number == len(SIZES) - 1
            self.driver.get(f"http://127.0.0.1:{last_port}/" if last else f"http://127.0.0.{number + 1}:{port}/")
            self.until("link.state === 'code'")
            self.driver.execute_script("link.join(arguments[0])", code)
            self.until("link.state === 'joined'")
            self.driver.execute_script(f"link.pick({number}, 'lane'); setWidth({px_per_mm});")
            self.until("link.now() !== null && link.cards.length > 0")
            self.driver.execute_script(PAINTED)

    def until(self, condition: str) -> None:
        """Wait until the page in front says so."""
        end = time.monotonic() + 60
        while not self.driver.execute_script(f"return {condition}"):
            assert time.monotonic() < end, condition
            self.draw()
            time.sleep(0.05)

    def each(self, script: str) -> list[Any]:
        """What a script returns on each page."""
        made = []
        for handle in self.handles:
            self.driver.switch_to.window(handle)
            made.append(self.driver.execute_script(script))
        return made

    def shots(self, folder: Path, name: str) -> None:
        """A picture of each."""
        for handle, (width, height, _) in zip(self.handles, SIZES):
            self.driver.switch_to.window(handle)
            self.driver.save_screenshot(str(folder / f"{name}-{width}x{height}.png"))

    def close(self) -> None:
        """End the browser."""
        self.driver.quit()


def main(folder: Path) -> None:
    """The walk."""
    from pacer.session.journal.entries import Begun, Paused, Resumed
    from pacer.show.drive.driver import Driver
    from tests.screens.hall import hall, now_ms
    from tests.screens.relay import relay
    from tests.screens.runs import demo

    folder.mkdir(parents=True, exist_ok=True)
    timeline = demo("long-axis-rotation-3", "thursday").timeline
    journal = (Begun(0, now_ms() - 26 * 60_000, 1_772_470_883_456, "+00:00"),)
    session = Driver(timeline, now_ms=now_ms, wall_ms=lambda: 1_772_470_883_456, boot=lambda: "a", journal=journal)
    with (
        hall(session, host="0.0.0.0") as screens,
        relay(screens.server.port, lambda: 0.0, lambda: 0.0) as between,
        closing(FourPages(screens.server.port, screens.code, screens.frame, between.port)) as pages,
    ):

        def wait(seconds: float) -> None:
            end = time.monotonic() + seconds
            while time.monotonic() < end:
                screens.frame()
                time.sleep(0.01)

        wait(6)
        pages.shots(folder, "1-running")
        pages.each("painted.length = 0")
        late: list[list[float]] = []
        for turn in range(6):
            at_ms = session.at_ms()
            session.append(Resumed(at_ms, at_ms + 20_000) if turn % 2 else Paused(at_ms, None, True))
            wait(1)
            painted = pages.each("return painted.splice(0)")
            late.append([round(min(found for found in page if found > at_ms - 20) - at_ms) for page in painted])
            if turn == 0:
                wait(2)
                pages.shots(folder, "2-paused")
        print("pause and resume, to painted on each of four, ms:", late)
        between.silent = True
        wait(30)
        pages.shots(folder, "3-half-a-minute-alone")
        clocks = pages.each("return [link.now(), link.aloneSince]")
        print("apart from the tablet after half a minute, ms:", [round(now - session.at_ms()) for now, _ in clocks])
        wait(35)
        pages.shots(folder, "4-a-minute-alone")
        pages.each("setTheme('bright')")
        wait(0.5)
        pages.shots(folder, "5-bright")
        between.silent = False
        wait(9)
        pages.shots(folder, "6-back")
        print("alone:", pages.each("return link.aloneSince"))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
