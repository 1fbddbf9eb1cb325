"""pacer in a made-up language, in which every text is in marks: what has none was never given to `tr`.

The made-up language says `lane 3 leaves in 0:12` as `⟨lane ⟩3⟨ leaves in ⟩0:12`: a value without marks is a plan's own
word, a name or a number. Without the marks it must say just what it says in English, or a text is also looked up.
"""

from __future__ import annotations

import json
import os
import re
import string
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo

from pacer.plan.model import GEAR
from pacer.plan.words.vocabulary import LINE_WORDS, SECTION_WORDS
from pacer.shippedfiles import DEMO_PLAN, DEMO_SQUAD, DRILLS
from tests.screens.browser import Chromium, needs
from tests.screens.hall import until
from tests.show.otherlanguage import BROKEN, plain
from tests.show.strings import catalogue

ROOT = Path(__file__).parents[2]
SOME = "home, squad, lanes, lane sheet, card, editor, ready, settings, log, a session"  #: pages that are looked at
pytestmark = pytest.mark.real_clock
_MARKED = re.compile(r"⟨[^⟨⟩]*⟩")
#: Names of files and options, what stands for a value on the command line, what is quoted from a page.
_NOT_WORDS = re.compile(
    r"\S*\.(?:txt|toml|csv|zip)\S*|--?[a-z-]+( [A-Z]+)?|\[.*?\]|\b[A-Z][A-Z=:-]+\b|“.*?”|\".*?\"|'\[.*\]'"
)
_WORD = re.compile(r"[A-Za-z’']{2,}")
#: Neither the app's words nor a plan's: units, file names and what argparse says.
OTHER = """
    min mm ms yd am pm pacer TOML CSV JSON PDF SVG QR UTF IM usage options positional arguments show this help message
    and exit error argument required are the following invalid choice unrecognized default no such file or directory
    check read page tidy rounds suggest timeline run pace log session review resume lanes drills enter export import
    next season series sheet name first last base skip time lane swimmer person section set line round repeat distance
    zero width space abc false
"""


def marked(text: str) -> str:
    """A text in the made-up language.

    >>> marked("lane {number}: {time:>5}")
    '⟨lane ⟩{number}: {time:>5}'
    """
    try:
        parts = list(string.Formatter().parse(text))
        fields = [name for _, name, _, _ in parts if name is not None]
    except ValueError:
        fields = [""]
    if not fields or not all(name.isidentifier() for name in fields):
        return f"⟨{text}⟩"
    out = literal = ""
    for said, name, spec, conversion in [*parts, ("", "", "", "")]:  # an escaped brace ends a part without a field
        literal += said.replace("{", "{{").replace("}", "}}")
        if name is not None:
            out += f"⟨{literal}⟩" if re.search("[A-Za-z]", literal) else literal
            literal = ""
            out += name and "{" + name + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "") + "}"
    return out


@pytest.fixture(scope="module")
def languages(tmp_path_factory) -> Path:
    """A folder of catalogues with one, of the made-up language."""
    made = Catalog(locale="en_GB", domain="pacer")
    for message in catalogue():
        if message.id:
            texts = message.id
            made.add(texts, tuple(map(marked, texts)) if isinstance(texts, tuple) else marked(texts))
    place = tmp_path_factory.mktemp("languages")
    folder = place / "en_GB" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    with (folder / "pacer.mo").open("wb") as file:
        write_mo(file, made)
    return place


def said(languages: Path, home: Path, part: str, **more: str) -> list[tuple[str, str]]:
    """What the app says in a process of its own: English if `languages` is empty."""
    environment = {key: value for key, value in os.environ.items() if not key.startswith(("LC_", "LANG", "COLUMNS"))}
    ran = subprocess.run(
        [sys.executable, str(ROOT / "tests" / "show" / "otherlanguage.py"), str(languages), str(home), part],
        env=environment | {"LANGUAGE": "en_GB", "COLUMNS": "4000", "PYTHONHASHSEED": "0"} | more,
        capture_output=True, text=True, cwd=home,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr[-3000:]
    return [tuple(each) for each in json.loads(ran.stdout.splitlines()[-1])]


def allowed() -> set[str]:
    """The notation's words, those of the demo's plans, squads and drills, and a few that are nobody's."""
    texts = [*LINE_WORDS, *SECTION_WORDS, OTHER, DRILLS.read_text(encoding="utf-8")]
    paths = (*DEMO_PLAN.parent.glob("*.txt"), *DEMO_SQUAD.parent.glob("*.toml"))
    texts += [path.read_text(encoding="utf-8") for path in paths]
    known = tomllib.loads((ROOT / "tests" / "plan" / "mistakes.toml").read_text(encoding="utf-8"))
    texts += [text for rows in known.values() for _, text, *_ in rows] + [BROKEN, "Kit", "Bib", "numbr", *GEAR]
    return {word.lower() for text in texts for word in _WORD.findall(text)}


def unmarked(text: str) -> str:
    """What is in the text but not within marks."""
    while (without := _MARKED.sub(lambda found: "\n" * found[0].count("\n") or " ", text)) != text:
        text = without
    return _NOT_WORDS.sub(" ", text)


@pytest.mark.parametrize("part", ["cli", "errors", "views", "screens", "pages"])
def test_everything_is_said_in_the_other_language(part, languages, tmp_path, monkeypatch):
    pages = {"PAGES": os.environ.get("PAGES", SOME)}
    for name in ("en", "other"):
        (tmp_path / name).mkdir()
    english = said(tmp_path / "none", tmp_path / "en", part, **pages)
    other = said(languages, tmp_path / "other", part, **pages)
    known = allowed()
    left = {}
    for what, text in other:
        for row in unmarked(text).splitlines():
            if words := [word for word in _WORD.findall(row) if word.lower() not in known]:
                left.setdefault(row.strip(), (what, words))
    if part == "pages":  # where something is put depends on its length
        english, other = [], []
    differ = [(what, a, b) for (what, a), (_, b) in zip(english, other) if plain(a) != plain(b)]
    if os.environ.get("SHOW_LEFT"):
        for row, (what, words) in left.items():
            print("LEFT", what, words, "|", row[:200])
        for what, a, b in differ:
            print("DIFF", what, "|", a[:300].replace("\n", " / "), "|", b[:300].replace("\n", " / "))
        print("FAILED", [text for _, text in other if text.startswith("FAILED")])
    assert left == {} and differ == [] and len(english) == len(other)


#: How to come to each page of a lane screen; what a page says once the script has run.
SCREEN_PAGES = {
    "code": "link.state = 'code'; link.why = 'code'",
    "refused": "link.state = 'refused'; link.why = 'shut'; link.waitMs = 30000",
    "refused otherwise": "link.state = 'refused'; link.why = 'odd'; link.waitMs = 0",
    "looking": "link.state = 'joined'; link.lanes = []",
    "lane": "link.lanes = LANES",
    "address": "screen_.asks = 'address'",
    "width": "screen_.asks = ''; link.picked = {lane: 0, view: 'lane'}",
    "readable": "setWidth(5); screen_.asks = 'readable'",
    "waiting": "screen_.asks = ''",
    "keys": "link.onCards(CARDS); link.at = 100000; link.aloneSince = 20000; options(true)",
    "helper": "options(false); link.aloneSince = null; link.role = 'helps'",
    "touch": "takeTouch()",
    "strokes": "takeStroke()",
    "rate": "link.at += 1500; takeStroke()",
    "answer": "link.onAnswer(1, true)",
    "no answer": "link.onAnswer(1, false)",
    "not sent": "link.onAnswer(1, false, null)",
}
DRAWN = "requestAnimationFrame(() => requestAnimationFrame(() => { window.drawn = true; }))"
SHOWN = """
const rows = [];
for (const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT); walk.nextNode();) {
  const node = walk.currentNode.parentElement;
  if (node.tagName !== "SCRIPT" && node.tagName !== "NOSCRIPT" && node.offsetParent) rows.push(walk.currentNode.data);
}
return rows.join("\\n");
"""


@needs(*Chromium.needs)
def test_a_lane_screen_says_everything_in_the_other_language(languages, tmp_path):
    said(languages, tmp_path, "screens")
    folder, known = tmp_path / "screens", allowed()
    browser = Chromium()
    try:
        browser.get((folder / "page.html").as_uri())
        browser.resize(768, 1024)
        browser.run("window.CARDS = values[0]", json.loads((folder / "lane.json").read_text(encoding="utf-8")))
        seen = ""
        for name, arrive in SCREEN_PAGES.items():
            browser.run(f"window.drawn = false; {arrive}; page.shown = '?'; {DRAWN}")
            until(lambda: browser.run("return window.drawn"))
            text = browser.run(SHOWN)
            assert "⟨" in text and text != seen, name
            seen = text
            left = [word for word in _WORD.findall(unmarked(text)) if word.lower() not in known]
            assert left == [], f"{name}: {text}"
        assert browser.run("return document.documentElement.lang") == "en-GB"
    finally:
        browser.quit()
