"""Some of a set's repeats, or a stretch of each: `first 4`, `last 50`, `every 4th`, `4 of each stroke`."""

from __future__ import annotations

import re

from pacer.plan.cutting.cutstate import CutState
from pacer.plan.cutting.token import Token
from pacer.plan.model import IM_SEQUENCE, Activity, Stroke
from pacer.plan.words.linepatterns import (
    CHANGES,
    EACH_OF,
    EACH_STROKE,
    HALF,
    LATER_SHARE,
    LEAST_LENGTH,
    LEAST_SECONDS,
    LISTED,
    NTH,
    NUMBERED,
    REST_OF_IT,
    REVERSE_IM,
    SHARE,
    SOME_WITH_GEAR,
    WORK,
    WORK_NEXT,
)

_ORDINALS = {"other": 2, "second": 2, "third": 3, "fourth": 4, "fifth": 5}


#: The first words of such shares.
_STARTS = frozenset(
    [
        "with",
        "w",
        "the",
        "last",
        "final",
        "first",
        "1st",
        "next",
        "every",
        "rev",
        "rev.",
        "reverse",
        "reversed",
        "backward",
        "backwards",
        "im",
        "i",
        "i.m",
        "half",
        "number",
        "numbers",
        "no",
        "nos",
        "reps",
        "repeats",
    ]
)


class SomeRepeats(CutState):
    """Reads such shares into the grammar's words for segments and repeats."""

    parted = 0  #: what is left of each repeat for a last stretch that the line names
    shared = 0  #: repeats that have their work so far, if the line gives it to some after others

    def _share(self, fold: str, at: int) -> bool:
        """Read words for some of the repeats or a stretch of each; return whether there were any."""
        text = self.text
        if fold not in _STARTS:
            return False
        if gear := SOME_WITH_GEAR.match(text, at):  # last 2 with fins
            self.at = gear.end()
            self.add("NOTE", gear[0], " ".join(gear[0].split()), at, self.at)
            return True
        if self._numbered(at):
            return True
        if fold == "half":
            return self._half(at)
        if match := SHARE.match(text, at):
            return self._repeats(match) or self._place(match, at)
        if match := NTH.match(text, at):
            return self._nth(match, at)
        if match := REVERSE_IM.match(text, at):
            return self._reverse(match, at)
        return False

    @property
    def _count(self) -> int:
        """How many repeats the set has; 0 if that is not clear."""
        kinds = [token.type for token in self.tokens]
        at = kinds.index("_X") if kinds.count("_X") == 1 else 0
        first = [kind for kind in kinds[:at] if kind not in WORK and kind != "_COLON"]  # kick 6 x 50
        return self.tokens[at - 1].value if at and kinds[at - 1] == "NUMBER" and first == ["NUMBER"] else 0

    @property
    def _length(self) -> int:
        lengths = [token.value for token in self.tokens if token.type == "NUMBER"]
        return lengths[-1] if lengths else 0

    def _seconds_between(self, numbers: list[int], end: int) -> bool:
        """Whether two numbers after a set's work are seconds that an interval is between: `4 x 50 stroke 55-60`."""
        if self.text[end:].lstrip()[:1] not in ("", ",", ";"):
            return False
        enough = bool(self._count) and LEAST_LENGTH <= self._length <= 2 * numbers[0]
        return enough and self.before in WORK and LEAST_SECONDS <= numbers[0] < numbers[1] <= numbers[0] + 20

    def _own(self) -> list[Token]:
        """The work of the whole set so far; plain swimming if it has none."""
        own = [token for token in self.tokens if token.type in WORK - {"NOTE"}]
        return own or [Token("ACTIVITY", "", Activity.SWIM, self.at, self.at)]

    def _open(self, type_: str, at: int) -> None:
        """Begin the segments or repeats of the set, after whatever comes before them."""
        if self.before == "_COMMA":
            self.tokens.pop()
        self.add(type_, "", None, at, at)

    def _copies(self, at: int) -> list[Token]:
        return [Token(token.type, "", token.value, at, at) if token.type != "NAME" else token for token in self._own()]

    # ---- repeats

    def _repeats(self, match: re.Match[str]) -> bool:
        """`first 4 kick, last 4 swim`, `last 2 fast`: the others are swum as the set says."""
        count, number, at = self._count, int(match["distance"]), match.start()
        if not number < min(count, LEAST_LENGTH) or match["unit"] or any(t.type == "_AS" for t in self.tokens):
            return False
        first = 1 if match["first"] else count - number + 1 if match["last"] else self.shared + 1
        last = first + number - 1
        self.at = match.end()
        if match["next"] and not self.shared or last > count:
            return False
        mine_first: list[Token] = []
        if not self.shared:
            mine_first = self._words_before()
            own = self._copies(at)
            self._open("_REPEATS", at)
            if first > 1:
                self.tokens += [Token("RANGE", "", (1, first - 1), at, at), *own, Token("_SLASH", "", None, at, at)]
            elif not LATER_SHARE.search(self.text, self.at):
                others = Token("RANGE", "", (last + 1, count), self.at, self.at)
                self.behind = [Token("_SLASH", "", None, self.at, self.at), others, *own]
        self.add("RANGE", match["distance"], (first, last), match.start("distance"), self.at)
        self.tokens += mine_first
        self.ranging, self.shared = self.depth, last
        return True

    def _nth(self, match: re.Match[str], at: int) -> bool:
        """`every 4th fast`, `every 4th length fast`."""
        said = match["word"].casefold() if match["word"] else ""
        every = int(match["n"]) if match["n"] else _ORDINALS[said]
        unit = (match["of"] or "").casefold()
        each = (self.length or 0) if unit.startswith(("length", "lap")) else int(unit) if unit.isdigit() else 0
        if every < 2 or (each == 0 and not self._count):
            return False
        if each and each == self._length:
            each = 0
        if each and self._length % (each * every):
            return False
        own = self._copies(at)
        self.at = match.end()
        self._open("_AS" if each else "_IN_TURN", at)
        self.tokens += [Token("NUMBER", "", (each or 1) * (every - 1), at, at), *own]
        self.tokens.append(Token("_SLASH", "", None, at, at))
        self.tokens.append(Token("NUMBER", match[0], each or 1, at, self.at))
        return True

    def _listed(self, at: int) -> bool:
        """`#4, 8, 12 fast`: every fourth."""
        if not ("," in self.low or "#" in self.low):
            return False
        match, count = LISTED.match(self.text, at), self._count
        numbers = [int(number) for number in re.findall("[0-9]+", match["all"] or match["some"])] if match else []
        if 0 in numbers or len(numbers) == 1 and self.text.count("#") > 1:  # #1 kick, #2 swim
            return False
        if match and match["some"] and numbers != list(range(numbers[0], count + 1, numbers[0])):
            return self._some(numbers, at, match.end())
        if match is None or not numbers or numbers != list(range(numbers[0], count + 1, numbers[0])):
            return False
        own = self._copies(at)
        self.at = match.end()
        self._open("_IN_TURN", at)
        self.tokens += [Token("NUMBER", "", numbers[0] - 1, at, at), *own, Token("_SLASH", "", None, at, at)]
        self.tokens.append(Token("NUMBER", match[0], 1, at, self.at))
        return numbers[0] > 1

    def _numbered(self, at: int) -> bool:
        """`number 4 and 8 fast`, `4th and 8th fast`, `last one fast`."""
        match = NUMBERED.match(self.text, at)
        if match is None or not self._count:
            return False
        if match["one"]:
            return self._some([1 if match["one"].casefold() == "first" else self._count], at, match.end())
        numbers = [int(number) for number in re.findall("[0-9]+", match["numbers"] or match["ordinals"])]
        return self._some(numbers, at, match.end())

    def _some(self, numbers: list[int], at: int, end: int) -> bool:
        """Some repeats by their numbers: what follows is for them, and the others are swum as the set says."""
        count = self._count
        rising = numbers == sorted(set(numbers)) and numbers[-1] <= count and numbers[0] > 0
        if not rising or self.depth or any(token.type in ("_AS", "_REPEATS", "RANGE") for token in self.tokens):
            return False
        work = WORK_NEXT.match(self.text, end)
        type_, value = self.words.get(work[0].casefold(), ("", None)) if work else ("", None)
        if work is None or type_ not in ("ACTIVITY", "STROKE", "EFFORT"):
            return False
        own = self._copies(at)
        self._open("_REPEATS", at)
        self.at = work.end()
        said = self.text[at : work.end()]
        following = 1
        for place, number in enumerate(numbers):
            if number > following:
                self.tokens += [Token("RANGE", "", (following, number - 1), at, at), *own]
                self.tokens.append(Token("_SLASH", "", None, at, at))
            self.tokens.append(Token("RANGE", said if not place else "", (number, number), at, end))
            self.tokens.append(Token(type_, work[0] if not place else "", value, end, self.at))
            following = number + 1
            if following <= count:
                self.tokens.append(Token("_SLASH", "", None, end, end))
        if following <= count:
            self.tokens += [Token("RANGE", "", (following, count), self.at, self.at), *own]
        return True

    def _half(self, at: int) -> bool:
        """`half drill, half swim`: a half of each repeat."""
        match = HALF.match(self.text, at)
        length = self._length
        word = WORK_NEXT.match(self.text, match.end()) if match else None
        known = word and self.words.get(word[0].casefold(), ("",))[0] in ("ACTIVITY", "STROKE", "EFFORT")
        begun = any(token.type == "_AS" for token in self.tokens)
        if match is None or not known or not length or (length // 2 if begun else length) % (1 if begun else 2):
            return False
        self.at = match.end()
        if begun:
            length = next(t.value for t in self.tokens[::-1] if t.type == "NUMBER") * 2
            if self.before in ("_COMMA", "_SLASH", "_PLUS", "_AND", "_THEN"):
                self.tokens.pop()
            self.add("_SLASH", "", None, at, at)
        else:
            self._open("_AS", at)
        self.add("NUMBER", match[0].strip(), length // 2, at, match.end())
        return True

    def _each_stroke(self, at: int) -> bool:
        """`4 of each stroke`: fly, back, breast, free."""
        if not ("each" in self.low or "every" in self.low or "per" in self.low):
            return False
        if self._each_of(at):
            return True
        match, count = EACH_STROKE.match(self.text, at), self._count
        number = int(match["n"]) if match else 0
        if match is None or not number or count % (4 * number):
            return False
        whole = count == 4 * number
        self._open("_REPEATS" if whole else "_IN_TURN", at)
        self.at = match.end()
        for place, stroke in enumerate(IM_SEQUENCE):
            if place:
                self.add("_SLASH", "", None, at, at)
            span = (number * place + 1, number * (place + 1))
            self.add("RANGE" if whole else "NUMBER", match["n"], span if whole else number, at, self.at)
            self.add("STROKE", "", stroke, at, at)
        return True

    def _each_of(self, at: int) -> bool:
        """`4 each fly, back, breast, free`: that many of each, in that order."""
        match, count = EACH_OF.match(self.text, at), self._count
        said = re.split(r"\s*[,/]\s*", match["all"]) if match else []
        kinds = [self.words.get(word.casefold().rstrip("."), self.words.get(word.casefold())) for word in said]
        number = int(match["n"]) if match else 0
        if match is None or len(said) * number != count or any(not kind or kind[0] != "STROKE" for kind in kinds):
            return False
        self._open("_REPEATS", at)
        self.at = match.end()
        for place, (word, kind) in enumerate(zip(said, [kind for kind in kinds if kind])):
            if place:
                self.add("_SLASH", "", None, at, at)
            self.add("RANGE", match["n"], (number * place + 1, number * (place + 1)), at, self.at)
            self.add("STROKE", word, kind[1], at, self.at)
        return True

    # ---- stretches of each repeat

    def _changes_every(self, far: int, end: int) -> bool:
        """Whether `50s` at a line's end is where the stroke changes: `400 IM order, 50s`."""
        kinds = [token.type for token in self.tokens]
        if kinds[:1] != ["NUMBER"] or kinds[-1:] != ["_COMMA"] or "_X" in kinds or self.text[end:].strip(" ,.)"):
            return False
        several = "_SLASH" in kinds or any(token.value == Stroke.IM_ORDER for token in self.tokens)
        if not several or kinds.count("NUMBER") > 1 or self.tokens[0].value % far or self.tokens[0].value <= far:
            return False
        self.tokens.pop()
        return True

    def _reverse(self, match: re.Match[str], at: int) -> bool:
        """`reverse IM`: free, breast, back, fly."""
        order = bool(match["order"])
        every = CHANGES.match(self.text, match.end()) if order and not self._count else None
        far = int(every["far"]) if every else 0
        order = order and bool(self._count)
        far = far if far and self._length % (4 * far) == 0 else 0
        each = 1 if order else far or self._length // 4
        if not order and (not each or self._length % 4):
            return False
        self._open("_IN_TURN" if order else "_AS", at)
        self.at = every.end() if every and not order else match.end()
        for place, stroke in enumerate((Stroke.FREE, Stroke.BREAST, Stroke.BACK, Stroke.FLY)):
            if place:
                self.add("_SLASH", "", None, at, at)
            self.add("NUMBER", match[0], each, at, self.at)
            self.add("STROKE", "", stroke, at, at)
        return True

    def _place(self, match: re.Match[str], at: int) -> bool:
        """`last 50`, `first 25`, `1st 25`: a stretch of the repeat; the rest is swum as the words before it say."""
        length, distance = self._length, int(match["distance"])
        known = any(token.type in ("_AS", "_SLASH", "_REPEATS") for token in self.tokens)
        if match["last"] and distance == self.parted:  # first 25 fly, last 25 free
            self.at = match.end()
            if self.before == "_COMMA":
                self.tokens.pop()
            self.add("_SLASH", "", None, at, at)
            self.add("NUMBER", match["distance"], distance, match.start("distance"), self.at)
            return True
        if match["next"] or not 0 < distance < length or known:
            return False
        self.at = match.end()
        mine_first = self._words_before()
        own = self._copies(at)
        self._open("_AS", at)
        rest = [Token("NUMBER", "", length - distance, at, at), *own]
        mine = Token("NUMBER", match["distance"], distance, match.start("distance"), match.end())
        if match["last"]:
            self.tokens += [*rest, Token("_SLASH", "", None, at, at), mine, *mine_first]
        else:
            self.tokens += [mine, *mine_first]
            later = LATER_SHARE.search(self.text, self.at)
            left = REST_OF_IT.search(self.text, self.at)
            if left and self.words.get(left[1].casefold(), ("",))[0] in WORK:
                self.parted = length - distance
                return True
            if later and int(re.findall("[0-9]+", self.text[later.start() :])[0]) + distance == length:
                self.parted = length - distance
                return True
            self.behind = [Token("_SLASH", "", None, match.end(), match.end()), *rest]
        return True

    def _rest_of_it(self, at: int, end: int) -> bool:
        """`first 15 fast, rest easy`: the rest of each repeat."""
        match = REST_OF_IT.match(self.text, at)
        if match is None or self.words.get(match[1].casefold(), ("",))[0] not in WORK:
            return False
        self.at = end
        if self.before in ("_COMMA", "_AND", "_THEN", "_SLASH"):
            self.tokens.pop()
        self.add("_SLASH", "", None, at, at)
        self.add("NUMBER", self.text[at:end], self.parted, at, end)
        self.parted = 0
        return True

    def _words_before(self) -> list[Token]:
        """The words between a comma and `last 15`, which say how to swim it: `kick on 0:55, max last 15m`."""
        at = len(self.tokens)
        while at and self.tokens[at - 1].type in WORK:
            at -= 1
        if at == len(self.tokens) or not at or self.tokens[at - 1].type != "_COMMA":
            return []
        words, self.tokens = self.tokens[at:], self.tokens[: at - 1]
        return words

    def _each(self, match: re.Match[str], at: int) -> None:
        """`build each 100`, `each 50 build`: by 100, or the whole repeat if it is that long."""
        distance = int(match[1])
        if self._length == distance:
            return
        self.add("BY", match[0], None, at, match.start(1))
        self.add("NUMBER", match[1], distance, match.start(1), match.end(1))
