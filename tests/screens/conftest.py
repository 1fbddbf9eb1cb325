"""A browser for the page, and a server on this machine."""

from __future__ import annotations

import shutil

import pytest


@pytest.fixture(scope="session")
def chromium():
    """Chromium without a window. Shared: each test opens its own page."""
    webdriver = pytest.importorskip("selenium.webdriver")
    binary, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if not binary or not driver:
        pytest.skip("needs chromium and chromedriver")
    options = webdriver.ChromeOptions()
    options.binary_location = binary
    for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--mute-audio"):
        options.add_argument(flag)
    browser = webdriver.Chrome(options, webdriver.ChromeService(driver))
    browser.set_page_load_timeout(30)
    yield browser
    browser.quit()
