"""Lists every text of the app that somebody can read, by room and module, in `strings.txt` beside this file.

`python tests/show/strings.py` renews the list. A value in a text is shown in braces, a choice between two words as
`{one|other}`. Left out: docstrings, keys of dicts, names of tiles and files, patterns, SQL, options of drawing.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2] / "pacer"
LIST = Path(__file__).with_name("strings.txt")
HOW = "python tests/show/strings.py"
#: Calls whose texts nobody reads.
UNREAD_CALLS = {
    "compile", "match", "fullmatch", "search", "sub", "split", "rsplit", "partition", "rpartition", "encode",
    "decode", "getattr", "setattr", "hasattr", "get", "pop", "setdefault", "bind", "fbind", "unbind",
    "create_property", "register_event_type", "dispatch", "open", "read_text", "write_text", "execute",
    "executemany", "executescript", "strftime", "strptime", "removeprefix", "removesuffix", "startswith",
    "endswith", "Path", "joinpath", "with_suffix", "with_name", "glob", "namedtuple", "TypeVar",
    "import_module", "autoclass", "getenv", "cast", "Lark", "files", "index", "count", "find", "strip",
    "lstrip", "rstrip", "translate", "maketrans", "rgb", "color", "set_font", "getLogger", "debug", "warning",
    "critical", "exception", "press", "act", "opened", "setenv", "use", "setlocale", "Worker", "Answers",
}  # fmt: skip
#: Calls with a name as their first text, which nobody reads.
NAMED_CALLS = {"Cell", "Tile", "PageKey", "Key", "Deed"}
#: Arguments by name whose texts nobody reads.
UNREAD_ARGUMENTS = {
    "halign", "valign", "kind", "mode", "font", "font_name", "encoding", "errors", "newline", "name", "key",
    "dest", "action", "nargs", "style", "size_hint", "anchor", "orientation", "align", "pos_hint", "role",
    "shape", "group", "state", "look", "colour", "across", "up", "fill", "first", "default", "new_x", "new_y",
}  # fmt: skip
#: Words for drawing and naming, not for reading.
DRAWING = {
    "dim", "ink", "warn", "plain", "lit", "key", "main", "left", "right", "middle", "top", "bottom", "row",
    "line", "triangles", "nearest", "repeat", "rgba", "ubyte", "water", "ground", "own", "wall", "letter",
    "start", "end", "utf",
}  # fmt: skip
#: They speak SQL, JavaScript and HTTP, not to people.
UNREAD_FILES = {"schema.py", "ledger.py", "season.py", "parser.py", "screenpage.py", "webgate.py"}
_WORD = re.compile(r"[a-z][a-z'’-]*")
_NAME = re.compile(r"[a-z][a-z -]*")
_TECHNICAL = re.compile(
    r"--[a-z-]+|utf-8|[\w./*:%#+-]*[_/%#.=*][\w./*:%#+-]*|[A-Z_0-9]+|\W*|[a-z]+[A-Z]\w*|[A-Z]\w+[A-Z]\w*|%.*|<.*"
    r"|\(.*[?*].*|select .* from .*|create table .*|with \w+ as \(.*",
    re.DOTALL,
)


def field(value: ast.expr) -> str:
    """One value in a text, as a reader of the list sees it."""
    match value:
        case ast.IfExp(body=ast.Constant(value=str(one)), orelse=ast.Constant(value=str(other))):
            return f"{{{one}|{other}}}"
        case ast.Name(id=name) | ast.Attribute(attr=name) | ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)):
            return f"{{{name.strip('_')}}}"
    return "{…}"


def text_of(node: ast.JoinedStr) -> str:
    """A text with values in it, as one."""
    return "".join(
        field(part.value) if isinstance(part, ast.FormattedValue) else str(getattr(part, "value", ""))
        for part in node.values
    )


def unread(node: ast.AST) -> Iterator[ast.AST]:
    """Parts of a piece of code whose texts nobody reads."""
    match node:
        case ast.Module() | ast.ClassDef() | ast.FunctionDef() | ast.AsyncFunctionDef():
            if node.body and isinstance(node.body[0], ast.Expr):
                yield node.body[0]
            if isinstance(node, ast.FunctionDef):
                yield from (part for part in (node.returns, *node.decorator_list) if part)
        case ast.Dict(keys=keys):
            yield from (key for key in keys if isinstance(key, ast.Constant) and _NAME.fullmatch(str(key.value)))
        case ast.Subscript(slice=part):
            yield part
        case ast.Compare(left=left, comparators=others):
            yield from (left, *others)
        case ast.MatchValue():
            yield from ast.iter_child_nodes(node)
        case ast.Assert():
            yield from (part for part in (node.msg,) if part)
        case ast.arg(annotation=part) | ast.AnnAssign(annotation=part) if part:
            yield part
        case ast.Assign(targets=[ast.Name(id=name)]) if name.startswith("__"):
            yield node.value
        case ast.Call(func=ast.Name(id="say")):  # by a name in `viewtext`, where its words are
            yield from node.args
        case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)):
            yield from node.args if name in UNREAD_CALLS else node.args[:1] if name in NAMED_CALLS else ()
            yield from (each for each in node.keywords if each.arg in UNREAD_ARGUMENTS)


def texts(path: Path) -> tuple[list[str], list[str]]:
    """The texts of one module in their order, and its single words in lower case."""
    sentences: list[str] = []
    words: list[str] = []

    def keep(text: str) -> None:
        text = " ".join(text.split())
        if not re.search(r"[A-Za-z]{2}", re.sub(r"\{[^|}]*\}", "", text)) or _TECHNICAL.fullmatch(text):
            return
        into = words if _WORD.fullmatch(text) else sentences
        if text not in into and text not in DRAWING:
            into.append(text)

    def visit(node: ast.AST) -> None:
        if isinstance(node, ast.JoinedStr):
            keep(text_of(node))
            for part in node.values:
                if isinstance(part, ast.FormattedValue) and not isinstance(part.value, ast.IfExp):
                    visit(part.value)
            return
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            keep(node.value)
        skipped = list(unread(node))
        for child in ast.iter_child_nodes(node):
            if child not in skipped:
                visit(child)

    visit(ast.parse(path.read_text(encoding="utf-8")))
    return sentences, words


def catalogue() -> str:
    """The whole list."""
    lines = [f"All that pacer says, by room and module. Renew this list with: {HOW}"]
    room = None
    for path in sorted(ROOT.rglob("*.py"), key=lambda path: (path.parent, path.name)):
        sentences, words = texts(path) if path.name not in UNREAD_FILES else ([], [])
        if not sentences and not words:
            continue
        if path.parent != room:
            room = path.parent
            lines += ["", "", f"== {room.relative_to(ROOT.parent)}"]
        lines += ["", f"-- {path.stem}", *sentences]
        if words:
            lines.append(f"   words: {', '.join(words)}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    LIST.write_text(catalogue(), encoding="utf-8")
