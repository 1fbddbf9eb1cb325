"""The page that is served: one file, small, with what the tablet's own views go by."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import esprima
import pytest

from pacer.screens.screenpage import FOLDER, MOST_PAGE_BYTES, WORDS, page_bytes
from pacer.show.measure.presstime import BOUNCE_MS, LAST_STROKE_MS, STOP_MS
from pacer.show.wording.screenwords import PAGE_WORDS
from pacer.signal import clip
from tests.screens.layoutscript import layout_script
from tests.screens.subsetfont import FACES, LETTERS, subset


def script(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")


def test_the_page_is_one_small_file():
    page = page_bytes().decode()
    assert len(page_bytes()) <= MOST_PAGE_BYTES
    assert not re.search(r'(src|href)="?(?!data:)\w', page.split("<script>")[0]), "nothing is loaded besides"
    assert page.count("<script>") == page.count("<style>") == 1 and page.count("</script>") == 1
    assert "url(data:font/woff;base64," in page and "/* " not in page.split("<script>")[0]


def test_beeps_bands_and_the_press_of_stop_all_are_those_of_the_tablet():
    """Numbers that the tablet's own views go by come with the page, and stand in no script again."""
    page = page_bytes().decode()
    tablet = json.loads(re.search(r"const TABLET=(\{.*?\});(?=const )", page)[1])
    assert tablet["stopMs"] == STOP_MS and "TABLET.stopMs" in page
    assert (tablet["bounceMs"], tablet["lastStrokeMs"]) == (BOUNCE_MS, LAST_STROKE_MS)
    assert tablet["beep"]["short"] == {"hertz": clip.SHORT_HZ, "ms": clip.SHORT_MS}
    for path in FOLDER.glob("*.js"):
        assert not re.search(r"\b(880|1760)\b|#FF8A4C", script(path.name)), path.name


def test_the_layout_is_the_tablets_own():
    """It is written from Python, and stands nowhere else: no other script has a share or a measure of it."""
    assert script("layout.js") == layout_script(), "write it anew: python tests/screens/layoutscript.py"
    said = set(re.findall(r'TABLET\.words\["([^"]+)"\]', script("layout.js")))
    assert said and said <= set(WORDS)
    assert "laneBoxes" in script("laneview.js") and "function laneBoxes" not in script("laneview.js")


#: What a browser has of its own.
BROWSERS = set(
    re.findall(
        r"\w+",
        "window document location history navigator performance localStorage crypto WebSocket addEventListener "
        "setTimeout clearTimeout setInterval requestAnimationFrame undefined Infinity JSON Object Array Math Date "
        "String Number Boolean Promise Set Map Uint8Array Int32Array DataView parseInt isFinite unescape "
        "encodeURIComponent",
    )
)


def names(node: object, made: set[str], asked: set[str], parent: object = None, part: str = "") -> None:
    """What a script gives a name to anywhere, and what it asks for by a name."""
    if isinstance(node, list):
        for each in node:
            names(each, made, asked, parent, part)
    if not isinstance(node, esprima.nodes.Node):
        return
    if node.type == "Identifier":
        is_key = part in ("property", "key") and not getattr(parent, "computed", False)
        if part in ("id", "params", "param") or (parent.type == "Property" and part == "value"):
            made.add(node.name)
        elif not is_key:
            (made if parent.type in ("ArrayPattern", "AssignmentPattern") and part != "right" else asked).add(node.name)
    for name, value in vars(node).items():
        inner = part if node.type in ("ArrayPattern", "ObjectPattern", "RestElement") else name
        names(value, made, asked, node, inner)


def test_no_script_asks_for_what_is_not_there():
    page = page_bytes().decode().split("<script>")[1].split("</script>")[0]
    made: set[str] = set()
    asked: set[str] = set()
    names(esprima.parseScript(page), made, asked)
    assert asked - made - BROWSERS == set()
    names(esprima.parseScript("largest();"), made, asked)
    assert asked - made - BROWSERS == {"largest"}, "one that would be found"


def spoken(node: object) -> Iterator[str]:
    """What a script gives to elements, keys and answers without asking `word`."""
    if isinstance(node, list):
        for each in node:
            yield from spoken(each)
    if not isinstance(node, esprima.nodes.Node):
        return
    callee = getattr(getattr(node, "callee", None), "name", "")
    given = {"made": node.arguments[1:2], "say": node.arguments[:1]}.get(callee, []) if callee else []
    if node.type == "Property" and getattr(node.key, "name", "") == "text":
        given = [node.value]
    for each in given:
        yield from literals(each)
    for value in vars(node).values():
        yield from spoken(value)


def literals(node: object) -> Iterator[str]:
    """The texts in an expression that have a word, without those that name a text."""
    if isinstance(node, list):
        for each in node:
            yield from literals(each)
    elif isinstance(node, esprima.nodes.Node) and getattr(getattr(node, "callee", None), "name", "") != "word":
        if node.type == "Literal" and isinstance(node.value, str) and re.search("[A-Za-z]{2}", node.value):
            yield node.value
        for value in vars(node).values():
            yield from literals(value)


def test_no_script_has_a_text_of_its_own():
    """They come with the page from the catalogue; each that a script asks for is there, and each there is asked for."""
    asked = set()
    for path in FOLDER.glob("*.js"):
        assert list(spoken(esprima.parseScript(script(path.name)))) == [], path.name
        asked |= {name for call in re.findall(r"\bword\((?:[^()\"]*\"\w+\"[^()\"]*)+", script(path.name))
                  for name in re.findall(r'"(\w+)"', call)}  # fmt: skip
    reasons = {"code", "shut", "used", "away", "full", "session", "version"}
    assert asked - {"dark"} <= set(PAGE_WORDS) and set(PAGE_WORDS) <= asked | reasons | {"lane", "dial", "pool"}
    assert list(spoken(esprima.parseScript('made("p", on ? "Hello" : word("no"))'))) == ["Hello"]


@pytest.mark.parametrize("face, file", FACES.items())
def test_the_font_is_cut_from_the_apps_own(face, file):
    from fontTools.ttLib import TTFont

    whole, made = TTFont(FOLDER.parent / "fonts" / f"{face}.otf"), TTFont(FOLDER / file)
    known, kept = whole.getBestCmap(), made.getBestCmap()
    assert set(kept) == set(LETTERS) & set(known) and made.flavor == "woff"
    assert all(made["hmtx"][kept[code]] == whole["hmtx"][known[code]] for code in kept)
    assert made.getGlyphOrder() == subset(face).getGlyphOrder(), "cut anew: python tests/screens/subsetfont.py"
    assert "GPOS" in made and (made["hhea"].ascent, -made["hhea"].descent) == (
        made["OS/2"].usWinAscent,
        made["OS/2"].usWinDescent,
    )


#: APIs and methods that browsers have only had since the year behind them (from memory), by what a script calls them.
NEWER = {
    r"\.flat\(|\.flatMap\(": 2019, r"fromEntries|\.trimStart|\.trimEnd": 2019, r"matchAll|allSettled|globalThis": 2020,
    r"replaceAll|Promise\.any|WeakRef": 2021, r"\.at\(-|Object\.hasOwn|structuredClone|findLast": 2022,
    r"toSorted|toReversed|\.with\(|groupBy": 2023, r"queueMicrotask": 2019, r"ResizeObserver": 2020,
    r"replaceChildren": 2020, r"BigInt|\d+n\b": 2020, r"\.finally\(": 2018, r"randomUUID": 2022,
    r"crypto\.subtle": "https alone", r"OffscreenCanvas|createImageBitmap": 2023, r"AbortSignal\.timeout": 2022,
    r"roundRect": 2023, r"CompressionStream": 2023, r"requestIdleCallback|\bimport\(": "not everywhere",
    r"\bfetch\(": "not asked for",
}  # fmt: skip
#: Likewise of style sheets.
NEWER_STYLE = {
    r"\bclamp\(|\bmin\(|\bmax\(": 2020, r"[\d.](dvh|svh|lvh|dvw)": 2022, r"aspect-ratio": 2021, r":is\(|:where\(": 2021,
    r":has\(": 2023, r"\binset:": 2020, r"\b(row-|column-)?gap:": 2021, r"color-mix|oklch|lab\(": 2023, r"@layer": 2022,
    r"@container": 2023, r":focus-visible": 2022, r"&\s": 2023,
    r"accent-color": 2022, r"translate:|scale:|rotate:": 2022,
}  # fmt: skip


def test_the_style_is_of_2018():
    style = (FOLDER / "page.css").read_text(encoding="utf-8")
    assert [(newer, year) for newer, year in NEWER_STYLE.items() if re.search(newer, style)] == []
    assert re.search(r"\b(row-|column-)?gap:", "p { gap: 1px }"), "one that would be found"


def test_the_script_is_of_2018():
    """ECMAScript 2018 at most (ECMA-262, 9th edition), by a parser of that year."""
    script_ = page_bytes().decode().split("<script>")[1].split("</script>")[0]
    assert len(esprima.parseScript(script_).body) > 50
    with pytest.raises(esprima.Error):
        esprima.parseScript("const one = other?.one;")  # of 2020
    for newer in ("a ?? b", "a ||= 1", "class A { b = 1 }", "class A { #b() {} }", "1_000", "1n"):
        with pytest.raises(esprima.Error):
            esprima.parseScript(newer)


def test_no_script_calls_what_a_browser_of_2017_does_not_know():
    for path in FOLDER.glob("*.js"):
        code = re.sub(r"//.*", "", re.sub(r'"[^"\n]*"', '""', path.read_text(encoding="utf-8")))
        found = {newer: year for newer, year in NEWER.items() if re.search(newer, code)}
        assert not found, f"{path.name}: {found}"
