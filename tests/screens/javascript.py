"""Python's functions in JavaScript: the little of Python that a layout needs, and an error at anything else.

It reads modules and does not run them. What is local becomes a letter: the page counts every byte.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import product
from pathlib import Path
from string import ascii_lowercase
from typing import Any, NamedTuple

ROOT = Path(__file__).parents[2]
RENAMED = {
    ("pacer.show.measure.poolrows", "rows_of"): "bandRows",
    ("pacer.face.clock.diallayout", "_sized"): "sizedChip",
}
GIVEN = {"measure": "measure"}  #: what the page has of its own
BINARY = {ast.Add: ("+", 12), ast.Sub: ("-", 12), ast.Mult: ("*", 13), ast.Div: ("/", 13)}
COMPARED = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "===", ast.NotEq: "!=="}
COMPARED |= {ast.Is: "===", ast.IsNot: "!=="}
MATHS = {"abs": "abs", "cos": "cos", "sin": "sin", "tan": "tan", "round": "round", "int": "floor"}
METHODS = {"endswith": "endsWith", "append": "push"}
Text = tuple[str, int]  #: JavaScript, and how strongly it holds together: 20 needs no brackets


class Module(NamedTuple):
    """A module's names: what it defines, and what it has from where."""

    name: str
    defined: dict[str, ast.AST]
    imported: dict[str, tuple[str, str]]


@cache
def module(name: str) -> Module:
    """The module, read and not run."""
    defined: dict[str, ast.AST] = {}
    imported = {}
    for node in ast.parse((ROOT / (name.replace(".", "/") + ".py")).read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            defined[node.name] = node
        elif isinstance(node, ast.Assign):
            target = node.targets[0]
            names = target.elts if isinstance(target, ast.Tuple) else [target]
            values = node.value.elts if isinstance(target, ast.Tuple) else [node.value]
            defined |= {each.id: value for each, value in zip(names, values) if isinstance(each, ast.Name)}
        elif isinstance(node, ast.ImportFrom):
            imported |= {each.asname or each.name: (node.module, each.name) for each in node.names}
    return Module(name, defined, imported)


def found(where: str, name: str) -> tuple[str, ast.AST | None]:
    """The module that defines a name, and its definition; None where that is not one of pacer's."""
    here = module(where)
    if name in here.defined:
        return where, here.defined[name]
    source, known_as = here.imported.get(name, ("", name))
    return found(source, known_as) if source.startswith("pacer.") else (source, None)


def camel(name: str) -> str:
    """`_deck_width` as `deckWidth`."""
    name = name.strip("_") or "_"
    return name if name.isupper() else re.sub("_(.)", lambda letter: letter[1].upper(), name)


def called(where: str, name: str) -> str:
    """What a function or class is called on the page."""
    return RENAMED.get((where, name), camel(name) + "_" * name.startswith("_"))  # no local name ends like that


def fields_of(node: ast.ClassDef) -> list[tuple[str, ast.expr | None]]:
    """The fields of a named tuple or a dataclass, with their defaults."""
    return [(each.target.id, each.value) for each in node.body
            if isinstance(each, ast.AnnAssign) and isinstance(each.target, ast.Name)]  # fmt: skip


class Writer:
    """Writes what one module defines. `written`: by module, what of them the page has."""

    def __init__(self, where: str, written: Mapping[str, Sequence[str]]):
        self.where, self.written = where, written
        self.locals: dict[str, str] = {}  #: what is theirs on the page, where every byte is loaded: a letter
        self.lists: set[str] = set()  #: of them, those that hold a list: an empty one is no truth here, and one there

    def constant(self, name: str) -> str:
        """A number, texts, or a pattern."""
        where, node = found(self.where, name)
        there = Writer(where, self.written)
        match node:
            case ast.Call(func=ast.Name("frozenset"), args=[ast.Set(elts=texts)]):
                return there.text(ast.List(texts))
            case ast.Call(func=ast.Attribute(attr="compile"), args=[ast.Constant(value=pattern)]):
                return f"/{str(pattern).replace(' ', chr(92) + 'x20')}/"
            case ast.BinOp():
                named = {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}
                return str(round(eval(ast.unparse(node), {each: float(there.constant(each)) for each in named}), 6))
        assert node is not None, f"{where}: {name} is not known"
        return there.text(node)

    # -- values ------------------------------------------------------------------------------------------

    def text(self, node: ast.AST, least: int = 0) -> str:
        """An expression, in brackets if it holds together less than that."""
        made, holds = self.value(node)
        return made if holds >= least else f"({made})"

    def value(self, node: ast.AST) -> Text:
        """An expression."""
        return getattr(self, f"_{type(node).__name__.lower()}")(node)

    def _constant(self, node: ast.Constant) -> Text:
        is_whole = isinstance(node.value, float) and node.value.is_integer()
        return json.dumps(int(node.value) if is_whole else node.value, ensure_ascii=False), 20

    def _name(self, node: ast.Name) -> Text:
        name = node.id
        if name == "self":
            return "this", 20
        if name in self.locals:
            return self.locals[name], 20
        if name in GIVEN:
            return GIVEN[name], 20
        where, defined = found(self.where, name)
        if name == "pi":
            return "Math.PI", 20
        assert defined is not None, f"{self.where}: {name} is not known here"
        if isinstance(defined, ast.FunctionDef | ast.ClassDef):
            assert name in self.written.get(where, ()), f"{self.where}: {name} is not written"
            return called(where, name), 20
        is_number = isinstance(defined, ast.Constant | ast.BinOp)
        return (self.constant(name) if is_number else camel(name)), 20

    def _attribute(self, node: ast.Attribute) -> Text:
        return f"{self.text(node.value, 18)}.{camel(node.attr)}", 19

    def _binop(self, node: ast.BinOp) -> Text:
        if isinstance(node.op, ast.FloorDiv):
            return f"Math.floor({self.text(node.left, 13)} / {self.text(node.right, 14)})", 19
        if isinstance(node.op, ast.Pow):
            return f"{self.text(node.left, 16)} ** {self.text(node.right, 14)}", 14
        if isinstance(node.op, ast.Mod):  # never below 0, as in Python
            return f"mod({self.text(node.left, 2)}, {self.text(node.right, 2)})", 19
        sign, holds = BINARY[type(node.op)]
        return f"{self.text(node.left, holds)} {sign} {self.text(node.right, holds + 1)}", holds

    def _unaryop(self, node: ast.UnaryOp) -> Text:
        if isinstance(node.op, ast.Not):
            return f"!{self.truth(node.operand, 15)}", 15
        return f"-{self.text(node.operand, 16)}", 15

    def _boolop(self, node: ast.BoolOp) -> Text:
        sign, holds = ("||", 4) if isinstance(node.op, ast.Or) else ("&&", 5)
        return f" {sign} ".join(self.truth(each, holds + 1) for each in node.values), holds

    def truth(self, node: ast.AST, least: int = 0) -> str:
        """An expression that is asked whether it is true."""
        is_list = isinstance(node, ast.Name) and node.id in self.lists
        return self.text(node, least) + (".length" if is_list else "")

    def _compare(self, node: ast.Compare) -> Text:
        pairs, left = [], node.left
        for op, right in zip(node.ops, node.comparators):
            if isinstance(op, ast.In | ast.NotIn):
                made = self._is_in(left, right)
                pairs.append(f"!{made}" if isinstance(op, ast.NotIn) else made)
            else:
                pairs.append(f"{self.text(left, 11)} {COMPARED[type(op)]} {self.text(right, 11)}")
            left = right
        return (pairs[0], 9) if len(pairs) == 1 else (" && ".join(pairs), 5)

    def _is_in(self, one: ast.AST, held: ast.AST) -> str:
        """In a row of texts that is written here, or a key of a dict."""
        constant = isinstance(held, ast.Name) and held.id not in self.locals
        if isinstance(held, ast.Tuple) or constant:
            return f"{self.text(held, 18)}.includes({self.text(one)})"
        return f"({self.text(one, 11)} in {self.text(held, 11)})"

    def _ifexp(self, node: ast.IfExp) -> Text:
        return f"{self.truth(node.test, 4)} ? {self.text(node.body, 3)} : {self.text(node.orelse, 3)}", 3

    def _tuple(self, node: ast.Tuple | ast.List) -> Text:
        return f"[{', '.join(self.text(each) for each in node.elts)}]", 20

    _list = _tuple

    def _starred(self, node: ast.Starred) -> Text:
        return f"...{self.text(node.value, 3)}", 20

    def _dict(self, node: ast.Dict) -> Text:
        assert not node.keys
        return "{}", 20

    def _subscript(self, node: ast.Subscript) -> Text:
        held, at = self.text(node.value, 18), node.slice
        if isinstance(at, ast.Slice):
            if at.step is not None:
                return f"{held}.slice().reverse()", 19
            edges = [self.text(at.lower or ast.Constant(0)), *([self.text(at.upper)] if at.upper else [])]
            return f"{held}.slice({', '.join(edges)})", 19
        if isinstance(at, ast.UnaryOp):
            return f"{held}[{held}.length - {self.text(at.operand)}]", 19
        return f"{held}[{self.text(at)}]", 19

    def _joinedstr(self, node: ast.JoinedStr) -> Text:
        pieces = []
        for each in node.values:
            if isinstance(each, ast.FormattedValue):
                pieces.append(f"two({self.text(each.value)})" if each.format_spec else self.text(each.value, 13))
            else:
                pieces.append(self.text(each))
        return " + ".join(pieces if isinstance(node.values[0], ast.Constant) else ['""', *pieces]), 12

    def _lambda(self, node: ast.Lambda) -> Text:
        return self._arrow([each.arg for each in node.args.args], node.body), 2

    def _arrow(self, names: list[str], body: ast.AST) -> str:
        before = self._with(names)
        made, given = self.text(body, 2), [self.locals[name] for name in names]
        self.locals = before
        return f"({', '.join(given)}) => {made}" if len(given) != 1 else f"{given[0]} => {made}"

    def _with(self, names: list[str]) -> dict[str, str]:
        """Give more local names their letters; the names without them."""
        before, letters = dict(self.locals), [*ascii_lowercase, *map("".join, product(ascii_lowercase, repeat=2))]
        taken = {*before.values(), "do", "if", "in"}
        free = (letter for letter in letters if letter not in taken)
        self.locals |= {name: next(free) for name in names}
        return before

    # -- for each ----------------------------------------------------------------------------------------

    def _listcomp(self, node: ast.ListComp | ast.GeneratorExp) -> Text:
        return self._each(node, node.elt), 19

    _generatorexp = _listcomp

    def _dictcomp(self, node: ast.DictComp) -> Text:
        return f"dict({self._each(node, ast.Tuple([node.key, node.value]))})", 19

    def _each(self, node: Any, made: ast.AST, does: str = "map") -> str:
        (one,) = node.generators
        names = [each.id for each in (one.target.elts if isinstance(one.target, ast.Tuple) else [one.target])]
        over = self.text(one.iter, 18)
        if isinstance(one.iter, ast.Name) and one.iter.id == "text":
            over = f"Array.from({over})"
        before = self._with(names)
        given = [self.locals[name] for name in names]
        head = f"([{', '.join(given)}])" if len(given) > 1 else given[0]
        for asked in one.ifs:
            over += f".filter({head} => {self.truth(asked, 2)})"
        if not (does == "map" and isinstance(made, ast.Name) and [made.id] == names):
            over += f".{does}({head} => {self.text(made, 2)})".replace("=> {})", "=> ({}))")
        self.locals = before
        return over

    # -- calls -------------------------------------------------------------------------------------------

    def _call(self, node: ast.Call) -> Text:
        args = [each for each in node.args if not (isinstance(each, ast.Name) and each.id == "measure")]
        if isinstance(node.func, ast.Attribute):
            return self._method(node, node.func, args), 19
        assert isinstance(node.func, ast.Name)
        name = node.func.id
        if name in self.locals or name == "measure":
            return f"{self.locals.get(name, name)}({', '.join(map(self.text, args))})", 19
        where, defined = found(self.where, name)
        if isinstance(defined, ast.ClassDef) and name not in self.written.get(where, ()):
            return self._record(where, defined, args, node.keywords), 20
        if name == "say" and defined is not None:
            return f"TABLET.words[{self.text(args[0])}]", 19
        if isinstance(defined, ast.FunctionDef | ast.ClassDef):
            assert name in self.written.get(where, ()), f"{self.where}: {name} is not written"
            new = "new " if isinstance(defined, ast.ClassDef) else ""
            return f"{new}{called(where, name)}({', '.join(self._in_order(defined, args, node.keywords))})", 19
        return self._built_in(name, args, node.keywords)

    def _in_order(
        self, defined: ast.FunctionDef | ast.ClassDef, args: list[ast.expr], named: list[ast.keyword]
    ) -> list[str]:
        wanted = [each.arg for each in (*defined.args.args, *defined.args.kwonlyargs) if each.arg != "measure"] \
            if isinstance(defined, ast.FunctionDef) else []  # fmt: skip
        made = [self.text(each, 2) for each in args]
        for place, value in sorted((wanted.index(str(each.arg)), self.text(each.value, 2)) for each in named):
            made += ["undefined"] * (place - len(made)) + [value]
        return made

    def _record(self, where: str, defined: ast.ClassDef, args: list[ast.expr], named: list[ast.keyword]) -> str:
        fields = fields_of(defined)
        values = {name: self.text(value, 2) for (name, _), value in zip(fields, args)}
        values |= {str(each.arg): self.text(each.value, 2) for each in named}
        values |= {
            name: Writer(where, self.written).text(other, 2) for name, other in fields if name not in values and other
        }
        return "{ " + ", ".join(
            camel(name) if camel(name) == values[name] else f"{camel(name)}: {values[name]}" for name, _ in fields
        ) + " }"  # fmt: skip

    def _method(self, node: ast.Call, func: ast.Attribute, args: list[ast.expr]) -> str:
        given = ", ".join(map(self.text, args))
        if func.attr == "_replace":
            values = ", ".join(f"{camel(str(each.arg))}: {self.text(each.value, 2)}" for each in node.keywords)
            return f"but({self.text(func.value, 2)}, {{ {values} }})"
        assert not node.keywords
        if func.attr == "join":
            return f"{self.text(args[0], 18)}.join({self.text(func.value)})"
        if func.attr == "get":
            return f"({self.text(func.value, 18)}[{self.text(args[0])}] || {self.text(args[1])})"
        if func.attr == "split" and isinstance(func.value, ast.Name) and func.value.id.isupper():
            return f"{given}.split({self.text(func.value)})"
        return f"{self.text(func.value, 18)}.{METHODS.get(func.attr, camel(func.attr))}({given})"

    def _built_in(self, name: str, args: list[ast.expr], named: list[ast.keyword]) -> Text:
        one = args[0]
        if name in ("min", "max"):
            if named:
                return f"most({self.text(one, 2)}, {self.text(named[0].value, 2)})", 19
            given = ", ".join(map(self.text, args)) if len(args) > 1 else f"...{self.text(one, 3)}"
            return f"Math.{name}({given})", 19
        if name == "str":
            return f"String({self.text(one)})", 19
        if name == "int" and len(args) == 2:
            return f"parseInt({self.text(one)}, {self.text(args[1])})", 19
        if name in MATHS:
            return f"Math.{MATHS[name]}({self.text(one)})", 19
        if name == "len":
            return f"{self.text(one, 18)}.length", 19
        if name == "sum":
            return f"{self.text(one, 18)}.reduce((sum, one) => sum + one, 0)", 19
        if name == "range":
            return f"range({self.text(ast.Constant(0) if len(args) == 1 else one)}, {self.text(args[-1])})", 19
        if name in ("any", "all"):
            assert isinstance(one, ast.GeneratorExp)
            return self._each(one, one.elt, {"any": "some", "all": "every"}[name]), 19
        if name in ("tuple", "list"):
            return self.value(one)
        if name == "next":
            return f"first({self.text(one, 2)}, {self.text(args[1], 2)})", 19
        if name == "zip":
            return f"zip({self.text(one, 2)}, {self.text(args[1], 2)})", 19
        if name == "enumerate":
            return f"{self.text(one, 18)}.map((each, place) => [place, each])", 19
        if name == "sorted" and not named:
            return f"{self.text(one, 18)}.slice().sort((a, b) => a - b)", 19
        if name == "sorted":
            (key,) = named
            assert isinstance(key.value, ast.Lambda)
            by = [f"{self._arrow([key.value.args.args[0].arg], key.value.body)}"]
            return f"{self.text(one, 18)}.slice().sort((a, b) => ({by[0]})(a) - ({by[0]})(b))", 19
        if name == "divmod":
            a, b = (self.text(each, 14) for each in args)
            return f"[Math.floor({a} / {b}), mod({a}, {b})]", 20
        raise AssertionError(f"{self.where}: {name} is not known here")

    # -- statements --------------------------------------------------------------------------------------

    def function(self, node: ast.FunctionDef, head: str) -> list[str]:
        """A function or a method; `head` is what it begins with."""
        lists = set(self.lists)
        args = [each for each in (*node.args.args, *node.args.kwonlyargs) if each.arg not in ("self", "measure")]
        others = [*node.args.defaults, *[each for each in node.args.kw_defaults if each]]
        plain = len(args) - len(others)
        names = list(dict.fromkeys((*(each.arg for each in args), *_assigned(node))))
        before = self._with(names)
        given = [self.locals[each.arg] + (f" = {self.text(others[at - plain], 2)}" if at >= plain else "")
                 for at, each in enumerate(args)]  # fmt: skip
        self.lists |= _lists(node)
        rows = [f"{head}({', '.join(given)}) {{"]
        fresh = [self.locals[name] for name in names[len(args) :]]
        rows += [f"  let {', '.join(fresh)};"] if fresh else []
        yields = any(isinstance(each, ast.Yield) for each in ast.walk(node))
        rows += ["  const yielded = [];"] if yields else []
        rows += self._block(node.body)
        rows += ["  return yielded;"] if yields else []
        self.locals, self.lists = before, lists
        return [*rows, "}"]

    def _block(self, body: list[ast.stmt]) -> list[str]:
        return [f"  {row}" for each in body for row in self._statement(each)]

    def _statement(self, node: ast.stmt) -> list[str]:
        match node:
            case ast.Assert() | ast.Expr(value=ast.Constant()):
                return []
            case ast.Expr(value=ast.Yield(value=ast.expr() as value)):
                return [f"yielded.push({self.text(value)});"]
            case ast.Expr(value=value):
                return [f"{self.text(value)};"]
            case ast.Return(value=ast.expr() as value):
                return [f"return {self.text(value)};"]
            case ast.Assign(targets=[target], value=value):
                return [f"{self.text(target)} = {self.text(value, 2)};"]
            case ast.AnnAssign(target=target, value=value):
                return [] if value is None else [f"{self.text(target)} = {self.text(value, 2)};"]
            case ast.AugAssign(target=target, op=op, value=value):
                return [f"{self.text(target)} {BINARY[type(op)][0]}= {self.text(value, 2)};"]
            case ast.Break():
                return ["break;"]
            case ast.Continue():
                return ["continue;"]
            case ast.If(test=test, body=body, orelse=orelse):
                rows = [f"if ({self.truth(test)}) {{", *self._block(body)]
                return [*rows, *(["} else {", *self._block(orelse)] if orelse else []), "}"]
            case ast.While(test=test, body=body, orelse=[]):
                return [f"while ({self.truth(test)}) {{", *self._block(body), "}"]
            case ast.For(target=target, iter=over, body=body, orelse=[]):
                return [f"for ({self.text(target)} of {self.text(over, 2)}) {{", *self._block(body), "}"]
            case ast.FunctionDef(name=name):
                rows = self.function(node, f"{self.locals[name]} = function ")
                return [*rows[:-1], "};"]
        raise AssertionError(f"{self.where}: {ast.unparse(node)}")

    def klass(self, node: ast.ClassDef) -> list[str]:
        """A class: its fields, properties and methods."""
        fields = fields_of(node)
        given = [camel(name) if value is None else f"{camel(name)} = {self.text(value, 2)}" for name, value in fields]
        kept = ", ".join(camel(name) for name, _ in fields)
        rows = [f"class {node.name} {{", f"  constructor({', '.join(given)}) {{ Object.assign(this, {{ {kept} }}); }}"]
        for each in node.body:
            if isinstance(each, ast.FunctionDef) and "classmethod" not in map(ast.unparse, each.decorator_list):
                head = "get " if each.decorator_list else ""
                rows += [f"  {row}" for row in self.function(each, f"{head}{camel(each.name)}")]
        return [*rows, "}"]


def _assigned(node: ast.FunctionDef) -> list[str]:
    """The names that a function itself gives a value to."""
    made: list[str] = []
    for each in _own(node):
        if isinstance(each, ast.FunctionDef):
            made.append(each.name)
        elif isinstance(each, ast.Assign | ast.For | ast.AnnAssign):
            targets = each.targets if isinstance(each, ast.Assign) else [each.target]
            for target in targets:
                made += [one.id for one in (target.elts if isinstance(target, ast.Tuple) else [target])
                         if isinstance(one, ast.Name)]  # fmt: skip
    return made


def _lists(node: ast.FunctionDef) -> set[str]:
    """Of them those that hold a list, by what is given to them first."""
    made = set()
    for each in _own(node):
        if isinstance(each, ast.Assign | ast.AnnAssign):
            target = each.targets[0] if isinstance(each, ast.Assign) else each.target
            if isinstance(target, ast.Name) and isinstance(each.value, ast.List | ast.ListComp):
                made.add(target.id)
    return made


def _own(node: ast.AST) -> list[ast.AST]:
    made: list[ast.AST] = []
    for each in ast.iter_child_nodes(node):
        made.append(each)
        if not isinstance(each, ast.FunctionDef | ast.Lambda):
            made += _own(each)
    return made
