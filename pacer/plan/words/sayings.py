"""Instructions about how to swim, not how fast: they become the set's cue, in the coach's words.

Also drills that coaches name without the word drill. All of this is common practice, no source.
"""

from __future__ import annotations

import re

from pacer.plan.model import GEAR
from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import GEAR_ALSO

#: Words up to a mark or to an interval or a rest.
_TO_THE_END = r"(?:(?!\s+(?:@|(?:on|off|every|rest|ri|hold)\s*:?[0-9]))[^,;|/()\[\]{}\"“”])+"
_GEAR = "|".join(
    word.replace(" ", r"\s+")
    for word in sorted(
        {word.strip() for also in GEAR_ALSO.values() for word in also.split(",")} | {*GEAR}, key=len, reverse=True
    )
)
#: What ends a word.
END = r"(?![\w'’]|[-‑]\w)"

_THE = r"(?:the|your|our|my|where)"
#: Whose kick goes with another stroke's arms.
_LEGS = (
    r"fly|fl|bf|butterfly|dolphin|flutter|free|fr|fc|f/c|f\.c\.|front\s+crawl|breast|brs?|brst|frog|whip|back|bk|bc|one"
)

#: What to watch: `fast hands`, `long strokes`. Words that are efforts too only in front of a part of the body.
_SOFT = r"(?:fast|quick|strong|easy|relaxed|slow|smooth)"
_HOW = (
    r"(?:soft|light|firm|explosive|high|low|long|tight|big|small|early|good|great|nice|straight|flat|clean|crisp|deep"
    r"|loose|sharp|tidy|neat)"
)
_ARMS = (
    "straight|extended|stretched|folded|crossed|out|up|locked|overhead|long|wide|high|forward|down|together|apart|still"
)
_OF_BODY = (
    r"(?:\s+(?:the|your|their|of|to|in|by|front|ahead|sides?|backs?|ears?|heads?|legs|thighs|hips|body|chest|surface|water"
    r"|streamline|arrow|a))*"
)
_KICKS = r"(?:[1-9]|1[0-5]|one|two|three)\s+(?:(?:fly|dolphin|underwater|u/?w)\s+)?(?:kicks?|dolphins?)"
_EACH_WALL = (
    r"(?:off|per|each|every|out|from|a|under\s?water)(?:\s+(?:each|every|the|a|all|of))*"
    r"(?:\s+(?:walls?|turns?|push[\s-]?offs?|strokes?|water|lengths?|breaths?))?"
)
_BODY = (
    r"hands?|elbows?|feet|ankles?|hips|shoulders|heads?|wrists?|fingers?|fingertips|turns?|walls?|break\s?outs?"
    r"|push[\s-]?offs?|transitions?|streamlines?"
)
_FORM = (
    r"strokes?|finish(?:es)?|catch(?![\s-]*up)|recover(?:y|ies)|entry|entries|core|body(?:\s+(?:line|position))?|rhythm|reach"
    r"|exits?|glides?|posture|form|technique|shape|lines?"
)

_NOTE = rf"""
    neg(?:ative|\.)?[\s-]*split(?:s|ting)?
  | broken(?!\s+arrow) (?:\s+(?:at\s+|@\s*)(?:the\s+|every\s+)?[0-9]+s?(?=\s*,?\s*(?:$|(?:on|off)\s*:?[0-9])))?
  | (?:hold(?:ing)?\s+)? (?:best|fastest|even)\s+(?:average|avg|pace)
  | tt | time\s+trials? | timed | for\s+time
  | (?:breathe|breathing)\s+[0-9]s?(?:\s+(?:and|&)\s+[0-9]s?|\s+[0-9](?![0-9:x]))+(?:\s+by\s+[0-9]+s?)?
  | (?:breathe|breathing)\s+[0-9]s
  | (?:breath(?:e|ing|s)?|b/?p) (?:\s+pattern)? (?:\s+every)? \s*:?\s* [0-9]+
        (?:\s*(?:[/–-]|to)\s*[0-9]+|\s*,\s*[0-9](?![0-9:]|\s*(?:s|secs?|x|×)\b))*
        (?:rd|th)? (?:\s+strokes?)? (?:\s+by\s+(?:the\s+)?(?:[0-9]+s?|lengths?))?
  | br\.?\s+(?!6[-/][1-9][-/]6)[2-9](?:\s?[/–-]\s?[2-9])+ (?:\s+by\s+(?:the\s+)?[0-9]+s?)?
  | hypoxic (?:\s+[0-9]+(?:\s*[/,-]\s*[0-9]+)*)? (?:\s+by\s+[0-9]+s?)?
  | no\s+breath(?:ing)?,?\s+(?:for\s+)?(?:the\s+)?(?:first|last)\s+[0-9]+\s*(?:m|strokes?)?
  | (?:no|one|1|two|2|three|3)\s+breath(?:s|ing)? (?:\s+per\s+length)?
  | bilateral (?:\s+breathing)?
  | breath(?:e|ing)\s+(?:to\s+)?(?:the\s+)?(?:left|right|[lr]|both\s+sides?|bilaterally)
  | count(?:ing)?\s+(?:your\s+)?strokes | strokes?\s+counts?(?:\s+(?:of\s+)?[0-9]+(?:-[0-9]+)?)?
  | (?:hold(?:ing)?|keep)\s+[0-9]+\s+strokes? | min(?:imum)?\.?\s+strokes?
  | (?:hold(?:ing)?|keep)\s+(?:the\s+|your\s+)?(?:form|technique|stroke\s+count|stroke|pace|speed|tempo)
  | (?:focus(?:ing)?|concentrate|work)\s*(?::|\s+(?:on|the)\b)\s*{_TO_THE_END}
  | sight(?:ing)? (?:\s+every\s+[0-9]+(?:\s+strokes)?)?
  | (?:no|w\s?/\s?o|without)\s+(?:a\s+)?(?:{_GEAR}) (?:\s+(?:and|or)\s+(?:{_GEAR}))*
  | (?:from\s+(?:a\s+|the\s+)?|off\s+(?:the\s+)?)(?:dives?|push|blocks?|walls?)
  | dives? | push\s+and\s+glide | underwaters? | under\s+water | u/?w
  | streamlined? | continuous | non[\s-]?stop | straight (?:\s+(?:through|thru))?
  | arms\s*(?:\+|&|/|w/?|with|and)\s*(?:{_LEGS})\s+(?:kicks?|legs)
  | arms\s+(?:by|at|in|behind|above|over|like|resting|{_ARMS})\b{_OF_BODY}
  | (?:heads?|hd)[\s-]+(?:up|down) | h/?u | deck[\s-]ups? | flip\s*(?:&|and)\s*go
  | rest\s+as\s+needed | (?:short|long)\s+rest | as\s+time\s+allows
  | drop\s+:?[0-9]+(?:\s*s(?:ec(?:ond)?s?)?)?\s+(?:each|per\s+\w+)
  | back\s+to\s+back
  | (?<![0-9]\s)(?<![0-9]m\s)back\s+(?:to|along|round|around|past|across)\s+{_THE}\s+{_TO_THE_END}
  | back\s+(?:to|along|towards?)\s+(?:{_THE}\s+)?(?:shore|beach|start|land|boat|pontoon|jetty|slipway|pier|bank|base)
  | back\s+in(?:to)?\s+{_THE}\s+(?:water|pool) | (?:out|there|shore)\s+and\s+back
  | (?<!desc\s)(?<!descend\s)in\s+[2-6]s
  | feet[\s-]first | (?:own|your)\s+pace | no\s+walls? | no\s+kick | for\s+distance | to\s+finish
  | (?:at|between|round|around)\s+(?:the\s+|your\s+)?(?:ankles|thighs|knees)
  | (?:r|l|right|left)\s+arms?(?:\s*/\s*(?:r|l|right|left)\s+arms?)*(?:\s*/\s*(?:both|full))+
  | (?:r|l|right|left)\s+arms?(?:\s+only)?
  | hands\s+(?:up|out(?:\s+of\s+(?:the\s+)?water)?|overhead|(?:behind|on)\s+(?:the\s+|your\s+)?(?:back|head))
  | (?:pull,?\s+)?breathe,?\s+kick,?\s+(?:and\s+)?glide | pull,?\s+(?:breathe,?\s+)?kick,?\s+(?:and\s+)?glide
  | (?:buoy\s+)?turns?\s+(?:at|around|round)\s+{_TO_THE_END} | to\s+[0-9]+\s?%(?:\s+effort)?
  | (?:in)?to\s+the\s+(?:wall|flags|finish|end)
  | (?:at\s+)?(?:any|(?:your\s+)?own|your)\s+(?:speed|effort|order|way)
  | (?<!\s\d\s)full(?=\s*(?:$|[,;/)\]}}"]|by\b|on\s*:?[0-9]))
  | pb\s?[+-]\s?[0-9]+(?:\s*[,/]\s*[+-]\s?[0-9]+)*
        (?:\s*[,/]\s*(?:max|fast|sprint|pb|all[\s-]out))?
  | {_SOFT}\s+(?:{_BODY}) | {_HOW}\s+(?:{_BODY}|{_FORM})
  | kick\s+counts? | {_KICKS}\s+{_EACH_WALL}
  | dps | distance\s+per\s+stroke | tech(?:nique)?\s+focus
  | [0-9]s\s*(?:&|and|/)\s*[0-9]s(?:\s+by\s+(?:the\s+)?[0-9]+s?)?
  | (?<=kick,\s)free\s+arms
  | torpedo | pack\s+swim | legs\s+trailing | as\s+far\s+as\s+comfortable | (?:{_GEAR})\s+optional
  | heart\s+rate\s+[0-9]+(?:\s*-\s*[0-9]+)? | hr\s+[0-9]+(?:\s*-\s*[0-9]+)?
"""
#: The body position for a kick.
_PLACE = r"on\s+(?:(?:your|the|their|one|each|left|right)\s+)*(?:sides?|fronts?|backs?|bk|tummy|tummies|belly)"
#: So many kicks to a pull: drills of breaststroke.
KICKS_TO_A_PULL = r"""
    (?:[0-9]|one|two|three|four)[\s-]+kicks?[\s,-]+(?:[0-9]|one|two)[\s-]+pulls?
  | (?:[0-9]|one|two)[\s-]+pulls?[\s,-]+(?:and\s+|to\s+)?(?:[0-9]|one|two|three|four)[\s-]+kicks?
  | [0-9]k\s?/?[0-9]p | [0-9]\s?k\s[0-9]\s?p
"""
#: Drills that coaches name without the word drill.
_DRILL = rf"""
    (?:(?:3/4|1/2|half|full|three[\s-]quarters?|front)[\s-]+)?catch[\s-]*up | (?:(?:open|closed?|clenched)\s+)?fists?
  | (?:finger[\s-]*(?:tips?)?|thumb|wrist|knuckle)\s+drags?
  | (?:hip|thigh|shoulder|head|ear|armpit)\s+(?:touch(?:es)?|taps?)
  | zipper | zip[\s-]?ups? | corkscrew | (?:[0-9]+-){{2,}}[0-9]+
  | (?P<even>[1-9]|1[0-2])/[0-9]{{1,2}}/(?P=even)(?!\s*[x×/:.])
  | (?:one|single|double|dbl|1|2)(?:\s+|-)arms? | [1-9]\s?L[\s/-]*[1-9]\s?R(?:[\s/-]*[1-9]?\s?(?:both|full|swim|B))?
  | (?:L|left)(?:[/-](?:L|left))*(?:[/-]|\s)(?:R|right)(?:[/-](?:R|right))*
    (?:(?:[/-]|\s)(?:B|L|left|both|full))?(?=[\s,;)]|$)
  | {KICKS_TO_A_PULL}
  | (?:(?:3|6|10|12|three|six|ten|twelve)[\s-]+)kick\s+(?:switch|roll)(?:es)? | six(?:\s+|-)kick | triple\s+switch
  | windmills? | popov | unco | superman | broken\s+arrow | sail\s?boats? | chicken\s+wings? | long\s+dog | hesitation
  | front\s+quadrant | dolphin\s+dives? | over[\s-]?kick | (?:head|hand)[\s-]lead | human\s+(?:paddle|stroke)
  | [0-9]\s+strokes?\s+\w+,?\s+[0-9]\s+strokes?\s+(?:free|back|breast|fly|bk|br|fl|fr)(?:stroke)?
  | shark\s+fin | dog(?:gy|gie)?[\s-]+paddle | tarzan | (?:water\s?)?polo
"""
#: Upright kicks that coaches name without the word kick.
_UPRIGHT = r"side[\s-]kicks? | vertical | egg[\s-]?b(?:eat(?:er)?)? | tread(?:ing)?\s+water"

#: What to watch, of which a drill's name has nothing.
WATCHED = regex(rf"(?:{_SOFT}\s+(?:{_BODY})|{_HOW}\s+(?:{_BODY}|{_FORM})){END}", re.IGNORECASE)
SAYINGS = regex(rf"(?:(?P<note>{_NOTE})|(?P<drill>{_DRILL})|(?P<upright>{_UPRIGHT})){END}", re.VERBOSE | re.IGNORECASE)
ON_BACK = regex(r"on\s+(?:.*\s)?(?:backs?|bk)", re.IGNORECASE)  #: of those for a kick: it is backstroke's
PLACE = regex(rf"(?:{_PLACE}){END}", re.VERBOSE | re.IGNORECASE)
