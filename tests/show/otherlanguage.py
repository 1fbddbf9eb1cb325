"""Runs pacer in the language that the environment asks for, and prints what it says as JSON, by what was asked of it.

    python tests/show/otherlanguage.py CATALOGUES HOME PART …

Started by `test_otherlanguage.py` in a process of its own: the language is chosen when pacer is imported.
"""

from __future__ import annotations

import contextlib
import dataclasses
import io
import json
import os
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

import pacer.shippedfiles  # noqa: E402

PLAN, SQUAD = str(pacer.shippedfiles.DEMO_PLAN), str(pacer.shippedfiles.DEMO_SQUAD)
Said = Iterator[tuple[str, str]]
BROKEN = "pool: 25 m\n\nMain set\n  8 x 50 fre on 1:75\n  4x200 0n 4:00\n  3 roundz\n"
TIGHT = """\
title: Sprints
pool: 25 m
booking: 10 min

Main set, 2 to 4 rounds
  10 x 100 free on 1:05
  3 x 30 fly, rest 0:05
"""
#: Names of values that nobody reads.
NAMES = {
    "state", "kind", "whose", "shape", "icon", "name", "colour", "theme", "key", "sort", "unit", "size", "look",
    "fill", "doing_kind", "direction", "when",
}  # fmt: skip


def command(home: Path, *words: str) -> str:
    """All that a command prints."""
    from pacer.cli.commands import main

    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out), contextlib.suppress(SystemExit):
        main(list(words))
    return out.getvalue().replace(str(home), "HOME").replace(str(ROOT), "ROOT")


def files(home: Path) -> dict[str, str]:
    """Files that the commands are given."""
    home.mkdir(parents=True, exist_ok=True)
    made = {
        "broken.txt": BROKEN,
        "tight.txt": TIGHT,
        "bad.toml": 'name = "Thursday"\n[[lane]]\nbase = 80\nswimmers = "x"\nnumbr = 3\n',
        "swimmers.csv": "name,200,400\nKit,2:40,5:40\nWren,2:50,5:58\n",
        "odd.csv": "Bib,200,400\nKit,2:40,5:40\n",
        "page.txt": "Thursday 12 March\n300 warm up\n8x50 bk :15 rest\n4 rounds of 3 x 100 IM 10s r\n200 sd\n= 1800\n",
    }
    for name, text in made.items():
        (home / name).write_text(text, encoding="utf-8")
    return {name: str(home / name) for name in made}


def cli(home: Path) -> Said:
    """Every command with what it prints, and its help."""
    from tests.face.review.seriesscene import keep_series

    given = files(home)
    os.environ["PACER_HOME"] = str(home)
    keep_series(home)
    wanted = [
        ("check", PLAN, "--squad", SQUAD), ("check", given["tight.txt"]), ("check", given["broken.txt"]),
        ("check", "nowhere.txt"), ("check", PLAN, "--squad", given["bad.toml"]), ("rounds", PLAN, "--squad", SQUAD),
        ("rounds", given["tight.txt"]), ("suggest", given["tight.txt"]), ("suggest", PLAN, "--squad", SQUAD),
        ("timeline", PLAN, "--squad", SQUAD), ("tidy", PLAN, "--pool", "50 m"), ("read", given["page.txt"]),
        ("pace", "400=5:40", "200=2:40"), ("pace", "400=5:40"), ("pace", "400=1:40"), ("pace", "x"),
        ("lanes", given["swimmers.csv"], "--lanes", "2"), ("lanes", given["odd.csv"], "--lanes", "2"),
        ("drills",), ("drills", "6-3-6"), ("drills", "catchup"), ("log",), ("log", "1"), ("log", "99"),
        ("review", "1"), ("review", "3", "--against", PLAN), ("season",), ("season", "--names"), ("series",),
        ("series", "--names"), ("next",), ("next", "--without", "9"), ("export",), ("import", "nothing.zip"),
        ("export", "--schema"),
        ("enter",), ("resume",), ("sheet",), ("run", "nowhere.txt"),
    ]  # fmt: skip
    for words in wanted:
        yield " ".join(words).replace(str(home), "HOME").replace(str(ROOT), "ROOT"), command(home, *words)
    names = "check read tidy rounds suggest timeline run pace log review resume lanes drills enter export import next "
    for name in (names + "season series sheet").split():
        yield f"{name} --help", command(home, name, "--help")


def errors(home: Path) -> Said:
    """What is said of every kind of mistake in a plan that the tests know, and what would fix it."""
    from pacer.plan.notation.planreader import read_plan
    from pacer.plan.problem import Unreadable

    known = tomllib.loads((ROOT / "tests" / "plan" / "mistakes.toml").read_text(encoding="utf-8"))
    for rows in known.values():
        for what, text, *_ in rows:
            for page in (text, "pool: 25 m\nMain set\n" + text):
                try:
                    read_plan(page)
                except Unreadable as error:
                    in_order = sorted(error.problems, key=lambda one: plain(one.message))
                    for place, problem in enumerate(in_order):
                        yield f"{what} {place}", "\n".join([problem.message, problem.hint])
                        yield f"{what} {place} fixes", "\n".join(edit.says or "" for edit in problem.edits)
                        yield f"{what} {place} text", f"'{[edit.text for edit in problem.edits]}'"


def plain(text: str) -> str:
    """A text without the marks of the made-up language."""
    return " ".join(re.sub("[⟨⟩]", "", text).lower().split())


def within(value: object) -> Iterator[str]:
    """Every text in a view."""
    if isinstance(value, str):
        yield value
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            if field.name not in NAMES:
                yield from within(getattr(value, field.name))
    elif hasattr(value, "_fields"):
        for name in value._fields:
            if name not in NAMES:
                yield from within(getattr(value, name))
    elif isinstance(value, list | tuple | set | frozenset):
        for each in value:
            yield from within(each)
    elif isinstance(value, dict):
        for each in value.values():
            yield from within(each)


def demo():
    """The demo session, begun."""
    from pacer.plan.notation.planreader import read_plan
    from pacer.session.journal.entries import Begun
    from pacer.session.running.replay import apply, fresh
    from pacer.squad.files.squadreader import read_squad
    from pacer.timeline.fit.fitcounts import fit
    from pacer.timeline.timeline import build_timeline

    written = read_plan(Path(PLAN).read_text(encoding="utf-8"))
    squad = read_squad(Path(SQUAD).read_text(encoding="utf-8"))
    begun = Begun(-10_000, 0, 1_764_003_600_000, "+01:00")
    return apply(fresh(build_timeline(written, squad, fit(written, squad).counts)), begun)


def views(home: Path) -> Said:
    """The running views of the demo session, every half minute; and the session as text."""
    from pacer.show.view.instantview import dial_view, lane_view, pool_view
    from tests.cli.test_textform import told

    run = demo()
    for at_ms in range(-10_000, 3_700_000, 30_000):
        yield f"pool {at_ms}", "\n".join(within(pool_view(run, at_ms)))
        yield f"dial {at_ms}", "\n".join(within(dial_view(run, at_ms)))
        yield f"lane {at_ms}", "\n".join(within(lane_view(run, at_ms // 30_000 % len(run.timeline.tracks), at_ms)))
    keys = {5: "p", 6: " ", 9: " ", 12: "1", 14: "t", 16: "u", 30: "n", 33: "x", 40: "u"}
    yield "as text", told("2 x 25 free on 0:40", keys)


def screens(home: Path) -> Said:
    """What the page of a lane screen says besides the views, and the cards that it is given; it is left as a file."""
    from pacer.screens.cardmaking import card_list
    from pacer.screens.screenpage import page_bytes
    from pacer.show.wording.screenwords import PAGE_WORDS
    from tests.screens.browser import page_with

    home.mkdir(parents=True, exist_ok=True)
    page_with(home, ["4", "5"])
    yield "no script", page_bytes().decode().split("<noscript>")[1].split("</noscript>")[0]
    for name, text in PAGE_WORDS.items():
        yield name, re.sub(r"\{\w+\}", "5", text)
    for view in ("lane", "dial", "pool"):
        cards = card_list(demo(), 0, view, 0, 3_600_000)
        (home / f"{view}.json").write_text(json.dumps(cards), encoding="utf-8")
        for place, card in enumerate(cards):
            told = {key: value for key, value in card.items() if key not in {*NAMES, "part"}}
            for key in told.keys() & {"needs", "unnamed", "marks"}:  # what it is stands before each text
                told[key] = [row[1] for row in told[key] or ()]
            yield f"{view} {place}", "\n".join(within(told))


def pages(home: Path) -> Said:
    """The pages of the window: `PAGES` in the environment names some, "all" for all."""
    from tests.face.shots import prepare

    prepare()
    from kivy.config import Config

    for edge in ("width", "height"):
        Config.set("graphics", edge, "1280")
    Config.set("graphics", "multisamples", "0")
    from kivy.base import EventLoop

    EventLoop.ensure_window()
    from tests.face.coach import Coach
    from tests.face.officepages import PAGES

    wanted = os.environ["PAGES"].split(", ")
    for name, arrive in PAGES.items():
        if name not in wanted and wanted != ["all"]:
            continue
        place = home / name.replace(" ", "-").replace("'", "")
        place.mkdir(parents=True)
        coach = Coach(EventLoop.window, place)
        try:
            arrive(coach)
            for _ in range(3):
                coach.frame(20)
            boards = list(coach.boards()) if coach.page is not None else []
            if coach.shell is not None and coach.shell.sheet is not None:
                boards += coach.shell.sheet.boards
            for board in boards:
                for tile in board.tiles:
                    for text in tile.texts:
                        told = "\n".join(text.ways)
                        if "/" not in told:  # the folder's name is anybody's
                            yield name, told
        except Exception as error:  # noqa: BLE001 - which page could not be opened
            yield name, f"FAILED ⟨⟩ {type(error).__name__}: {error}"
        coach.leave()


if __name__ == "__main__":
    pacer.shippedfiles.LANGUAGES = Path(sys.argv[1])
    made: list[tuple[str, str]] = []
    for part in sys.argv[3:]:
        made += globals()[part](Path(sys.argv[2]) / part)
    print("\n" + json.dumps(made))
