"""Pictures of the lane screens' page in Chromium: `python tests/screens/pageshots.py FOLDER [NAME …] [firefox]`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from pacer.plan.notation.planreader import read_plan
from pacer.screens.cardmaking import card_list
from pacer.session.journal.entries import Begun, Paused, Stopped
from pacer.session.running.replay import apply, fresh
from pacer.shippedfiles import DRILLS
from pacer.squad.files.drillreader import read_drills
from pacer.timeline.timeline import build_timeline
from tests.screens.browser import Chromium, Firefox, page_with
from tests.screens.runs import demo

SIZES = {
    "320x568": (320, 568, 5.2),
    "375x667": (375, 667, 5.6),
    "500x900": (500, 900, 6.0),
    "768x1024": (768, 1024, 5.0),
    "1280x800": (1280, 800, 5.9),
}  # CSS pixels a mm
FIREFOX = "firefox"
MAIN_MS = 26 * 60_000


def instants() -> dict:
    """Name to a run, view, instant, and how long the screen is alone."""
    run = demo("long-axis-rotation-3", "thursday")

    def state(wanted: str, later_ms: int = 0) -> int:
        cards = card_list(run, 0, "lane", MAIN_MS, MAIN_MS + 900_000)
        instants = (card["at_ms"] for card in cards if card.get("state") == wanted and card["at_ms"] > MAIN_MS)
        return next(instants) + later_ms

    ended_ms = run.timeline.end_ms + 5_000
    rest, swim, go, ready = state("rest", 2_000), state("swim", 9_000), state("go", 200), state("ready", 3_000)
    held, stopped = apply(run, Paused(rest - 60_000, None)), apply(run, Stopped(swim))
    return {
        "rest": (run, "lane", rest, 0),
        "swim": (run, "lane", swim, 0),
        "go": (run, "lane", go, 0),
        "ready": (run, "lane", ready, 0),
        "drill": (*uncued(), 0),
        "paused": (held, "lane", rest, 0),
        "stopped": (stopped, "lane", swim + 8_000, 0),
        "talk": (run, "lane", -8_000, 0),
        "old": (run, "lane", rest, 75_000),
        "alone": (run, "lane", swim, 12_000),
        "dial": (run, "dial", rest, 0),
        "pool": (run, "pool", rest, 0),
        "pool-old": (run, "pool", swim, 75_000),
        "done": (run, "lane", ended_ms, 0),
        "helper": (run, "lane", swim, 0),
        "options": (run, "lane", swim, 0),
        "lanes": (run, None, 0, 0),
        "width": (run, "lane", 0, 0),
        "code": (run, None, 0, 0),
    }


def uncued() -> tuple:
    """A session, a view and an instant at which a drill is next that the plan gives no cue for."""
    text = "pool: 25 m\nSkill set\n  4 x 50 drill three-stroke switch, on 1:30\n"
    run = apply(
        fresh(build_timeline(read_plan(text), demo("long-axis-rotation-3", "thursday").timeline.squad)), Begun(0, 0, 0)
    )
    return run, "lane", 80_000


SET = """
const [cards, at, view, alone, name, theme, pxPerMm] = values;
setTheme(theme);
setWidth(pxPerMm);
page.shown = "?";
options(name === "options");
Object.assign(link, {
  at, picked: view && { lane: 0, view }, role: name === "helper" ? "helps" : "shows",
  aloneSince: alone ? at - alone : null, state: name === "code" ? "code" : "joined"
});
screen_.asks = name === "width" ? "width" : "";
link.onCards(cards);
"""
DRAWN = "return new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 60, 0))));"


def main(folder: Path, names: list[str]) -> None:
    """Take them."""
    folder.mkdir(parents=True, exist_ok=True)
    book = read_drills(DRILLS.read_text(encoding="utf-8"))
    browser = Firefox() if FIREFOX in names else Chromium()
    names = [name for name in names if name != FIREFOX]
    try:
        with tempfile.TemporaryDirectory() as made:
            for name, (run, view, at_ms, alone_ms) in instants().items():
                if names and name not in names:
                    continue
                browser.get(page_with(Path(made), [str(lane.number) for lane in run.timeline.lanes]).as_uri())
                cards = card_list(run, 0, view or "lane", at_ms, at_ms + 1, whose="own", book=book)
                for size, (width, height, px_per_mm) in SIZES.items():
                    for theme in ("dark", "bright"):
                        browser.resize(width, height)
                        browser.run(SET, cards, at_ms, view, alone_ms, name, theme, px_per_mm)
                        browser.run(DRAWN)
                        browser.shot(folder / f"{name}-{size}-{theme}.png")
    finally:
        browser.quit()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
