"""The tables as one JSON object, and its schema."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pacer.language import tr
from pacer.review.exports.exporttables import (
    NUMBER,
    TABLES,
    TEXT,
    TIME,
    TRUTH,
    WHOLE,
    Column,
    Exported,
    names_in,
    table_rows,
)

FORMAT = "pacer-export/1"
#: The published schema (JSON Schema, draft 2020-12).
SCHEMA_FILE = Path(__file__).with_name("export.schema.json")
_TYPES = {TEXT: "string", WHOLE: "integer", NUMBER: "number", TRUTH: "boolean", TIME: "integer"}


def export_json(sessions: Iterable[Exported], names: bool = False) -> dict[str, Any]:
    """All tables, ready for `json.dumps`. Times are in whole milliseconds."""
    kept = tuple(sessions)
    known = names_in(kept)
    return {
        "format": FORMAT,
        "names": names,
        "tables": {
            table.name: [
                {key_of(column): value for column, value in row} for row in table_rows(table, kept, names, known)
            ]
            for table in TABLES
        },
    }


def key_of(column: Column) -> str:
    """A column's key; for times it says that they are in milliseconds."""
    return f"{column.name}_ms" if column.kind == TIME else column.name


def schema() -> dict[str, Any]:
    """The schema of `export_json`."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": tr("pacer export"),
        "description": tr("Sessions as they were swum. Swimmers' names are included only if `names` is true."),
        "type": "object",
        "additionalProperties": False,
        "required": ["format", "names", "tables"],
        "properties": {
            "format": {"const": FORMAT},
            "names": {"type": "boolean"},
            "tables": {
                "type": "object",
                "additionalProperties": False,
                "required": [table.name for table in TABLES],
                "properties": {
                    table.name: {"type": "array", "description": table.about, "items": _row_schema(table.columns)}
                    for table in TABLES
                },
            },
        },
    }


def _row_schema(columns: Iterable[Column]) -> dict[str, Any]:
    kept = tuple(columns)
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [key_of(column) for column in kept if column.name != "name"],
        "properties": {
            key_of(column): {"type": [_TYPES[column.kind], "null"], "description": column.about} for column in kept
        },
    }
