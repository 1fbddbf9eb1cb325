"""Every picture of the README can be taken again."""

from __future__ import annotations

import re
from pathlib import Path

from tests.readmeshots import PICTURES, TAKEN_BY

README = Path(__file__).parents[1] / "README.md"


def test_every_picture_of_the_readme_has_a_script():
    shown = set(re.findall(r"\(assets/pictures/(\w+)\.png\)", README.read_text(encoding="utf-8")))
    assert shown == {path.stem for path in PICTURES.iterdir()} == set(TAKEN_BY)
