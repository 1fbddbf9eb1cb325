"""Every text of the app, collected from the calls of `tr` and `tr_n`, for translators and for readers of the words.

`python tests/show/strings.py` renews two files: `assets/languages/pacer.pot`, from which a translation is begun, and
`strings.txt` beside this file, the texts alone by room and module, to be read in one sitting.
"""

from __future__ import annotations

import ast
import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po

ROOT = Path(__file__).parents[2]
LIST = Path(__file__).with_name("strings.txt")
TEMPLATE = ROOT / "assets" / "languages" / "pacer.pot"
HOW = "python tests/show/strings.py"
TEXTS = {"tr": 1, "tr_n": 2}  #: how many texts each function is given
HEAD = """\
Every text of pacer, by room and module. To begin a translation into German, in a checkout:
  pybabel init -i assets/languages/pacer.pot -d assets/languages -D pacer -l de
Fill in the .po file; leave the words in braces as they are. Then: pybabel compile -d assets/languages -D pacer"""


def modules() -> Iterator[Path]:
    """The app's modules, by room and name."""
    yield from sorted((ROOT / "pacer").rglob("*.py"), key=lambda path: (path.parent, path.name))


def texts(path: Path) -> list[str | tuple[str, ...]]:
    """The texts of a module in their order; one and many as a pair."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in TEXTS:
            said = tuple(each.value for each in node.args[: TEXTS[node.func.id]] if isinstance(each, ast.Constant))
            assert len(said) == TEXTS[node.func.id], f"{path}, line {node.lineno}: the text itself has to be there"
            found.append((node.lineno, node.col_offset, said if len(said) > 1 else said[0]))
    return list(dict.fromkeys(said for _, _, said in sorted(found, key=lambda each: each[:2])))


def catalogue() -> Catalog:
    """All texts, in the order of rooms and modules."""
    made = Catalog(domain="pacer", project="pacer", charset="utf-8")
    for path in modules():
        for message in texts(path):
            made.add(message, locations=[(str(path.relative_to(ROOT)), 0)], flags=["python-brace-format"])
    return made


def template() -> bytes:
    """What a translation is begun from."""
    out = io.BytesIO()
    write_po(out, catalogue(), width=0, omit_header=True, include_lineno=False)
    head = "".join(f"# {row}\n" for row in HEAD.splitlines())
    return head.encode() + b"\n" + out.getvalue()


def list_of_texts() -> str:
    """The texts alone."""
    lines = [f"All that pacer says, by room and module. Renew this list with: {HOW}"]
    room = None
    for path in modules():
        said = texts(path)
        if not said:
            continue
        if path.parent != room:
            room = path.parent
            lines += ["", "", f"== {room.relative_to(ROOT)}"]
        lines += ["", f"-- {path.stem}"]
        lines += [" | ".join(each) if isinstance(each, tuple) else each for each in said]
    return "\n".join(line.replace("\n", "\n  ") if line.strip() else line for line in lines) + "\n"


if __name__ == "__main__":
    TEMPLATE.parent.mkdir(exist_ok=True)
    TEMPLATE.write_bytes(template())
    LIST.write_text(list_of_texts(), encoding="utf-8")
