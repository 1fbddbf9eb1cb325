"""Where the app's own files are: its fonts, languages, the demo plans, squads and drill book.

In a checkout and in the Android build, `assets` is beside this package; an installed package has its copy inside.
"""

from __future__ import annotations

from pathlib import Path

_INSIDE = Path(__file__).with_name("assets")
ASSETS = _INSIDE if _INSIDE.is_dir() else Path(__file__).parents[1] / "assets"

FONTS = ASSETS / "fonts"
CAP = 0.75  #: height of their digits and capitals over their size, as in their outlines
PLANS = ASSETS / "plans"
SQUADS = ASSETS / "squads"
DRILLS = ASSETS / "drills.toml"
LANGUAGES = ASSETS / "languages"
DEMO_PLAN = PLANS / "long-axis-rotation-3.txt"
DEMO_SQUAD = SQUADS / "thursday.toml"
