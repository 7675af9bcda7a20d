"""Literals in the code that look like something a person reads."""

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

PACKAGE = Path(__file__).parents[2] / "tapscore"
SAYING = {"say", "say_in", "pieces_of", "Text"}
"""What is in these calls goes through the catalogue."""
_WORDS = re.compile(
    r"[^\W\d_]{2,}[,;:.!?”)]* +[“(]?(?:[^\W\d_]|\{\})"  # two words, or a word and a value
    r"|\{\}[,;:.!?”)]* +[“(]?[^\W\d_]{2,}"
    r"|^\W*[A-Z][a-z]+\W*$"  # a heading of one word
    r"|[“”]"
)
SPOKEN = ("title", "why", "source", "mends")
"""What a rule says; its other texts are examples."""
_BUGS = {"AssertionError", "ValueError", "TypeError", "KeyError", "RuntimeError", "IndexError"}
"""Exceptions of Python's own are faults of the program: no user is meant to read them, but for
those of ``workflow/``, which windows and commands show."""
_PATTERNS = {"compile", "match", "fullmatch", "sub", "search", "findall", "finditer", "split"}


class Prose(NamedTuple):
    """A literal: where it stands, and its words (``{}`` for what an f-string puts in)."""

    line: int
    words: str


def prose_in(source: str, *, shows_faults: bool = False) -> list[Prose]:
    """Every literal of a module that looks like prose and does not go through the catalogue.

    Of a rule's module not its examples, which are story files.  ``shows_faults`` says that
    exceptions of Python's own are shown to a user, too.
    """
    tree = ast.parse(source)
    rules = [node for node in tree.body if isinstance(node, ast.Assign) and _is_rule(node)]
    looked: Iterable[ast.AST] = (tree,)
    if rules:
        functions = [node for node in tree.body if isinstance(node, ast.FunctionDef)]
        examples = {_name(each.func) for each in _calls(rules)} - {"Rule"}
        told = [each for each in functions if each.name not in examples]
        spoken = [each.value for rule in rules for each in _spoken(rule)]
        looked = (*told, *spoken)
    if shows_faults:
        looked = (*looked, *_faults(tree))
    return [
        Prose(getattr(node, "lineno", 0), words)
        for part in looked
        for node, words in _literals(part)
        if _WORDS.search(words)
    ]


def _faults(tree: ast.AST) -> Iterator[ast.expr]:
    for node in ast.walk(tree):
        match node:
            case ast.Raise(exc=ast.Call(func=called) as fault) if _name(called) in _BUGS:
                yield fault


def _is_rule(node: ast.Assign) -> bool:
    return isinstance(node.value, ast.Call) and _name(node.value.func) == "Rule"


def _spoken(rule: ast.Assign) -> Iterator[ast.keyword]:
    assert isinstance(rule.value, ast.Call)
    yield from (each for each in rule.value.keywords if each.arg in SPOKEN)


def _calls(rules: Iterable[ast.AST]) -> Iterator[ast.Call]:
    for rule in rules:
        yield from (node for node in ast.walk(rule) if isinstance(node, ast.Call))


def _literals(node: ast.AST) -> Iterator[tuple[ast.AST, str]]:
    if isinstance(node, ast.Call) and _name(node.func) in SAYING:
        for keyword in node.keywords:  # a value may be words of its own
            yield from _literals(keyword.value)
        return
    if isinstance(node, ast.JoinedStr):
        parts = (p.value if isinstance(p, ast.Constant) else "{}" for p in node.values)
        yield node, "".join(map(str, parts))
        for part in node.values:
            if isinstance(part, ast.FormattedValue):
                yield from _literals(part.value)
        return
    if isinstance(node, ast.Constant):
        if isinstance(node.value, str):
            yield node, node.value
        return
    for child in _looked_at(node):
        yield from _literals(child)


def _looked_at(node: ast.AST) -> Iterator[ast.AST]:
    """What stands in a node, but docstrings, annotations, patterns and faults of the program."""
    match node:
        case ast.Expr(value=ast.Constant()) | ast.Assert():
            return
        case ast.Raise(exc=ast.Call(func=called)) if _name(called) in _BUGS:
            return
        case ast.Call(func=ast.Attribute(attr=name, value=ast.Name(id="re"))) if name in _PATTERNS:
            return
        case ast.AnnAssign(value=value):
            if value is not None:
                yield value
            return
        case ast.FunctionDef() | ast.AsyncFunctionDef():
            yield from (each for each in node.args.defaults + node.args.kw_defaults if each)
            yield from node.body
            yield from node.decorator_list
            return
        case ast.arg():
            return
    yield from ast.iter_child_nodes(node)


def _name(node: ast.expr) -> str:
    match node:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
    return ""
