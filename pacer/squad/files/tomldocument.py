"""A TOML text as tables that record what is wrong with their entries, and where."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, time
from decimal import Decimal
from functools import cached_property
from typing import Any, TypeVar

from pacer.language import tr
from pacer.plan.model import Span
from pacer.plan.problem import Problem
from pacer.plan.times import BadTime, ms_from_text, text_from_ms
from pacer.plan.words.vocabulary import near
from pacer.squad.files.tomlkeyplaces import Path, Place, places_in
from pacer.squad.files.tomlsyntax import UNREAD, toml_from_text
from pacer.squad.names import MAX_NAME, plain_text
from pacer.squad.refusal import Refused, shown

T = TypeVar("T")


class Document:
    """A TOML text, and the list of its problems, which grows as its tables are read.

    Raises Unreadable at once if the text as a whole is not TOML. If only single values cannot
    be read, they are recorded as problems and the rest is still read.
    """

    def __init__(self, text: str):
        self.lines, self._text, self._values, self.problems = toml_from_text(text)

    @property
    def root(self) -> Table:
        """The table that holds everything."""
        return Table(self, (), self._values)

    @cached_property
    def places(self) -> dict[Path, Place]:
        """Where everything is in the text; worked out only once there is a problem to report."""
        return places_in(self._text)

    def problem(self, path: Path, message: str, hint: str = "", *, key: bool = False) -> None:
        """Record a problem at the value of `path` (or at its key); if it has no place, at the table around it."""
        place = None
        while path and (place := self.places.get(path)) is None:
            path = path[:-1]
        span = Span(1, 1, 1) if place is None else place.key if key else place.value
        self.problems.append(
            Problem(span.line, span.column, span.end_column, message, hint, self.lines[span.line - 1] if place else "")
        )


class Table:
    """One table of a document; each method that reads a value records what is wrong with it and returns None."""

    def __init__(self, document: Document, path: Path, values: dict[str, Any]):
        self.document = document
        self.path = path
        self.values = values

    def __contains__(self, key: str) -> bool:
        return key in self.values

    def problem(self, key: str | None, message: str, hint: str = "", *, at_key: bool = False) -> None:
        """Record a problem with the key's value (or with the key, or with the whole table)."""
        self.document.problem(self.path if key is None else self.path + (key,), message, hint, key=at_key)

    def known(self, where: str, keys: tuple[str, ...], hints: dict[str, str] | None = None) -> None:
        """Report every key that is not one of `keys`, with a similar one if there is one."""
        for key in self.values:
            if key in keys:
                continue
            meant = near(key, keys)
            hint = (hints or {}).get(key) or (
                tr("did you mean {meant}?", meant=meant) if meant else tr("choose from: {known}", known=", ".join(keys))
            )
            self.problem(key, tr("{where} can't have “{key}”", where=where, key=shown(key)), hint, at_key=True)

    def text(self, key: str, example: str, most: int = MAX_NAME) -> str | None:
        """A text on one line, trimmed, not empty, with at most `most` characters."""
        value = self.given(key)
        if value is None:
            return None
        if not isinstance(value, str):
            self.problem(
                key,
                tr("{key} must be text in quotes, not {kind}", key=key, kind=_kind(value)),
                tr('for example: {key} = "{example}"', key=key, example=example),
            )
        elif not value.strip():
            self.problem(
                key,
                tr("{key} is empty", key=key),
                tr('for example: {key} = "{example}", or delete the line', key=key, example=example),
            )
        else:
            try:
                return plain_text(value, most)
            except Refused as wrong:
                self.problem(key, f"{key} {wrong.message}", wrong.hint)
        return None

    def texts(self, key: str, example: str, most: int = MAX_NAME, count: int = 20) -> tuple[str, ...]:
        """A list of at most `count` such texts; () if the key is missing or something is wrong with it."""
        value = self.given(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.problem(
                key,
                tr("{key} must be a list of texts", key=key),
                tr('for example: {key} = ["{example}"]', key=key, example=example),
            )
            return ()
        if len(value) > count:
            self.problem(
                key, tr("{key} has {count} entries; the limit is {most}", key=key, count=len(value), most=count)
            )
        made = []
        for index, one in enumerate(value):
            try:
                made.append(plain_text(one, most))
                if not made[-1]:
                    raise Refused(tr("is empty"), tr("leave it out"))
            except Refused as wrong:
                self.document.problem((*self.path, key, index), f"{key} {wrong.message}", wrong.hint)
        return tuple(made)

    def parsed(self, key: str, example: str, parse: Callable[[str], T]) -> T | None:
        """The key's text as a value, read by `parse`, which may raise Refused or BadTime."""
        text = self.text(key, example)
        if text is None:
            return None
        try:
            return parse(text)
        except (Refused, BadTime) as wrong:
            self.problem(key, wrong.message, wrong.hint)
            return None

    def time_ms(self, key: str, least_ms: int, most_ms: int) -> int | None:
        """A time, in whole milliseconds."""

        def parse(text: str) -> int:
            ms = ms_from_text(text)
            if not least_ms <= ms <= most_ms:
                bounds = tr("{least} and {most}", least=text_from_ms(least_ms), most=text_from_ms(most_ms))
                raise Refused(
                    tr("{key} must be between {bounds}, not {ms}", key=key, bounds=bounds, ms=text_from_ms(ms))
                )
            return ms

        return self.parsed(key, "0:05", parse)

    def whole(self, key: str, least: int, most: int) -> int | None:
        """A whole number."""
        value = self.given(key)
        if value is None:
            return None
        if not isinstance(value, int) or isinstance(value, bool):
            self.problem(
                key,
                tr("{key} must be a whole number, not {kind}", key=key, kind=_kind(value)),
                tr("for example: {key} = {least}", key=key, least=max(least, 1)),
            )
        elif not least <= value <= most:
            self.problem(key, tr("{key} must be between {least} and {most}", key=key, least=least, most=most))
        else:
            return value
        return None

    def decimal(self, key: str, least: Decimal, most: Decimal, places: int) -> Decimal | None:
        """A number from `least` to `most` with at most `places` decimal places."""
        value = self.given(key)
        if value is None:
            return None
        if not isinstance(value, (int, Decimal)) or isinstance(value, bool):
            self.problem(
                key,
                tr("{key} must be a number, not {kind}", key=shown(key), kind=_kind(value)),
                tr("for example 1.45, without quotes"),
            )
        elif not (isinstance(value, int) or value.is_finite()) or not least <= value <= most:
            self.problem(key, tr("{key} must be between {least} and {most}", key=shown(key), least=least, most=most))
        elif value != Decimal(value).quantize(Decimal(1).scaleb(-places)):
            self.problem(key, tr("{key} has more than {places} decimal places", key=shown(key), places=places))
        else:
            return Decimal(value)
        return None

    def table(self, key: str, header: str) -> Table | None:
        """The table at `key`; `header` shows how to write one."""
        value = self.given(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.problem(
                key,
                tr("{key} must be a table, not {kind}", key=key, kind=_kind(value)),
                tr("write {header} on its own line", header=header),
                at_key=True,
            )
            return None
        return Table(self.document, self.path + (key,), value)

    def tables(self, key: str, header: str) -> Iterator[Table]:
        """The tables at `key`, in the order written; `header` shows how each one begins."""
        value = self.given(key)
        if value is None:
            return
        if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
            self.problem(
                key,
                tr("each {key} must begin with {header}", key=key, header=header),
                tr("write {header}, with two brackets, on its own line", header=header),
                at_key=True,
            )
            return
        for index, entry in enumerate(value):
            yield Table(self.document, self.path + (key, index), entry)

    def given(self, key: str) -> Any:
        """The key's value as TOML gives it; None if it is missing or could not be read."""
        value = self.values.get(key)
        return None if value == UNREAD else value


def _kind(value: Any) -> str:
    match value:
        case bool():
            return tr("true or false")
        case int() | Decimal():
            return tr("a number")
        case str():
            return tr("text")
        case list():
            return tr("a list")
        case dict():
            return tr("a table")
        case datetime() | date() | time():
            return tr("a date or a time of day, without quotes")
    return tr("something else")
