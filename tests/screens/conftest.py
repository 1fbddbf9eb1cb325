"""A browser for the page, and a server on this machine."""

from __future__ import annotations

import shutil

import pytest


def opened():
    """A Chromium without a window, with storage of its own."""
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium")
    for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--mute-audio"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    browser = webdriver.Chrome(options, webdriver.ChromeService(shutil.which("chromedriver")))
    browser.set_page_load_timeout(120)
    return browser


@pytest.fixture(scope="session")
def chromium():
    """Chromium. Shared: each test opens its own page."""
    if not shutil.which("chromium") or not shutil.which("chromedriver"):
        pytest.skip("needs chromium and chromedriver")
    browser = opened()
    yield browser
    browser.quit()
