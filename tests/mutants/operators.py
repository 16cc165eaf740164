"""All small changes to a module that its tests ought to notice, in the order of the source.

Left alone: texts, annotations, decorators, imports and messages of exceptions. No plain assignment
is removed either: its name would be missing, which any test notices.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass

_COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_RECKONED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
_PAIRS = (
    ("min", "max"),
    ("any", "all"),
    ("minimum", "maximum"),
    ("fmin", "fmax"),
    ("argmin", "argmax"),
    ("floor", "ceil"),
    ("sin", "cos"),
    ("zeros", "ones"),
    ("union", "intersection"),
    ("left", "right"),
)
_SWAPPED = {a: b for a, b in _PAIRS} | {b: a for a, b in _PAIRS}


@dataclass(frozen=True, kw_only=True)
class Mutant:
    """One change. `function` is the outermost function it lies in, None at a module's level."""

    number: int
    line: int
    what: str
    function: tuple[str, int] | None
    """Its qualified name and first line, that of its first decorator, as code objects have it."""


def mutants(source: str) -> list[Mutant]:
    """All mutants of a module, numbered from 0."""
    tree = ast.parse(source)
    return [
        Mutant(number=number, line=line, what=what, function=function)
        for number, (line, what, function, _) in enumerate(_changes(tree))
    ]


def mutated(source: str, number: int) -> ast.Module:
    """The module with one of them in it; line numbers stay as they are."""
    tree = ast.parse(source)
    for at, (*_, change) in enumerate(_changes(tree)):
        if at == number:
            change()
            return ast.fix_missing_locations(tree)
    raise ValueError(f"there is no mutant {number}")


_Change = tuple[int, str, tuple[str, int] | None, Callable[[], None]]


def _changes(tree: ast.Module) -> Iterator[_Change]:
    for node, put, function in _walk(tree, lambda new: None, (), None):
        for what, new in _variants(node):
            # A comprehension's condition has a place in the source, the node around it has none.
            line = next(at for one in ast.walk(node) if (at := getattr(one, "lineno", 0)))
            yield line, what, function, (lambda new=new, put=put: put(new()))


_Put = Callable[[ast.AST], None]
_Found = tuple[ast.AST, _Put, tuple[str, int] | None]


def _walk(
    node: ast.AST, put: _Put, within: tuple[str, ...], function: tuple[str, int] | None
) -> Iterator[_Found]:
    if isinstance(node, ast.JoinedStr | ast.Import | ast.ImportFrom | ast.Raise):
        if isinstance(node, ast.Raise):
            yield node, put, function
        return
    yield node, put, function
    inside = function
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        within = (*within, node.name)
    if isinstance(node, ast.FunctionDef) and function is None:
        first = min([node.lineno, *(one.lineno for one in node.decorator_list)])
        inside = (".".join(within), first)
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "type_params", "ctx"):
            continue
        here = inside if name == "body" else function
        if isinstance(value, ast.AST):
            yield from _walk(value, lambda new, n=name: setattr(node, n, new), within, here)
        elif isinstance(value, list):
            for at, one in enumerate(value):
                if isinstance(one, ast.AST):
                    yield from _walk(
                        one, lambda new, at=at, v=value: v.__setitem__(at, new), within, here
                    )


_Variant = tuple[str, Callable[[], ast.AST]]


def _variants(node: ast.AST) -> Iterator[_Variant]:
    """(what is changed, how to make it) for one node."""
    match node:
        case ast.Compare():
            for at, op in enumerate(node.ops):
                for other in _COMPARED[type(op)]:
                    ops = [*node.ops[:at], other(), *node.ops[at + 1 :]]
                    yield _said(
                        node, ast.Compare(left=node.left, ops=ops, comparators=node.comparators)
                    )
        case ast.BinOp() if type(node.op) in _RECKONED:
            op = _RECKONED[type(node.op)]()
            yield _said(node, ast.BinOp(left=node.left, op=op, right=node.right))
        case ast.AugAssign():
            if type(node.op) in _RECKONED:
                op = _RECKONED[type(node.op)]()
                yield _said(node, ast.AugAssign(target=node.target, op=op, value=node.value))
            yield _said(node, ast.Pass())
        case ast.BoolOp():
            turned = ast.Or() if isinstance(node.op, ast.And) else ast.And()
            yield _said(node, ast.BoolOp(op=turned, values=node.values))
            for at in range(len(node.values)):
                left = [*node.values[:at], *node.values[at + 1 :]]
                yield _said(
                    node, left[0] if len(left) == 1 else ast.BoolOp(op=node.op, values=left)
                )
        case ast.UnaryOp():
            yield _said(node, node.operand)
        case ast.Constant(value=bool()):
            yield _said(node, ast.Constant(value=not node.value))
        case ast.Constant(value=int() | float()):
            if node.value in (0, 1):
                yield _said(node, ast.Constant(value=type(node.value)(1 - node.value)))
            more = node.value + 1 if isinstance(node.value, int) else node.value * 1.1
            if node.value:
                yield _said(node, ast.Constant(value=more))
                yield _said(node, ast.UnaryOp(op=ast.USub(), operand=node))
        case ast.Call(func=ast.Name(id="abs"), args=[one]):
            yield _said(node, one)
        case ast.Call(func=ast.Name(id=name)) if name in _SWAPPED:
            func = ast.Name(id=_SWAPPED[name], ctx=ast.Load())
            yield _said(node, ast.Call(func=func, args=node.args, keywords=node.keywords))
        case ast.Call(func=ast.Attribute(attr=name) as was) if name in _SWAPPED:
            func = ast.Attribute(value=was.value, attr=_SWAPPED[name], ctx=ast.Load())
            yield _said(node, ast.Call(func=func, args=node.args, keywords=node.keywords))
        case ast.Return(value=ast.expr() as value) if not _is_none(value):
            yield _said(node, ast.Return(value=ast.Constant(value=None)))
        case ast.Slice():
            if node.lower is not None:
                yield _said(node, ast.Slice(lower=None, upper=node.upper, step=node.step))
            if node.upper is not None:
                yield _said(node, ast.Slice(lower=node.lower, upper=None, step=node.step))
        case ast.IfExp():
            yield _said(node, ast.IfExp(test=node.test, body=node.orelse, orelse=node.body))
        case ast.If():
            if not _is_type_checking(node.test):
                yield _negated(node)
                if not node.orelse:
                    yield f"removed: if {ast.unparse(node.test)}", ast.Pass
        case ast.While():
            yield _negated(node)
        case ast.comprehension():
            for at in range(len(node.ifs)):
                ifs = [*node.ifs[:at], *node.ifs[at + 1 :]]
                yield (
                    f"removed: … if {ast.unparse(node.ifs[at])}",
                    lambda ifs=ifs: ast.comprehension(
                        target=node.target, iter=node.iter, ifs=ifs, is_async=0
                    ),
                )
        case ast.Expr(value=ast.Constant()):
            return
        case ast.Expr() | ast.Raise() | ast.Continue() | ast.Break():
            yield _said(node, ast.Pass())


def _said(old: ast.AST, new: ast.AST) -> _Variant:
    before, after = ast.unparse(old), ast.unparse(new)
    return f"{before[:90]} → {after[:90]}", lambda: new


def _negated(node: ast.If | ast.While) -> _Variant:
    test = ast.UnaryOp(op=ast.Not(), operand=node.test)
    new = type(node)(test=test, body=node.body, orelse=node.orelse)
    return f"if {ast.unparse(node.test)[:90]} → if not …", lambda: new


def _is_none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _is_type_checking(node: ast.expr) -> bool:
    return isinstance(node, ast.Name) and node.id == "TYPE_CHECKING"
