"""A real browser without a screen, with the page in it and a link whose time and cards the test sets."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pacer.screens.screenpage import FOLDER, SCRIPTS, joined

FAKE_LINK = Path(__file__).with_name("fakelink.js")
CHROMIUM = ("/usr/bin/chromium", "/usr/bin/chromedriver")

ARGUMENTS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
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


def chromium():
    """Chromium, driven by its own driver."""
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM[0]
    for argument in ARGUMENTS:
        options.add_argument(argument)
    return webdriver.Chrome(options=options, service=webdriver.ChromeService(CHROMIUM[1]))


def resize(driver, width: int, height: int) -> None:
    """Make the page itself so large."""
    driver.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False},
    )
