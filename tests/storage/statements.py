"""Every statement that stands in the storage, put together from its source without being run."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import buildsheet.storage

ASKING = frozenset({"rows", "row", "one", "run", "insert"})
"""Members of a section that take a statement."""


@dataclass(frozen=True, slots=True)
class Statement:
    """One statement: the function that it stands in, as ``file.function``, and its whole text, in which
    a choice between texts counts as both of them, one after the other."""

    place: str
    sql: str


def statements() -> Iterator[Statement]:
    """Every one, by file and line; raises ValueError for one that cannot be read off the source."""
    for path in sorted(Path(buildsheet.storage.__path__[0]).glob("*.py")):
        if path.stem == "database":
            continue  # the sections themselves
        module = ast.parse(path.read_text(encoding="utf-8"))
        texts = _named(module.body, {})
        for part in module.body:
            for function in ast.walk(part):
                if isinstance(function, ast.FunctionDef):
                    place = f"{path.stem}.{function.name}"
                    yield from _of_function(function, _named(ast.walk(function), texts), place)


def _of_function(
    function: ast.FunctionDef, texts: Mapping[str, str], place: str
) -> Iterator[Statement]:
    for call in ast.walk(function):
        if (
            isinstance(call, ast.Call)
            and isinstance(call.func, ast.Attribute)
            and call.func.attr in ASKING
            and isinstance(call.func.value, ast.Name)
            and call.func.value.id in ("section", "here", "copied")
        ):
            sql = _text(call.args[0], texts, place)
            if call.func.attr == "insert":
                then = _text(call.args[2], texts, place) if len(call.args) > 2 else ""
                rows = [each.value for each in call.keywords if each.arg == "row"]
                row = _text(rows[0], texts, place) if rows else "(?)"
                sql = f"{sql} {row} {then}"
            yield Statement(place, " ".join(sql.split()))


def _named(body: Iterable[ast.AST], known: Mapping[str, str]) -> dict[str, str]:
    """Names that stand for texts: of the module, and in a function for its own as well."""
    texts = dict(known)
    for each in body:
        target: ast.expr | None = each.target if isinstance(each, ast.AnnAssign) else None
        if isinstance(each, ast.Assign):
            target = each.targets[0]
        if isinstance(target, ast.Name) and isinstance(each, ast.Assign | ast.AnnAssign):
            try:
                texts[target.id] = _text(each.value, texts, target.id)
            except ValueError:
                continue
    return texts


def _text(node: ast.expr | None, texts: Mapping[str, str], place: str) -> str:
    match node:
        case ast.Constant(value=str(said)):
            return said
        case ast.Name(id=name) if name in texts:
            return texts[name]
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return _text(left, texts, place) + _text(right, texts, place)
        case ast.IfExp(body=one, orelse=other):
            return f"{_text(one, texts, place)} {_text(other, texts, place)}"
        case ast.JoinedStr(values=parts):
            return "".join(_text(each, texts, place) for each in parts)
        case ast.FormattedValue(value=inside):
            return _inside(inside, texts, place)
        case ast.Call(func=ast.Attribute(value=inside, attr="format"), keywords=words):
            filled = {each.arg: _text(each.value, texts, place) for each in words if each.arg}
            return _text(inside, texts, place).format(**filled)
        case ast.Call(func=ast.Attribute(value=ast.Constant(value=str()), attr="join")):
            return "?"
    raise ValueError(f"{place}: {ast.dump(node) if node else node} is not said in the source")


def _inside(node: ast.expr, texts: Mapping[str, str], place: str) -> str:
    """What is set into a text: marks, another text, or the name of a table."""
    try:
        return _text(node, texts, place)
    except ValueError:
        if isinstance(node, ast.Name) and node.id in ("table", "name"):
            return "some_table"
        raise
