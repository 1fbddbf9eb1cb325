"""What a coach has said of the columns of other people's files, so that each is asked about once."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from pacer.disk import write_whole
from pacer.squad.files.csvcolumns import Kind, plain_name

NAME = "columns.json"
MOST_REMEMBERED = 500  #: columns of one kind that are remembered; beyond that the oldest go


class ColumnMemory:
    """The answers, in one file in `folder`."""

    def __init__(self, folder: Path):
        self.path = Path(folder) / NAME

    def known(self, kind: Kind) -> dict[str, str]:
        """What each column means that was asked about, by its plain name."""
        said = self._read().get(kind.name, {})
        return dict(said) if isinstance(said, dict) and all(map(_is_text, said.items())) else {}

    def learn(self, kind: Kind, answers: Mapping[str, str]) -> None:
        """Remember what columns mean, by their names as they are written. Raises OSError."""
        if not answers:
            return
        known = self.known(kind)
        for name, meaning in answers.items():
            known.pop(plain_name(name), None)
            known[plain_name(name)] = meaning
        kept = dict(list(known.items())[-MOST_REMEMBERED:])
        data = json.dumps({**self._read(), kind.name: kept}, ensure_ascii=False, indent=1)
        write_whole(self.path, data.encode())

    def forget(self, kind: Kind) -> None:
        """Ask about all columns of a kind again. Raises OSError."""
        said = self._read()
        if said.pop(kind.name, None) is not None:
            write_whole(self.path, json.dumps(said, ensure_ascii=False, indent=1).encode())

    def _read(self) -> dict[str, object]:
        try:
            read = json.loads(self.path.read_bytes())
        except (OSError, ValueError):
            return {}
        return read if isinstance(read, dict) else {}


def _is_text(pair: tuple[object, object]) -> bool:
    return all(isinstance(part, str) for part in pair)
