"""The faults: one small change of the syntax tree each."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass

_SWAPS: dict[type[ast.AST], tuple[type[ast.AST], ...]] = {
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
    ast.Add: (ast.Sub,),
    ast.Sub: (ast.Add,),
    ast.Mult: (ast.Div,),
    ast.Div: (ast.Mult,),
    ast.FloorDiv: (ast.Mult,),
    ast.Mod: (ast.Mult,),
    ast.Pow: (ast.Mult,),
    ast.BitAnd: (ast.BitOr,),
    ast.BitOr: (ast.BitAnd,),
    ast.And: (ast.Or,),
    ast.Or: (ast.And,),
}
_NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """A module with one fault: where, what for what, and the whole text."""

    line: int
    was: str
    now: str
    text: str


def mutants_of(source: str) -> list[Mutant]:
    """Every fault of a module, in the order of the syntax tree."""
    tree = ast.parse(source)
    left_alone = {id(inner) for node in ast.walk(tree) for part in _not_run(node) for inner in ast.walk(part)}
    found = []
    for position, node in enumerate(ast.walk(tree)):
        if id(node) not in left_alone:
            for changed in _changes(node):
                whole = _with(tree, position, changed)
                line = getattr(node, "lineno", 0)
                found.append(Mutant(line, _short(node), _short(changed), ast.unparse(whole)))
    return found


def _not_run(node: ast.AST) -> Iterator[ast.AST]:
    """Annotations, decorators and `strict=` of zip: a fault there is for the type checker, not for a test."""
    if isinstance(node, ast.AnnAssign | ast.arg) and node.annotation:
        yield node.annotation
    if isinstance(node, ast.FunctionDef):
        yield from (*node.decorator_list, *([node.returns] if node.returns else []))
    if isinstance(node, ast.ClassDef):
        yield from node.decorator_list
    if isinstance(node, ast.keyword) and node.arg == "strict":
        yield node.value


def _changes(node: ast.AST) -> Iterator[ast.AST]:
    match node:
        case ast.Compare():
            yield from _compared(node)
        case ast.BinOp(op=op) | ast.AugAssign(op=op) | ast.BoolOp(op=op):
            yield from (_copy(node, op=other()) for other in _SWAPS.get(type(op), ()))
        case ast.Constant(value=value):
            yield from (ast.Constant(other) for other in _other_values(value))
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.Return(value=ast.expr() as value) if ast.unparse(value) != "None":
            yield ast.Return(ast.Constant(None))
        case ast.Name(id=name) if name in _NAMES:
            yield ast.Name(_NAMES[name])
        case ast.If(test=test) | ast.IfExp(test=test) if _bare(test):
            yield _copy(node, test=ast.UnaryOp(ast.Not(), test))
        case ast.comprehension(ifs=[test]) if _bare(test):
            yield _copy(node, ifs=[ast.UnaryOp(ast.Not(), test)])


def _compared(node: ast.Compare) -> Iterator[ast.AST]:
    for place, op in enumerate(node.ops):
        for other in _SWAPS[type(op)]:
            yield _copy(node, ops=[*node.ops[:place], other(), *node.ops[place + 1 :]])


def _other_values(value: object) -> tuple[float, ...]:
    if isinstance(value, bool):
        return (not value,)
    return (value + 1, value - 1) if isinstance(value, int | float) else ()


def _bare(test: ast.expr) -> bool:
    """A condition that no other fault turns round."""
    return not isinstance(test, ast.Compare | ast.BoolOp | ast.UnaryOp)


def _copy(node: ast.AST, **fields: object) -> ast.AST:
    return type(node)(**{**dict(ast.iter_fields(node)), **fields})


def _with(tree: ast.Module, position: int, changed: ast.AST) -> ast.Module:
    """The tree with another node at this position of the walk."""
    copied = deepcopy(tree)
    target = next(node for place, node in enumerate(ast.walk(copied)) if place == position)

    class Put(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> ast.AST:
            return changed if node is target else super().generic_visit(node)

    Put().visit(copied)
    return ast.fix_missing_locations(copied)


def _short(node: ast.AST, most: int = 70) -> str:
    text = "if " + ast.unparse(node.test) if isinstance(node, ast.If) else ast.unparse(node)
    return text if len(text) <= most else text[: most - 3] + "..."
