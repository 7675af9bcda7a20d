"""Small faults to put into a module, one at a time.

Most are cosmic-ray's (numbers off by one, comparisons, and/or, not, loops left out, plus and minus
...); the rest are of the kind that a hand puts in and that matter here: the nearest for the
farthest, west for east, the first for the last, two arguments changed round, a step left out.
Faults that no test could miss are not made: bits of type annotations, decorators, operators
that numbers do not know, two numbers of ``min`` changed round.
"""

import ast
import importlib
import io
import tokenize
from collections.abc import Iterator
from typing import Any

from attrs import frozen

_OPERATORS = (
    *("core/AddNot", "core/ReplaceTrueWithFalse", "core/ReplaceFalseWithTrue"),
    *("core/ReplaceAndWithOr", "core/ReplaceOrWithAnd", "core/ReplaceBreakWithContinue"),
    *("core/ReplaceContinueWithBreak", "core/NumberReplacer", "core/ZeroIterationForLoop"),
    *("core/ReplaceUnaryOperator_Delete_Not", "core/ReplaceUnaryOperator_Delete_USub"),
    *(
        f"core/ReplaceBinaryOperator_{one}_{two}"
        for one, two in (
            *(("Add", "Sub"), ("Sub", "Add"), ("Mul", "Div"), ("Div", "Mul")),
            *(("FloorDiv", "Mul"), ("Mod", "FloorDiv"), ("Div", "FloorDiv")),
        )
    ),
    *(
        f"core/ReplaceComparisonOperator_{one}_{two}"
        for one, two in (
            *(("Eq", "NotEq"), ("NotEq", "Eq"), ("Lt", "LtE"), ("LtE", "Lt"), ("Gt", "GtE")),
            *(("GtE", "Gt"), ("Lt", "Gt"), ("Gt", "Lt"), ("Is", "IsNot"), ("IsNot", "Is")),
        )
    ),
)
_PAIRS = (
    *(("min", "max"), ("any", "all"), ("floor", "ceil"), ("x", "y"), ("first", "last")),
    *(
        ("start", "end"),
        ("begin", "end"),
        ("before", "after"),
        ("left", "right"),
        ("top", "bottom"),
    ),
    *(("width", "height"), ("across", "along"), ("low", "high"), ("above", "below")),
    *(("west", "east"), ("north", "south"), ("x_mm", "y_mm"), ("width_mm", "height_mm")),
    *(("begin_sec", "end_sec"), ("quiet", "loud"), ("leave", "enter"), ("head", "feet")),
    *(("prop_in", "prop_out"), ("append", "extend"), ("union", "intersection")),
    *(("startswith", "endswith"), ("lstrip", "rstrip"), ("sin", "cos"), ("up", "down")),
)
_OTHER = {one: two for pair in _PAIRS for one, two in (pair, pair[::-1])}


@frozen
class Fault:
    """One fault in one module."""

    what: str
    line: int
    text: str
    """The module's whole text with the fault in it."""


@frozen
class Place:
    """Where a fault could be made; ``number`` counts among those of its operator."""

    operator: str
    number: int


def places(source: str) -> list[Place]:
    """Every fault that could be put into a module."""
    found = [Place("own", number) for number in range(len(_own(source)))]
    trees, plugins = _tools()
    nodes = list(trees.ast_nodes(trees.get_ast(source)))
    for name in _OPERATORS:
        operator = plugins.get_operator(name)()
        count = sum(1 for node in nodes for _ in operator.mutation_positions(node))
        found += [Place(name, number) for number in range(count)]
    return found


def fault(source: str, place: Place) -> Fault | None:
    """The fault at a place; None if the text would be no Python."""
    if place.operator == "own":
        made = _own(source)[place.number]
    else:
        _, plugins = _tools()
        mutating = importlib.import_module("cosmic_ray.mutating")
        text = mutating.mutate_code(source, plugins.get_operator(place.operator)(), place.number)
        if text is None:
            return None
        made = Fault(place.operator.removeprefix("core/"), _first_changed(source, text), text)
    try:
        now = ast.parse(made.text)
    except SyntaxError:
        return None
    was = ast.parse(source)
    if made.line in _left_out(was):
        return None
    if "BinaryOperator" in place.operator and _sums(now) == _sums(was):
        return None  # the star that ends a function's positional arguments
    return None if ast.dump(now) == ast.dump(was) else made


def _left_out(tree: ast.Module) -> set[int]:
    """Lines of a rule's examples, which are its tests, and of decorators: how much is kept."""
    names = {"good", "bad", "more_good", "more_bad"}
    nodes: list[ast.keyword | ast.expr] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.keyword) and node.arg in names:
            nodes.append(node)
        elif isinstance(node, ast.FunctionDef | ast.ClassDef):
            nodes += node.decorator_list
    return {
        line for node in nodes for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)
    }


def _sums(tree: ast.Module) -> list[str]:
    return [type(node.op).__name__ for node in ast.walk(tree) if isinstance(node, ast.BinOp)]


def _tools() -> tuple[Any, Any]:
    """From the extra ``mutation``, which CI does not install."""
    return importlib.import_module("cosmic_ray.ast"), importlib.import_module("cosmic_ray.plugins")


def _first_changed(one: str, two: str) -> int:
    pairs = zip(one.splitlines(), two.splitlines(), strict=False)
    return next((number for number, (a, b) in enumerate(pairs, 1) if a != b), 1)


def _own(source: str) -> list[Fault]:
    tree = ast.parse(source)
    names = {
        token.string
        for token in tokenize.generate_tokens(io.StringIO(source).readline)
        if token.type == tokenize.NAME
    }
    return [
        Fault(what, node.lineno, _with(source, node, new))
        for node, what, new in _changes(tree, names | {"min", "max", "any", "all"})
    ]


_Change = tuple[ast.expr | ast.stmt, str, str]


def _changes(tree: ast.Module, names: set[str]) -> Iterator[_Change]:
    for node in ast.walk(tree):
        match node:
            case ast.Name(id=name) if name in _OTHER and _OTHER[name] in names:
                if isinstance(node.ctx, ast.Load):
                    yield node, f"{name} -> {_OTHER[name]}", _OTHER[name]
            case ast.Attribute(value=value, attr=name) if name in _OTHER and _OTHER[name] in names:
                if isinstance(node.ctx, ast.Load):
                    yield (
                        node,
                        f".{name} -> .{_OTHER[name]}",
                        f"{ast.unparse(value)}.{_OTHER[name]}",
                    )
            case ast.Constant(value=str(said)) if said in _OTHER:
                yield node, f'"{said}" -> "{_OTHER[said]}"', repr(_OTHER[said])
            case ast.Subscript(value=value, slice=ast.Constant(value=0)):
                yield node, "[0] -> [-1]", f"{ast.unparse(value)}[-1]"
            case ast.Subscript(value=value, slice=ast.UnaryOp(operand=ast.Constant(value=1))):
                yield node, "[-1] -> [0]", f"{ast.unparse(value)}[0]"
            case ast.Call(func=func, args=[ast.Name() | ast.Attribute() as one, two, *rest]) if (
                isinstance(two, ast.Name | ast.Attribute)
                and not isinstance(one, ast.Starred)
                and not _either_way(node)
            ):
                swapped = ast.Call(func, [two, one, *rest], node.keywords)
                yield node, "two arguments changed round", ast.unparse(swapped)
            case ast.Expr(value=ast.Call() | ast.Yield()):
                yield node, "a step left out", "pass"
            case _:
                pass


def _either_way(call: ast.Call) -> bool:
    """Whether a call gives the same whichever argument is first."""
    plain = isinstance(call.func, ast.Name) and call.func.id in ("min", "max", "hypot")
    return plain and not call.keywords


def _with(source: str, node: ast.expr | ast.stmt, new: str) -> str:
    """The text with another piece in a node's place (offsets of ``ast`` count bytes)."""
    assert node.end_lineno is not None
    assert node.end_col_offset is not None
    data = source.encode()
    starts = [0]
    for line in data.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    begin = starts[node.lineno - 1] + node.col_offset
    end = starts[node.end_lineno - 1] + node.end_col_offset
    return (data[:begin] + new.encode() + data[end:]).decode()
