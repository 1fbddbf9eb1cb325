"""The pieces of a line, as patterns and tables."""

from __future__ import annotations

import re

from pacer.plan.model import Stroke
from pacer.plan.regex import regex
from pacer.plan.words.sayings import END
from pacer.plan.words.vocabulary import GEAR_WORDS, LINE_WORDS

PRIME = r"""(?:["”″]|''|’’)(?=[\s,/)+\#;]|$|r(?:i|est)?(?!\w))"""
WORD = r"[^\W\d_]\w*(?:['’\-‑]\w+)*"
TIMES = r"[xX×*✕✖⨯хХ]"
AFTER_TIMES = rf"\s|[0-9:({{\[]|$|{WORD}\s+[0-9]"
UNIT = r"(?:metres?|meters?|mtrs?|m|yards?|yds?|y)"
PIECES = regex(
    rf"""
    \s*(?:
    (?=[0-9:\#])(?:  # with a digit in front: a look at the first sign spares words the rest
      (?P<many>[0-9]+\s?['’]s(?!\w)|[0-9]*(?:25|50|75|00)\s?s(?!\w|/[od]|-[a-z]\b|(?<=\s(?-i:S))\s[0-9]+\s(?-i:[KPD])\b))
    | (?P<time>
          [0-9]*(?::[0-9]+)+(?:\.[0-9]+)?(?:'?s(?!\w)|(?=[^0-9]|$))
        | [0-9]{{1,2}}\s+:\s+[0-9]{{2}}(?![0-9:])
        | [0-9]{{1,2}}\s*(?:minutes?|mins?)\s*[0-9]{{1,2}}\s*(?:seconds?|secs?|s)\b
        | [0-9]{{1,2}}\s*(?:minutes?|mins?)\s*[0-5][0-9](?=\s*(?:[,;)/]|$|rest\b))
        | [0-9]+\s*['’′](?!['’s])(?:\s?[0-9]{{2}}(?![0-9])(?:\.[0-9]+)?(?:{PRIME})?|\s?[0-9]+(?:\.[0-9]+)?{PRIME})?
        | [0-9]+(?:\.[0-9]+)?{PRIME}
        | [0-9]+m[0-9]+(?!\w)
        | [0-9]+(?:\.[0-9]+)?\s*(?:seconds?|secs?|s|minutes?|mins?|hours?|h)\b\.?(?!\s+strokes|/[odu]|-[a-z]\b)
        | [0-9]+[.;][0-9]{{1,2}}(?![0-9.,]|\s*k(?:m)?\b)
        | (?<![0-9,])[0-9]{{1,2}},[0-9]{{1,2}}(?![0-9.,]|\s*k(?:m)?\b) )
    | (?P<percent>[0-9]+\s?(?:[-–]\s?[0-9]+\s?)?(?:%|per\s?cent\b|pct\b))
    | (?P<thousands>
          (?<![,.])[1-9][0-9]{{0,2}}[,.][0-9]{{3}}(?![0-9.,])(?:\s*{UNIT}(?!\w))?
        | [0-9]+(?:\.[0-9]+)?\s?km(?!\w)
        | [1-9](?:\.[0-9]+)?k(?!\w) )
    | (?P<digits>[0-9]+(?:[-‑]\w+)*[-‑][^\W\d_][\w'’-]*)
    | (?P<dashed>\#?[0-9]+(?:\s?[-–‒]\s?[0-9]+)+(?![^\W\d_]|[0-9]|:[0-9]))
    | (?P<number>\#?(?:
          [0-9]+(?={TIMES}(?:{AFTER_TIMES}))
        | [0-9]+(?=(?:on|rest|r)[0-9:\s]|r(?:$|[,;)\]}}]))
        | [0-9]+\s?{UNIT}(?!\w|\s*/)
        | [0-9]+(?![^\W_]) ))
    )
  | (?P<times>{TIMES}(?={AFTER_TIMES}))
  | (?P<base>(?:base|css)(?:\s+pace)?(?:\s*\+|(?=\s?(?:[-–−]|minus\b)\s?[0-9])))
  | (?P<with>w\s?/(?!\s?(?:[oud]|up)\b)|w\.(?=\s+[^\W\d]))
  | (?P<glue>(?:on|r|ri|rest|desc)(?=[0-9:])|d(?=[0-9]+-[0-9]))
  | (?P<word>{WORD}(?:(?<![0-9])|(?!:[0-9])))
  | (?P<cue>"[^"]*"|[“„”][^“”]*[“”]|['‘](?=[^\W\d])[^'‘’]*['’])
  | (?P<hundred>/\s?100(?:\s?{UNIT})?(?![\w:])(?!\s+s\b))
  | (?P<mark>[/,;+()\[\]{{}}:&|—–−‒-])
  | (?P<dot>[.!]+(?=\s|$|,))
  | (?P<glued>[0-9]\w*)
  | (?P<strange>\S) )
""",
    re.VERBOSE | re.IGNORECASE,
)

MARKS = {
    "/": "_SLASH", ",": "_COMMA", ";": "_COMMA", "|": "_COMMA", "—": "_COMMA", "+": "_PLUS", "&": "_AND", ":": "_COLON",
    **dict.fromkeys("([{", "_LEFT"), **dict.fromkeys(")]}", "_RIGHT"),
}  # fmt: skip
VALUE = regex(r"\s*[:=]?\s*(?:[0-9:]|base\b)", re.IGNORECASE)
COUNT = regex(r"\s+[0-9]+(?![0-9:.'’′\"”″])")
LABELLED_VALUE = regex(rf"\s*[:=]?\s*(?:{WORD}\s*:?\s+)?(?:[0-9:]|base\b|css\s*\+)", re.IGNORECASE)
LABELLED_TIME = regex(r"\s*:?\s*(?:[0-9]{1,2})?:[0-9]{2}(?!:)")
GEAR_SAID = "|".join(sorted(GEAR_WORDS, key=len, reverse=True))
RESTS = "|".join(sorted((word for word, (t, _) in LINE_WORDS.items() if t == "REST"), key=len, reverse=True))
REST_BEHIND = regex(rf"\s+(?:{RESTS}|apart){END}", re.IGNORECASE)
GEAR_NEXT = regex(rf"\s+(?:an?\s+)?({WORD})(?:\s+({WORD}))?")
#: More gear after gear: `fins and paddles`.
GEAR_AFTER = regex(rf"\s*(?:and\b|[&+/,])?\s*({WORD})", re.IGNORECASE)
LATER_EVEN = regex(r".*\beven", re.IGNORECASE)
BEFORE_COUNT = {None, "_X", "_LEFT", "_PLUS", "ROUNDS"}
BEFORE_VALUE = {"ON", "REST", "HOLD", "_SLASH"}
NAME_ENDS = {"_SLASH", "_COMMA", "_LEFT", "_RIGHT", "_PLUS", "CUE", "_X"}
OPENS_DETAIL = {"ON", "REST", "HOLD", "RATE", "WITH", "APART", "TREND", "BY", "_PLUS", "_X"}
#: The types of tokens that say how a stretch is swum.
WORK = frozenset({"ACTIVITY", "STROKE", "EFFORT", "NAME", "NOTE"})
#: A time that swimmers are apart: `leave 10 sec apart`.
APART_NEXT = regex(r"\s+:?[0-9][0-9:]*\s*(?:s|secs?|seconds?)?\s+apart\b", re.IGNORECASE)
#: Efforts in words that say more than the effort: they are kept for the swimmers too.
SAID_SOFTLY = regex(
    rf"(?:(?:nice|long)\s+(?:and|&|n)\s+|(?:very|really|super|so|v\.?)\s+)"
    rf"(?:easy|ez|slow|smooth|relaxed|gentle|steady|fast|hard|strong|quick){END}",
    re.IGNORECASE,
)
SOFTLY = frozenset({"nice", "long", "very", "really", "super", "so", "v"})
#: A rest with its word after it.
REST_VALUE = (
    r"\s*(?:(?:about|approx\.?|roughly|around)\s+)?:?[0-9:]+\s*(?:s|sec|secs|seconds?|mins?|minutes?|[\"”″'’]+)?(?:\s+)"
    r"(?:rest|ri|r\b|off|recovery|(?:in\s+)?between|btwn|betw|after\s+(?:each|every))"
)
#: What is swum as usual.
NORMAL = regex(r"\s+(?:swim|swimming|free|freestyle|front|fc|f/c|crawl|stroke)\b", re.IGNORECASE)
#: Words that mean nothing in their place: what must be before them (None: anything), and what may follow.
FILLERS: dict[str, tuple[frozenset[str] | None, re.Pattern[str]]] = {
    **dict.fromkeys(("pace", "effort", "intensity", "efforts"), (frozenset({"EFFORT"}), regex(""))),
    "the": (frozenset({"ON", "BY"}), regex("")),
    "a": (frozenset({"WITH", "_AND", "ON", "REST"}), regex("")),
    "of": (frozenset({"ROUNDS", "NUMBER", "RATE", "TIME"}), regex("")),
    "each": (frozenset({"REST", "TIME", "EFFORT"}), regex(r"(?!\s+[0-9])")),
    "on": (
        frozenset({"GEAR"}),
        regex(rf"(?!{LABELLED_VALUE.pattern}|\s+(?:(?:the|a)\s+)?min)|(?={REST_VALUE})", re.IGNORECASE),
    ),
    **dict.fromkeys(("between", "btwn", "betw", "btw"), (frozenset({"REST", "TIME"}), regex(""))),
    "after": (frozenset({"REST", "TIME"}), regex(r"\s+(?:each|every)(?!\s+[0-9])")),
    "one": (frozenset({"TIME", "REST"}), regex(r"(?!\s*[x×0-9]|\s+(?:min|sec))")),
    "stroke": (frozenset({"STROKE"}), regex("")),
    "then": (frozenset({"_COMMA", ""}), regex(r"\s+(?:do\s+)?[0-9]")),
    "do": (None, regex(r"\s+[0-9]")),
    "pyramid": (None, regex(r"\s*:?\s+[0-9]+\s*[-–,/\s]\s*[0-9]")),
    "ladder": (None, regex(r"\s*:?\s+[0-9]+\s*[-–,/\s]\s*[0-9]")),
    **dict.fromkeys(("leave", "leaving", "off"), (None, APART_NEXT)),
    **dict.fromkeys(("go", "going"), (None, regex(rf"{APART_NEXT.pattern}|\s+1\s*[-–]\s*[0-9]+\s+[^\W\d]"))),
    **dict.fromkeys(("proper", "regular"), (None, NORMAL)),
    "all": (None, regex(r"\s+(?:on|off|@)\s*(?:the\s+)?:?[0-9]", re.IGNORECASE)),
    "extra": (None, regex(r"\s+(?:rest\s+)?[0-9:]")),
    **dict.fromkeys(("xtra", "taking", "getting", "get", "take", "having"), (None, regex(REST_VALUE))),
    "in": (frozenset({"TIME", "REST"}), regex(r"\s+between")),
}
#: Words for kinds of kick, and the stroke of each.
KICKS = {"frog": Stroke.BREAST, "whip": Stroke.BREAST, "dolphin": Stroke.FLY, "flutter": Stroke.FREE}
#: Strokes that each swimmer chooses: timed like choice, and shown to the swimmers as a cue.
_STROKE = r"(?:free(?:style)?|fr|fc|front\s+crawl|back(?:stroke)?|bk|bc|breast(?:stroke)?|br|brs|(?:butter)?fly|fl)"
OWN_STROKE = regex(
    rf"(?:(?:whatever|whichever)\s+strokes?(?:\s+you(?:'d)?\s+(?:fancy|like|want|prefer))?|any\s+stroke\s+you\s+fancy|(?:chang|swap|switch)(?:e|ing)?\s+strokes?\s+(?:every|each)\s+(?:\d+s?|lengths?)(?:,?\s+(?:but\s+)?no\s+[^\W\d_]+)?|different\s+strokes?(?:\s+(?:every|each)\s+(?:\d+s?|lengths?))?|mix\s+of\s+strokes|(?:whatever|whichever|anything)\s+you(?:'d)?\s+(?:fancy|like|want|prefer)|anything(?!\s+(?:but|else|other|from|you)\b)|mix(?:ed|ing)?\s+(?:of\s+)?{_STROKE}(?:\s*(?:[/&+,]|and)\s*{_STROKE})+(?!\s+by\b)|(?:(?:your|their)\s+)?(?:best|favou?rite|fav|main|first|1st|number\s+(?:1|one)|no\.?\s?1)[\s-]*(?:strokes?|str|stk)|(?:best|main|own|form|off|non|mixed|mix\s+of)[\s-]*(?:strokes?|str|stk|free)|strokes?\s+of\s+(?:your\s+)?choice|mixed|(?:anything|any\s+stroke)\s+but\s+\w+|(?:not|no|non)[\s-]+(?:free(?:style)?|f\.?c|f\.?s|front\s+crawl|breast(?:stroke)?|brs)|non[\s-]+(?:fr|fly|back(?:stroke)?|bk|br)|no\.?\s?1|\#1|number\s+(?:1|one)|form|strokes?|stk?|strk){END}",
    re.IGNORECASE,
)
NUMBERS = {
    word: number
    for number, word in enumerate(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"), 1)
} | {"twelve": 12, "sixteen": 16, "twenty": 20, "fifty": 50, "hundred": 100}  # fmt: skip
TIMED_AHEAD = regex(
    rf"[^0-9]*(?:[0-9]+\s*{TIMES}\s*)?(?::[0-9]|[0-9]+:|[0-9]+\s*(?:s|sec|secs|seconds?|min|mins|minutes?)\b)", re.I
)
COUNTED = regex(rf"\s+(?:{TIMES}|times|lots|by|lengths?|[0-9]|rounds|sets|min)", re.IGNORECASE)

NEXT_WORD = regex(rf"\s*:?\s*({WORD})")
ONE_WORD = regex(rf"{WORD}(?:(?<![0-9])|(?!:[0-9]))")
IN_MINUTES = regex(r"([0-9]{1,3})\s*(?:minutes?|mins?|m)\s*([0-9]{1,2})\s*(?:seconds?|secs?|s)?\.?", re.IGNORECASE)
#: `4L`: lengths.
LENGTHS_GLUED = regex(r"([0-9]{1,2})L")
#: A distance and its work without a space, and the next one after it.
GLUED = regex(r"([0-9]{2,})([^\W\d_]+)")
SWUM_NEXT = regex(r"\s*[-/,+]\s*[0-9]+\s?(?:[A-Z]|[kpd](?!\w))")
BY_SLASH = regex(r"\s*/\s*")
BARE_NUMBER = regex(r"\s+(?:[0-9]{3,}|[2-9][05]|25|75)s?(?![0-9:.])(?!\s*(?:s|sec|min))")
OF_BREATH = regex(r"rest\s+as|breath|bp|no\s|hypoxic", re.IGNORECASE)
OF_A_SET = regex(r"(?:\s+of)?\s+(?=[0-9(])", re.IGNORECASE)
MINUTE = regex(rf"\s+(?:(?:the|a)\s+)?min(?:ute)?{END}", re.IGNORECASE)
REST_AHEAD = regex(REST_VALUE, re.IGNORECASE)
ACTIVITY_AHEAD = regex(rf"(?:\s+\w+)?\s+(drill|kick){END}", re.IGNORECASE)
ODD_BEFORE = regex(r"\bodds?\b", re.IGNORECASE)
#: One way there, another way back: `drill down swim back`, `kick up, swim back`, `sprint up, easy back`.
UP_AND_BACK = regex(
    r"(?:down|up|out|there|one\s+way),?\s+([^\W\d_]+)\s+(?:back|down|up|home|in|the\s+other(?:\s+way)?)(?![\w'’-])",
    re.IGNORECASE,
)
#: Boards whose name is also something to do: gear only in a list of gear.
FLOATS = frozenset({"float", "floats"})
EACH = regex(r"each\s+([0-9]+)s?(?![0-9:\w])", re.IGNORECASE)
#: `last 50`, `first 25`, `1st 25`, `with last 25`, `last 2`: a stretch of each repeat, or some of the repeats.
SHARE = regex(
    r"(?:with\s+|w/\s?)?(?:the\s+)?(?:(?P<last>last|final)|(?P<first>first|1st)|(?P<next>next))\s+"
    r"(?P<distance>[0-9]+)(?P<unit>m)?(?![\w:%]|\s+(?:strokes?|breaths?|kicks\b|sec|min|lengths?|laps?))(?:\s+of\s+(?:each|ea|every)\b\.?(?:\s+one)?)?(?:\s+(?:are|is)\b)?",
    re.IGNORECASE,
)
#: Another share of the repeats further on.
LATER_SHARE = regex(r"\b(?:last|final|next)\s+[0-9]", re.IGNORECASE)
#: `last 2 with fins`: gear that some of the repeats are swum with is for the swimmers.
SOME_WITH_GEAR = regex(
    r"(?:the\s+)?(?:last|final|first)\s+(?:[1-9]|one|two|three|four)\s+(?:(?:with|w/|in|using)\s*)?"
    rf"(?:no\s+)?(?:{GEAR_SAID})(?:\s+on)?(?![\w'’-])",
    re.IGNORECASE,
)
#: `every 4th fast`, `every 4th length back`.
NTH = regex(
    r"(?:with\s+)?every\s+(?:(?P<n>[0-9]{1,2})(?:st|nd|rd|th)|(?P<word>other|second|third|fourth|fifth))"
    r"(?:\s+(?P<of>lengths?|laps?|one|repeat|rep|swim|25|50|100)(?=\s+[^\W\d]))?(?=\s+[^\W\d])",
    re.IGNORECASE,
)
#: `4 of each stroke`, `2 each stroke in IM order`.
EACH_STROKE = regex(
    r"(?P<n>[0-9]{1,3})\s+(?:of\s+each(?:\s+strokes?)?|(?:each|every|per)\s+strokes?)(?:,?\s+(?:in\s+)?IM\s+order)?(?![\w'’])",
    re.IGNORECASE,
)
REVERSE_IM = regex(
    r"(?:(?:rev(?:ersed?|\.)?|backwards?)\s+i\.?m\.?(?P<order>\s+order)?|i\.?m\.?\s+(?:rev(?:ersed?)?|backwards?))(?![\w'’])",
    re.IGNORECASE,
)
#: `by 50`, `, 50s`, `change every 50`: where the stroke changes.
CHANGES = regex(
    r"\s*,?\s*(?:(?:chang(?:e|ing)\s+)?(?:by|every|each|in)\s+)?(?P<far>25|50|100)(?:'?s|m)?(?![\w:.])", re.IGNORECASE
)
#: `0:30 on / 0:30 off`: work and rest.
ON_AND_OFF = regex(r"(?P<on>on\s*[/,]?)\s*:?[0-9][0-9:]*\s*(?:s|secs?|seconds?|mins?)?\s+off(?![\w'’-])", re.IGNORECASE)
#: `1 min between sets`.
BETWEEN_ROUNDS = regex(
    r"(?:in\s+)?(?:between|btwn|betw|btw)\s+(?:each\s+|the\s+)?(?:sets?|rounds?|rds?)(?![\w'’-])", re.IGNORECASE
)
AT_THE_WALL = regex(r"at\s+the\s+walls?(?![\w'’-])", re.IGNORECASE)
EACH_ALONE = regex(r"\s+each(?:\s+one)?(?![\w'’-]|\s+[0-9])", re.IGNORECASE)
#: `1 min rest between rounds`, `r 1:00 btwn`, `45s after each rd`.
REST_BETWEEN = regex(
    r"\s*,?\s*(?:(?:with|w/|and|take|xtra|extra|r|ri|rest)\s*:?\s*){0,2}(?P<time>\d*[:']?\d+(?:\s*(?:s|secs?|seconds?|mins?|minutes?|\"|'))?)"
    r"\s*(?:(?:rest|break)\s+)?(?P<words>(?:(?:rest|break|float|water|drinks?|breather|chat|off|stop|pause|recovery)(?:\s*[/&,+]\s*|\s+(?:and\s+)?|(?=\))))*)"
    r"(?:(?:in\s+)?(?:between|btwn|betw|btw)(?:\s+(?:the\s+)?(?:rounds?|rds?|sets?|each)(?:\s+round)?)?"
    r"|after\s+(?:each|every)(?:\s+(?:rounds?|rds?|sets?|one))?)\s*",
    re.IGNORECASE,
)
#: `(50 sprint + 25 back) 1 min after each`.
AFTER_EACH = regex(r"after\s+(?:each|every)(?:\s+(?:sets?|rounds?|one))?(?![\w'’])", re.IGNORECASE)
#: `CSS-2`, `base - 3 s`: faster than the base pace.
FASTER_BASE = regex(
    r"(?:base|css)(?:\s+pace)?\s?(?:[-–−]|minus\b)\s?:?[0-9]+\s*(?:s|secs?|seconds?)?(?![\w:])", re.IGNORECASE
)
SECONDS = regex(r"\s*(?:s|secs?|seconds?)(?![\w'’-])", re.IGNORECASE)
#: `#4, 8, 12 fast`: the same number of repeats apart.
LISTED = regex(
    r"(?:\#\s?(?P<some>[0-9]{1,2}(?:\s*(?:,|&|\+|and)\s*\#?[0-9]{1,2})*)"
    r"|\#?s?\s*(?P<all>[0-9]{1,2}(?:\s*,\s*\#?[0-9]{1,2}){2,}))(?:\s*=\s*|\s+)(?:are\s+|is\s+)?(?=[^\W\d])",
    re.IGNORECASE,
)
#: `number 4 and 8 fast`, `4th and 8th fast`, `last one fast`: some of the repeats.
NUMBERED = regex(
    r"(?:(?:numbers?|nos?\.?|reps?|repeats?)\s+(?P<numbers>[0-9]{1,2}(?:\s*(?:,|&|\+|and)\s*[0-9]{1,2})+)"
    r"|(?P<ordinals>[0-9]{1,2}(?:st|nd|rd|th)(?:\s*(?:,|&|\+|and)\s*[0-9]{1,2}(?:st|nd|rd|th))*)"
    r"|(?:the\s+)?(?P<one>first|last|final)\s+(?:one|repeat|rep|swim))\s+(?:are\s+|is\s+)?(?=[^\W\d])",
    re.IGNORECASE,
)
#: `RPE 7/10`, `7/10 effort`, `effort 7`: how hard, out of ten.
OUT_OF_TEN = regex(
    r"(?P<grade>10|[0-9])(?:\s*[-–]\s*[0-9]+)?\s?/\s?10(?!\s*[x×:]|[0-9])(?:\s+(?:effort|rpe|intensity))?",
    re.IGNORECASE,
)
#: Work that is written as initials: swim, kick, pull, drill.
INITIALS = regex(r"(?=[PDS]*K)[SKPD]{3,5}(?![\w'’-])")
#: The next word.
WORK_NEXT = regex(rf"{WORD}")
#: A set or a distance after `then`.
SET_NEXT = regex(rf"\s+(?:[0-9]+\s*{TIMES}\s*[0-9]|(?:25|50|75|[1-9][0-9]{{2,}})(?![0-9:.]))")
#: What comes after an S for swim.
S_NEXT = regex(r"\s?/\s?([^\W\d_]+)")
#: A word that begins with the only capital of its own, like a name.
TITLED = regex(r"[A-Z][a-z]+$")
#: A stroke rate is at least this; a lower number before SR is seconds of rest.
LEAST_BARE_RATE = 28
#: Seconds for a metre: what is quicker can't be an interval, so it is a rest.
QUICKEST = 0.61
#: `first 15 fast, rest easy`: what is left of each repeat.
REST_OF_IT = regex(r"(?:the\s+)?(?:rest|remainder)\s+([^\W\d_]+)", re.IGNORECASE)
#: A few of something, in a remark: `(4 looks a length)`.
FEW = regex(r"\s*[0-9]{1,2}(?=\s+(?!(?:x|s|secs?|seconds?|mins?|minutes?)\b)[^\W\d])", re.IGNORECASE)
#: `in 3s: easy, steady, fast`: one after the other, again and again.
IN_TURNS = regex(r"in\s+(?P<n>[2-6])s\s*[:–-]?\s*(?=[^\W\d]|\()", re.IGNORECASE)
EACH_NEXT = regex(r"\s+(?:a|an|each|every|per|the)\b", re.IGNORECASE)
#: `R1 easy`, `R2 fast`: the number of a round, if a line has several.
NUMBERED_ROUND = regex(r"\bR[1-6](?![\d:.])")
#: `take 15 seconds`: a rest with its unit.
REST_TAKEN = regex(r"\s+:?[0-9][0-9:]*\s*(?:s|secs?|seconds?|mins?|minutes?)(?![\w'’-])", re.IGNORECASE)
#: `200 pace`, `400 pace +5`: the speed of a race.
PACE_OF = regex(r"[0-9]{2,4}\s*m?\s+(?:race\s+)?pace(?:\s*[+-]\s*:?[0-9]+\s*(?:s|secs?)?)?(?![\w'’])", re.IGNORECASE)
#: `30 on 30 off`: seconds of work, seconds of rest.
WORK_AND_REST = regex(r"[0-9]{1,3}\s+on\s*[/,]?\s*[0-9]{1,3}\s+off(?![\w'’-])", re.IGNORECASE)
#: `4 each fly, back, breast, free`.
EACH_OF = regex(
    r"(?P<n>[0-9]{1,2})\s+(?:of\s+)?each\s*:?\s*(?P<all>[^\W\d_][\w./]*(?:\s*[,/]\s*[^\W\d_][\w./]*){1,4})",
    re.IGNORECASE,
)
#: `#1` for each swimmer's best stroke, with nothing that the first repeat could be.
OWN_FIRST = regex(
    r"\#1\s+strokes?\b|\#1(?:\s+strokes?)?(?=\s*(?:$|[,;@()|\"“]|[-–]\s|:?\d|(?:on|off|every|rest|ri?|desc\w*|from|by)\b)"
    r"|\s+(?:kick|k|legs|drills?|dr|pull|p|arms|swim|sw)\b(?![^#]*/\s*\d)[^#]*$)",
    re.IGNORECASE,
)
#: Half of each repeat.
HALF = regex(r"half\s+(?=[^\W\d])", re.IGNORECASE)
#: A target that is a limit: `hold sub 1:15`.
LIMITS = frozenset({"sub", "under", "below", "about", "around", "approx", "roughly"})
ANY_TIME = regex(r"\s*:?[0-9][0-9:.]*")
#: The next value of a list with its group after it.
ANOTHER_GROUP = regex(r"\s*/\s*[0-9]*:[0-9]{2}\s*[A-Z]{1,4}(?!\w)")
ON_BACK = regex(r"on\s+(?:(?:your|the|their)\s+)?back(?![\w'’-])", re.IGNORECASE)
#: Numbers of repeats are below this, distances from here on.
LEAST_LENGTH = 25
#: So far, two sets in a bracket can be one repeat. Common practice, no source.
MOST_TOGETHER = 100
SHORT_POOL = 25  #: the length of the shortest usual pool
#: A distance with its work.
DISTANCE_NEXT = regex(r"\s+[0-9]{2,3}\s+[^\W\d]")
#: `2x thru`: two rounds.
THROUGH = regex(r"\s*(?:thru|through)(?![\w'’])\s*(?:[-–:,]\s*)?", re.IGNORECASE)
#: A time with a point for its colon.
DOTTED = regex(r"[0-9]{1,2}\.[0-5][0-9]")
#: Such times for one lane after the other.
DOTTED_LIST = regex(r"(?<![\d.])[0-9]{1,2}\.[0-5][0-9](?:\s*/\s*[0-9]{1,2}\.[0-5][0-9])+(?![\d.])")
#: A time after `off`.
OFF_TIME = regex(
    r"\s+(?:the\s+)?(?:(?P<minutes>[0-9]{1,2})[:.])?(?P<colon>:)?(?P<seconds>[0-9]{2})(?![0-9.:])"
    r"(?!\s*(?:s|secs?|seconds?|mins?|minutes?)?\s*(?:rest|ri|apart|off)\b)",
    re.IGNORECASE,
)
#: Times and distances in words.
SPELT_TIME = regex(r"(?:(half)\s+a|(?!half\b)(\w+))\s+(minute|second)s?(?![\w'’-])", re.IGNORECASE)
HUNDRED = regex(r"one\s+hundred(?![\w'’-])", re.IGNORECASE)
FINISH_WITH = regex(r"finish(?:ing)?\s+(?:with\s+)?(?=[0-9])", re.IGNORECASE)
NEXT_NUMBER = regex(r"\s+[0-9]")
NEXT_ALONE = regex(r"\s*#?([0-9]+)")
NEXT_COUNT = regex(r"\s*([0-9]{1,2})(?![0-9:.])")
#: The least number after `on` that is rather seconds than minutes, if so long is enough for the distance.
LEAST_SECONDS = 20
#: Small numbers of repeats, each with its work: `3 drill 1 fast`.
SMALL_TURNS = regex(r"[1-9]\s+[^\W\d]+(?:\s+[^\W\d]+)?(?:\s*[,/]?\s+[1-9]\s+[^\W\d]+)+")
#: What can be in a list of times.
IN_LISTS_OF_TIMES = frozenset({"_SLASH", "LABEL", "TIME", "_THEN"})


def in_minutes(piece: str) -> str:
    """A time with its minutes in words, such as `1 min 45 s` and `1m45`, as `1:45`."""
    match = IN_MINUTES.fullmatch(piece)
    return f"{match[1]}:{match[2]:0>2}" if match else piece
