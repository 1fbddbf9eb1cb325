"""The words of a line: what each means in its place."""

from __future__ import annotations

import re

from pacer.plan.cutting.askedwords import alternative, choice_of, laps, up_and_back
from pacer.plan.cutting.restwords import RestWords
from pacer.plan.cutting.token import Token
from pacer.plan.cutting.unknownwords import NAME_FIRST, NO_GEAR, near_work, unknown
from pacer.plan.model import NAMED, Activity, Stroke, Trend
from pacer.plan.times import MINUTE_MS
from pacer.plan.words.linepatterns import (
    BARE_NUMBER,
    BY_SLASH,
    COUNTED,
    DISTANCE_NEXT,
    EACH,
    EACH_NEXT,
    FILLERS,
    FINISH_WITH,
    FLOATS,
    GEAR_NEXT,
    HUNDRED,
    IN_TURNS,
    KICKS,
    LABELLED_VALUE,
    LATER_EVEN,
    MINUTE,
    NEXT_NUMBER,
    NUMBERED_ROUND,
    NUMBERS,
    ODD_BEFORE,
    OF_A_SET,
    ON_BACK,
    ONE_WORD,
    OWN_STROKE,
    REST_AHEAD,
    SAID_SOFTLY,
    SET_NEXT,
    SOFTLY,
    SPELT_TIME,
    TITLED,
    UP_AND_BACK,
    VALUE,
    WORD,
    WORK,
)
from pacer.plan.words.sayings import PLACE, SAYINGS
from pacer.plan.words.vocabulary import UNITS, key_of, near


def opens_detail(type_: str, text: str, end: int, gear: dict[str, str] | tuple[str, ...]) -> bool:
    """Whether a word of that type, which ends at `end`, opens a detail even among names: its value follows."""
    if type_ in ("ON", "REST", "HOLD"):
        return bool(LABELLED_VALUE.match(text, end)) or bool(MINUTE.match(text, end))
    if type_ in ("RATE", "BY", "APART", "TREND", "_REPEATS"):
        return bool(VALUE.match(text, end))
    if type_ in ("_THEN", "_AND"):
        return bool(SET_NEXT.match(text, end))
    if type_ in ("_AS", "_IN_TURN"):
        return text[end:].lstrip()[:1] in tuple("(0123456789")
    if type_ == "_ODD":
        return bool(LATER_EVEN.match(text, end))
    if type_ == "_EVEN":
        return bool(ODD_BEFORE.search(text, 0, end))
    if type_ == "WITH" and (match := GEAR_NEXT.match(" " + text[end:].lstrip())):
        first, second = match[1].casefold(), (match[2] or "").casefold()
        return f"{first} {second}" in gear or first in gear or bool(near(first, tuple(gear), 0.75))
    return False


class WordReader(RestWords):
    """Reads words."""

    def _with(self, piece: str, at: int, end: int) -> None:
        if not (REST_AHEAD.match(self.text, end) or self._with_saying(at, end)):  # no w/ 15 s rest
            self.add("WITH", piece, None, at, end)

    def _with_saying(self, at: int, end: int) -> bool:
        """Read an instruction together with its `with` (`w/ sighting`); return whether there was one."""
        gap = len(self.text[end:]) - len(self.text[end:].lstrip())
        saying = SAYINGS.match(self.text, end + gap)
        if saying and saying["drill"]:  # with one arm
            return True
        if not saying or not saying["note"]:
            return False
        self.at = saying.end()
        self.add("NOTE", self.text[at : self.at], " ".join(self.text[at : self.at].split()), at, self.at)
        return True

    def _glue(self, piece: str, at: int, end: int) -> None:
        if piece.casefold() == "d":
            self.add("TREND", piece, Trend.DESCEND, at, end)  # D1-4
        else:
            self._word(piece, at, end)

    def _digits(self, piece: str, at: int, end: int) -> None:
        self._word(piece, at, end)

    def _word(self, piece: str, at: int, end: int) -> None:
        first = (piece if piece.isalpha() else piece.replace("‑", "-").split("-")[0]).casefold()
        phrase = self.phrases.match(first, self.text, at)
        if phrase and phrase.end() >= end:
            piece, end = phrase[0], phrase.end()
        fold = piece.casefold() if piece.isalpha() else BY_SLASH.sub("/", key_of(piece))
        type_, value = self.words.get(piece.casefold()) or self.words.get(fold) or ("", None)
        if self.section:
            if fold == "repeat" and NEXT_NUMBER.match(self.text, end):
                self.at = end  # repeat 3 times
                return
            if self._label(type_, piece, end):
                type_, value = "LABEL", piece
            if not type_:
                self.stop(unknown(piece, at, end, self.tokens, True, self.text))
                return
            self.at = end
            self.add(type_, piece, value, at, end)
            return
        if piece == "R" and NUMBERED_ROUND.match(text := self.text, at) and len(NUMBERED_ROUND.findall(text)) > 1:
            self.stop(unknown(text[at : end + 1], at, end + 1, self.tokens, False, text))
            return
        if fold == "or" and self.tokens and not self.naming:
            self.stop(alternative(self.text, self.tokens, at, end, self.words))
            return
        if self._label(type_, piece, end):
            self.at = end
            self.add("LABEL", piece, piece, at, end)
            return
        if type_ == "WITH" and self._rest_behind_value(end):
            self.at = end  # with 15 s rest
            return
        if self.naming:
            self._named(type_, piece, value, at, end)
            return
        if self._said_otherwise(piece, fold, type_, at, end):
            return
        if not type_ and (
            fold in self.gear and not (fold in FLOATS and not self.in_gear) or self.in_gear and self._gear_begun()
        ):
            self._gear_word(piece, fold, at, end)
            return
        if not type_ and self._hyphened(piece, at):
            return
        if not type_ or type_ == "ACTIVITY" and value not in NAMED and self._begins_a_name(at):
            self._unknown(piece, at, end)
            return
        self.at = end
        if type_ == "_ALTERNATE" and self._length and DISTANCE_NEXT.match(self.text, end):
            type_ = "_AS"  # 300 kick alt 25 fast/25 easy
        if type_ == "BY" and len(self.tokens) == 1 and self.before == "NUMBER" and self.tokens[0].value < 50:
            type_ = "_X"
        number = BARE_NUMBER.match(self.text, end) if type_ == "ON" and fold in ("every", "go every") else None
        if number and (by := int(number[0].strip(" \ts"))) < self._length and self._length % by == 0:
            type_ = "BY"
        self.add(type_, piece, value, at, end)

    def _begins_a_name(self, at: int) -> bool:
        """Whether an activity begins a drill's name: `kick switch drill`."""
        name = NAME_FIRST.match(self.text, at)
        kinds = [self.words.get(word.casefold(), ("",))[0] for word in name[1].split()] if name else []
        return "" in kinds and all(kind in ("", "ACTIVITY", "STROKE", "EFFORT") for kind in kinds)

    def _gear_begun(self) -> bool:
        """Whether `with` or `and` comes before, perhaps with unknown gear between."""
        before = next((token.type for token in reversed(self.tokens) if token.type != "NAME"), None)
        return before in ("WITH", "_AND")

    def _named(self, type_: str, piece: str, value: object, at: int, end: int) -> None:
        """A word after drill, scull or a timed kick."""
        if there := UP_AND_BACK.match(self.text, at):
            self.stop(up_and_back(self.text, self.tokens, there))
            return
        if NO_GEAR.match(self.text, at) or self._apart_from_names(at):
            self.naming = False
            if self._said_otherwise(piece, piece.casefold(), type_, at, end):
                return
            if not type_:
                self._unknown(piece, at, end)
                return
        elif self._ends_naming(piece, at, end) or self._gear_last(piece, at, end):
            return
        elif (
            type_ == "STROKE"
            or type_ == "EFFORT"
            and self._ends_a_name(piece, value, end)
            or type_ not in ("", "ACTIVITY")
            and opens_detail(type_, self.text, end, self.gear)
            or value in NAMED
            and self._kicking()  # kick vertical drill: one of the two
        ):
            pass
        else:
            if word := ONE_WORD.match(self.text, at):
                end = word.end()
            piece = self.text[at:end]
            type_, value = "NAME", piece
        self.at = end
        self.add(type_, piece, value, at, end)

    def _ends_naming(self, piece: str, at: int, end: int) -> bool:
        """Read words that no drill has in its name: the other half, plain swimming, a swimmer's name."""
        if piece.casefold() in ("a", "one") and (spelt := SPELT_TIME.match(self.text, at)):  # a minute rest
            self.naming = False
            return self._said_otherwise(piece, piece.casefold(), "", at, spelt.end())
        if piece.casefold() == "half" and any(token.type == "_AS" for token in self.tokens) and self._half(at):
            return True
        name = self.tokens[-1].text if self.before == "NAME" else ""
        if piece.casefold() in ("swim", "swims", "swimming") and self.before != "ACTIVITY":
            self.naming = False
            self.at = end
            self.add("ACTIVITY", piece, Activity.SWIM, at, end)
            return True
        known = piece.casefold() in self.words
        if name and not name[:1].isupper() and TITLED.match(piece) and not known:  # drill fist Tom on 1:00
            self.naming = False
            self.stop(unknown(piece, at, end, self.tokens, False, self.text))
            return True
        return False

    def _said_otherwise(self, piece: str, fold: str, type_: str, at: int, end: int) -> bool:
        """Read the words here as one of the tables says; return whether one has them."""
        text = self.text
        if fold == "in" and (turns := IN_TURNS.match(text, at)) and self._count and self._count % int(turns["n"]) == 0:
            self.at = turns.end()
            self.add("_IN_TURN", turns[0].strip(), int(turns["n"]), at, turns.end())
            return True
        if self._saying(at):
            return True
        own = OWN_STROKE.match(text, at)
        if own and type_ not in ("_ODD", "RATE") and not (fold == "stroke" and self.before == "STROKE"):
            self.at = own.end()
            other = fold in ("no", "not", "non", "anything") and self.before in ("STROKE", "NOTE", "_COMMA")
            if not (other and any(token.type == "STROKE" for token in self.tokens[-3:])):  # 200 IM, no free
                self.add("STROKE", own[0], Stroke.CHOICE, at, own.end())
            self.add("NOTE", own[0], " ".join(own[0].split()), at, own.end())
            return True
        if fold.startswith("on") and (place := PLACE.match(text, at)) and (self._kicking() or ON_BACK.match(text, at)):
            self.at = place.end()
            if not self._kicking() and not any(token.type == "STROKE" for token in self.tokens):
                self.add("STROKE", "", Stroke.BACK, at, at)
            self.add("NOTE", place[0], " ".join(place[0].split()), at, place.end())
            return True
        beside = self.before == "NUMBER" and not text[self.tokens[-1].end : at].strip()
        plain = beside and re.fullmatch(r"[0-9]+|[^\W\d_]+", self.tokens[-1].text)
        if fold in ("length", "lengths") and plain and self.length:
            self.at = end
            self.tokens[-1].value *= self.length
            self.tokens[-1].text += f" {piece}"
            self.tokens[-1].end = end
            return True
        if self.before == "BY" and fold in ("length", "lengths", "lap") and self.length:
            self.at = end
            self.add("NUMBER", piece, self.length, at, end)
            return True
        if plain and self.length and (question := laps(text, at, self.tokens[-1].value, self.length)):
            self.stop(question)
            return True
        if fold == "each" and (every := EACH.match(text, at)):
            self.at = every.end()
            self._each(every, at)
            return True
        if self._share(fold, at):
            return True
        if self._time_words(piece, fold, at, end):
            return True
        if self._group_behind(piece, type_, at, end):
            return True
        if fold == "s" and (self.before == "_SLASH" or self._swum(piece, end)):  # k/d/s by 25, S/K/P, 300 S
            self.at = end
            self.add("ACTIVITY", piece, Activity.SWIM, at, end)
            return True
        if fold in SOFTLY and (softly := SAID_SOFTLY.match(text, at)):
            said = softly[0].split()[-1].casefold()
            self.at = softly.end()
            self.add("EFFORT", softly[0], self.words[said][1], at, self.at)
            self.add("NOTE", softly[0], " ".join(softly[0].split()), at, self.at)
            return True
        if (choice := choice_of(text, self.tokens, at, self.words)) is not None:
            self.stop(choice)
            return True
        if there := UP_AND_BACK.match(text, at):
            self.stop(up_and_back(text, self.tokens, there))
            return True
        if fold in KICKS and self._behind(end, "kick"):
            self.at = end
            self.add("STROKE", piece, KICKS[fold], at, end)
            return True
        if (
            fold == "each"
            and self.depth == 0
            and self.before in ("TIME", "REST", "NUMBER")
            and any(t.type == "_RIGHT" for t in self.tokens)
        ):
            self.at = end
            self.add("EACH", piece, None, at, end)
            return True
        if fold in FILLERS and not (len(piece) == 1 and piece.isupper()):
            before, behind = FILLERS[fold]
            if (before is None or (self.before or "") in before) and behind.match(text, end):
                colon = not self.tokens and text[end:].lstrip().startswith(":")
                self.at = text.index(":", end) + 1 if colon else end
                return True
        finish = None if self.tokens else FINISH_WITH.match(text, at)
        if finish or fold == "at" and self.words.get(self._next_word(end), ("",))[0] in ("EFFORT", "RATE"):
            self.at = finish.end() if finish else end
            return True
        if spelt := SPELT_TIME.match(text, at) if fold in ("a", "half") or fold in NUMBERS else None:
            self.at = spelt.end()
            seconds = 30 if spelt[1] else NUMBERS.get(fold, 1) * (60 if spelt[3].casefold() == "minute" else 1)
            self.add("TIME", spelt[0], seconds * 1000, at, self.at)
            return True
        if fold == "one" and (hundred := HUNDRED.match(text, at)):
            self.at = hundred.end()
            self.add("NUMBER", hundred[0], 100, at, self.at)
            return True
        if self.before == "BY" and fold in ("rep", "reps", "repeat", "repeats", "swim"):  # easy/fast by rep
            return self._by_repeat(end)
        if fold in ("in", "every", "by", "over", "each") and self.before == "TREND":
            self.at = end
            return True
        if fold in NUMBERS and COUNTED.match(text, end):
            self.at = end
            self.add("NUMBER", piece, NUMBERS[fold], at, end)
            return True
        if fold in ("times", "lots") and self.before == "NUMBER":
            of = OF_A_SET.match(text, end)
            self.at = of.end() if of else end
            self.add("_X" if of else "ROUNDS", piece, None, at, end)
            return True
        if fold == "twice" and not EACH_NEXT.match(text, end):
            self.at = end
            self.add("_X", piece, None, at, at)
            self.add("NUMBER", piece, 2, at, end)
            return True
        if fold in UNITS and self.before == "NUMBER" and not self.tokens[-1].unit:
            self.at = end
            self.tokens[-1].unit = UNITS[fold]
            return True
        if fold == "spm" and self.before == "NUMBER":
            self.at = end
            self.tokens.insert(len(self.tokens) - 1, Token("RATE", piece, None, at, end))
            return True
        if type_ == "ON" and (minute := MINUTE.match(text, end)):
            self.at = minute.end()
            self.add("ON", piece, None, at, end)
            self.add("TIME", minute[0].strip(), MINUTE_MS, minute.start() + 1, minute.end())
            return True
        return False

    def _by_repeat(self, end: int) -> bool:
        """Read `by rep`: the work before it changes from one repeat to the next."""
        first = len(self.tokens) - 1
        while first and self.tokens[first - 1].type in WORK | {"_SLASH"}:
            first -= 1
        if "_SLASH" not in [token.type for token in self.tokens[first:-1]]:
            return False
        by = self.tokens.pop()
        self.tokens.insert(first, Token("_ALTERNATE", "", None, by.start, by.start))
        self.at = end
        return True

    def _rest_behind_value(self, end: int) -> bool:
        return bool(REST_AHEAD.match(self.text, end))

    def _gear_word(self, piece: str, fold: str, at: int, end: int) -> None:
        self.at = end
        if fold in self.gear:
            self.add("GEAR", piece, self.gear[fold], at, end)
        else:
            self.add("NAME", piece, piece, at, end)

    def _unknown(self, piece: str, at: int, end: int) -> None:
        """Read a word that is not in the notation: as a drill's name before its word, or as a mistake."""
        known = piece.casefold() in self.words
        name = NAME_FIRST.match(self.text, at)
        words = name[1].split() if name else []
        person = bool(words) and not words[0][:1].isupper() and any(map(TITLED.match, words[1:]))
        if name and not person and self._begins_a_name(at) and (known or not near_work(piece)):
            strokes = []
            for word in re.finditer(rf"{WORD}|[0-9]+(?:-[0-9]+)+", self.text[at : name.end(1)]):
                type_, value = self.words.get(word[0].casefold(), ("", None))
                place = (at + word.start(), at + word.end())
                if type_ in ("STROKE", "EFFORT"):
                    strokes.append(Token(type_, word[0], value, *place))
                else:
                    self.add("NAME", word[0], word[0], *place)
            activity = Activity(name[2].casefold())
            self.tokens += strokes
            self.add("ACTIVITY", name[2], activity, name.start(2), name.end(2))
            self.at = name.end()
            return
        self.stop(unknown(piece, at, end, self.tokens, self.section, self.text))
