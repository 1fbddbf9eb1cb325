"""The page that a lane screen opens: one file with script, style and font, put together once.

Colours, words and sounds that the tablet's own views go by are written into the script as `TABLET`; how they are laid
out, how words are fitted and time is counted is in `layout.js`, written from Python by `tests/screens/layoutscript.py`.
So no rule is in two languages. No framework, no build step. What a browser must have, and since which version (from
memory; a test reads the script with a grammar of 2017 and looks for what is newer):

| | Chrome | Firefox | Safari | |
| --- | --- | --- | --- | --- |
| ES2015 to 2017: classes, arrow functions, `const`, destructuring with defaults | 58 | 52 | 10.1 | 2017 |
| WebSocket, `performance.now`, `localStorage`, `crypto.getRandomValues` | 20 | 21 | 8 | 2014 |
| flexible boxes, `calc`, custom properties | 49 | 31 | 9.1 | 2016 |
| colours as `#RRGGBBAA` | 62 | 49 | 10 | 2017 |
| WOFF, SVG within HTML, canvas text measures | 26 | 21 | 8 | 2014 |

Used where available, done without elsewhere: `document.fonts` (Chrome 35, Firefox 41, Safari 10), the width of a last
letter (`actualBoundingBoxRight`: Chrome 77, Firefox 74, Safari 11.1), digits of one width (`font-variant-numeric`:
Chrome 52, Firefox 34, Safari 9.1), Web Audio (`webkitAudioContext` before Safari 14.1), full screen (not on iPhones),
the wake lock (Chrome 84, Safari 16.4, Firefox 126, over https alone), vibration.
"""

from __future__ import annotations

import json
import re
from base64 import b64encode
from functools import cache
from html import escape
from typing import Any

from pacer.language import LANGUAGE
from pacer.shippedfiles import ASSETS
from pacer.show.measure import flash, presstime
from pacer.show.measure.theme import STATE_COLOURS, STOP_GROUND, THEMES, Rgb, Theme
from pacer.show.view.swimmerplaces import GLIDE_MS
from pacer.show.wording.screenwords import NO_SCRIPT, PAGE_WORDS
from pacer.show.wording.viewtext import say
from pacer.signal import clip

FOLDER = ASSETS / "screens"
SCRIPTS = (
    "layout.js",
    "cards.js",
    "link.js",
    "ink.js",
    "laneview.js",
    "dialview.js",
    "poolview.js",
    "sound.js",
    "pages.js",
    "helperkeys.js",
    "options.js",
    "alone.js",
    "front.js",
)
#: Words by which views are laid out.
WORDS = ("ready", "paused", "at", "leaves at", "leaves in", "finish", "finish short", "swum short")
FONTS = {"screen-regular.woff": 400, "screen-bold.woff": 700}
_QUOTED = re.compile(r"""("(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*')""")
_AIR = re.compile(r" ?([=,?:<>&|{};]) ?| ([-+*/%^]) (?![-+])")
MOST_PAGE_BYTES = 150_000  #: of the whole page: what an old phone loads over a hot spot in a second


@cache
def page_bytes() -> bytes:
    """The whole page."""
    return joined(*(FOLDER / name for name in SCRIPTS)).encode()


def joined(*scripts: Any) -> str:
    """The page with these scripts (paths, or their text), in this order."""
    texts = [each if isinstance(each, str) else each.read_text(encoding="utf-8") for each in scripts]
    tablet = json.dumps(_tablet(), ensure_ascii=False, separators=(",", ":"))
    script = f'"use strict";const TABLET={tablet};' + _bare("\n".join(texts))
    page = (FOLDER / "page.html").read_text(encoding="utf-8")
    style = f"{_font_faces()}\n{(FOLDER / 'page.css').read_text(encoding='utf-8')}"
    page = page.replace("/* language */", LANGUAGE).replace("/* no script */", escape(NO_SCRIPT))
    return page.replace("/* page.css */", _bare(style)).replace("/* scripts */", script.replace("</", "<\\/"))


def _bare(text: str) -> str:
    """A text without comments, indents, the spaces around signs and the line ends after them: a fifth less to load.

    That is safe as long as no quoted text in a script contains ` // `.
    """
    rows = (re.sub(r"(^|\s)//\s.*", "", row).strip() for row in text.splitlines())
    return re.sub(r"([{,;(])\n", r"\1", "\n".join(_airless(row) for row in rows if row))


def _airless(row: str) -> str:
    """A line without the spaces around its signs; what is in quotes, or looks like a pattern, stays."""
    pieces = _QUOTED.split(row)
    return "".join(
        piece if place % 2 or "/" in piece.replace(" / ", "") else _AIR.sub(r"\1\2", piece)
        for place, piece in enumerate(pieces)
    )


def _font_faces() -> str:
    return "\n".join(
        f"@font-face{{font-family:pacer;font-weight:{weight};"
        f"src:url(data:font/woff;base64,{b64encode((FOLDER / name).read_bytes()).decode()}) format('woff')}}"
        for name, weight in FONTS.items()
    )


def _tablet() -> dict[str, Any]:
    """What the script has from the tablet's own views."""
    return {
        "states": {name: _code(colour) for name, colour in STATE_COLOURS.items()},
        "stopMs": presstime.STOP_MS,
        "bounceMs": presstime.BOUNCE_MS,
        "lastStrokeMs": presstime.LAST_STROKE_MS,
        "stopGround": _code(STOP_GROUND),
        "flash": {
            "lit": flash.FLASH_MS,
            "apart": flash.FLASHES_APART_MS,
            "late": flash.MISSED_FLASH_MS,
            "mm": flash.FRAME_MM,
        },
        "beep": {
            "short": {"hertz": clip.SHORT_HZ, "ms": clip.SHORT_MS},
            "long": {"hertz": clip.LONG_HZ, "ms": clip.LONG_MS},
            "shorts": clip.SHORTS,
            "peak": clip.PEAK,
            "rise": clip.RISE_MS,
            "fall": clip.FALL_MS,
            "apart": clip.BEEP_MS,
            "stop": [(tone.at_ms, tone.hertz) for tone in clip.STOP_ALL.tones],
            "stopMs": clip.STOP_TONE_MS,
        },
        "glide": GLIDE_MS,
        "themes": {name: _theme(theme) for name, theme in THEMES.items()},
        "page": PAGE_WORDS,
        "words": {name: say(name) for name in WORDS},
    }


def _theme(theme: Theme) -> dict[str, str]:
    names = (
        "ground",
        "deck",
        "water",
        "ink",
        "dim",
        "line",
        "rope",
        "float_",
        "flip",
        "flip_ink",
        "on_state",
        "swimmer",
    )
    return {"name": theme.name} | {name: _code(theme.colour(name)) for name in names}


def _code(colour: Rgb) -> str:
    """A colour as the browser has it: `#FF0033`."""
    return "#" + "".join(f"{round(255 * share):02X}" for share in colour)
