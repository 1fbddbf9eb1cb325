"""What several commands are tried on."""

import shutil

import pytest

from pacer.shippedfiles import PLANS, SQUADS
from tests.face.review.seriesscene import keep_series


@pytest.fixture(scope="module")
def swum_series(tmp_path_factory):
    """A folder with the demo series' three sessions, its plans and squads."""
    folder = tmp_path_factory.mktemp("kept")
    keep_series(folder)
    shutil.copytree(PLANS, folder / "plans")
    shutil.copytree(SQUADS, folder / "squads")
    return folder


@pytest.fixture
def series_home(swum_series, tmp_path, monkeypatch):
    """A copy of it, where the commands look."""
    folder = tmp_path / "kept"
    shutil.copytree(swum_series, folder)
    monkeypatch.setenv("PACER_HOME", str(folder))
    return folder
