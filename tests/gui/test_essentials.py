"""The editor needs no more of Qt than what is installed with it; tests have a browser besides."""

import ast
from importlib.metadata import files

from tests.wording.texts import PACKAGE


def test_every_module_of_qt_comes_with_the_essentials() -> None:
    used = {
        name
        for path in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_bytes()))
        for name in _modules(node)
        if name.startswith("PySide6.")
    }
    there = {file.name.partition(".")[0] for file in files("PySide6-Essentials") or ()}
    assert len(used) > 4
    assert {name.split(".")[1] for name in used} <= there


def _modules(node: ast.AST) -> list[str]:
    if isinstance(node, ast.ImportFrom):
        module = node.module or ""
        return (
            [f"{module}.{alias.name}" for alias in node.names] if module == "PySide6" else [module]
        )
    return [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
