"""Mutants of Python code: one small change of a module each, drawn by lot."""

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

SWAPPED: dict[type[ast.AST], list[type[ast.AST]]] = {
    ast.Lt: [ast.LtE, ast.GtE], ast.LtE: [ast.Lt, ast.Gt], ast.Gt: [ast.GtE, ast.LtE], ast.GtE: [ast.Gt, ast.Lt],
    ast.Eq: [ast.NotEq], ast.NotEq: [ast.Eq], ast.In: [ast.NotIn], ast.NotIn: [ast.In],
    ast.Is: [ast.IsNot], ast.IsNot: [ast.Is], ast.Add: [ast.Sub], ast.Sub: [ast.Add], ast.Mult: [ast.Div],
    ast.Div: [ast.Mult], ast.FloorDiv: [ast.Mult], ast.Mod: [ast.Mult], ast.Pow: [ast.Mult], ast.And: [ast.Or],
    ast.Or: [ast.And], ast.BitAnd: [ast.BitOr], ast.BitOr: [ast.BitAnd], ast.BitXor: [ast.BitOr],
    ast.Continue: [ast.Break], ast.Break: [ast.Continue],
}  # fmt: skip
"""What stands in the place of an operator or a step of a loop."""
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any", "sorted": "list"}
"""What stands in the place of a built-in function."""
FIELDS = ("op", "ops")
CONDITIONS = (ast.If, ast.IfExp, ast.While, ast.comprehension)


@dataclass(frozen=True)
class Mutant:
    """A change: its module's path in the package, its function, what stood there and what stands there, and its lines.

    `source` is the whole module with it.
    """

    module: str
    function: str
    old: str
    new: str
    first: int
    last: int
    source: Callable[[], str]

    @property
    def key(self) -> tuple[str, str, str]:
        """What names it however its lines move."""
        return self.module, self.function, f"{self.old} -> {self.new}"


def mutants(path: Path, package: Path) -> Iterator[Mutant]:
    """Every mutant of a module, in the order of its text; sentences, texts of documentation, types and imports stay."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    module = path.relative_to(package).as_posix()
    for function, owner in _owners(tree):
        for at, statement in _statements(owner):
            yield from _of_statement(tree, module, function, at, statement)


def _owners(tree: ast.Module) -> Iterator[tuple[str, ast.AST]]:
    """The module itself and each function and class in it, by its name."""
    yield "", tree

    def inside(node: ast.AST, name: str) -> Iterator[tuple[str, ast.AST]]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                yield f"{name}{child.name}", child
                yield from inside(child, f"{name}{child.name}.")
            else:
                yield from inside(child, name)

    yield from inside(tree, "")


def _statements(owner: ast.AST) -> Iterator[tuple[ast.AST, ast.AST]]:
    """Nodes of a function's own code with the node that holds each."""
    for parent in _own(owner):
        for child in _code(parent):
            yield parent, child


def _own(node: ast.AST) -> Iterator[ast.AST]:
    yield node
    for child in _code(node):
        if not isinstance(child, ast.FunctionDef | ast.ClassDef):
            yield from _own(child)


def _code(node: ast.AST) -> Iterator[ast.AST]:
    """Parts of a node that are code: no types, no decorators, no texts of documentation, no imports."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "bases", "keywords_of_class"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not _silent(child):
                yield child


def _silent(node: ast.AST) -> bool:
    documentation = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    typing = isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
    return documentation or typing or isinstance(node, ast.Import | ast.ImportFrom)


def _of_statement(tree: ast.Module, module: str, function: str, parent: ast.AST, node: ast.AST) -> Iterator[Mutant]:
    for old, new, change in _changes(parent, node):
        place = node if hasattr(node, "lineno") else parent
        first = getattr(place, "lineno", 0)
        last = getattr(place, "end_lineno", first) if isinstance(place, ast.expr) else first
        yield Mutant(module, function, old, new, first, last, _changed(tree, change))


Change = Callable[[], Callable[[], None]]
"""Makes a change in the tree and gives what takes it back."""


def _changed(tree: ast.Module, change: Change) -> Callable[[], str]:
    def source() -> str:
        undo = change()
        try:
            return ast.unparse(ast.fix_missing_locations(tree)) + "\n"
        finally:
            undo()

    return source


def _put(parent: ast.AST, node: ast.AST, other: ast.AST) -> Change:
    """Another node in the place of one."""

    def change() -> Callable[[], None]:
        for name, value in ast.iter_fields(parent):
            if value is node:
                setattr(parent, name, other)
                return lambda: setattr(parent, name, node)
            if isinstance(value, list) and any(v is node for v in value):
                at = next(n for n, v in enumerate(value) if v is node)
                value[at] = other
                return lambda: value.__setitem__(at, node)
        raise LookupError(ast.dump(node))

    return change


def _changes(parent: ast.AST, node: ast.AST) -> Iterator[tuple[str, str, Change]]:
    """Changes of one node, each with what is read there before and after."""
    whole = parent if isinstance(node, ast.operator | ast.cmpop | ast.boolop | ast.unaryop) else node
    for other in _others(parent, node):
        change = _put(parent, node, other)
        old = ast.unparse(whole)
        undo = change()
        new = ast.unparse(ast.fix_missing_locations(parent if whole is parent else other))
        undo()
        yield _short(old), _short(new), change


def _others(parent: ast.AST, node: ast.AST) -> Iterator[ast.AST]:
    """What may stand in the place of a node."""
    for kind in SWAPPED.get(type(node), ()):
        yield kind()
    if isinstance(node, ast.Constant) and not isinstance(parent, ast.FormattedValue | ast.MatchValue):
        yield from _constants(node)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield node.operand
    if isinstance(node, ast.Name) and isinstance(parent, ast.Call) and parent.func is node and node.id in NAMES:
        yield ast.Name(NAMES[node.id], ast.Load())
    if isinstance(parent, CONDITIONS) and node in (getattr(parent, "test", None), *getattr(parent, "ifs", ())):
        yield ast.UnaryOp(ast.Not(), copy.deepcopy(node))
    if isinstance(node, ast.Expr | ast.AugAssign):
        yield ast.Pass()
    if isinstance(node, ast.Return) and node.value is not None and not _nothing(node.value):
        yield ast.Return(ast.Constant(None))


def _nothing(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _constants(node: ast.Constant) -> Iterator[ast.Constant]:
    value = node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int):
        yield ast.Constant(value + 1)
    elif isinstance(value, float):
        yield ast.Constant(value * 1.25 or 1.0)
    elif isinstance(value, str) and " " not in value.strip():
        yield ast.Constant(f"{value}X")


def _short(text: str, most: int = 90) -> str:
    line = " ".join(text.split())
    return line if len(line) <= most else f"{line[: most // 2]} … {line[-most // 2 :]}"
