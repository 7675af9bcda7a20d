"""The texts of the program, as gettext's tools see them: found in the code, kept in a ``.po``.

Babel does the work; what is ours is where texts stand: in the first argument of ``say`` and
``pieces_of``, the second of ``say_in``, and the arguments of ``Text`` in the tables of findings.
"""

import ast
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import IO, Any

from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po
from babel.plural import to_gettext

from tapscore.wording.text import faults
from tapscore.wording.translations import OWN_NAME

PACKAGE = Path(__file__).parents[2] / "tapscore"
Found = tuple[int, str, str | tuple[str, str], list[str]]
"""Line, function, message (after its context, if it has one), comments: as Babel takes them."""


class NotALiteralError(ValueError):
    """A text that is put together where it is said: nobody can translate it."""


def extract(file: IO[bytes], keywords: Any, comment_tags: Any, options: Any) -> Iterator[Found]:
    """Babel's extraction method for modules of the program."""
    tree = ast.parse(file.read(), getattr(file, "name", "a module"))
    constants: dict[str, ast.expr] = {}
    for statement in tree.body:
        if isinstance(statement, ast.Assign) and isinstance(statement.targets[0], ast.Name):
            constants[statement.targets[0].id] = statement.value
    try:
        yield from _found(tree, constants)
    except NotALiteralError as error:
        raise NotALiteralError(f"{getattr(file, 'name', '')} {error}") from None


def _found(tree: ast.Module, constants: Mapping[str, ast.expr]) -> Iterator[Found]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        match node.func.id, node.args:
            case (("say" | "pieces_of"), [text, *_]) if not _is_own(tree, node):
                yield node.lineno, "say", _literal(text, constants), []
            case "say_in", [context, text, *_] if not _is_own(tree, node):
                yield (
                    node.lineno,
                    "say_in",
                    (_literal(context, constants), _literal(text, constants)),
                    [],
                )
            case "Text", _ if _is_table(tree):
                for text in _arguments(node, constants):
                    if not (isinstance(text, ast.Constant) and text.value is None):
                        yield node.lineno, "say", _literal(text, constants), []


def _arguments(call: ast.Call, constants: Mapping[str, ast.expr]) -> Iterator[ast.expr]:
    for each in call.args:
        if isinstance(each, ast.Starred) and isinstance(each.value, ast.Name):
            several = constants[each.value.id]
            assert isinstance(several, ast.Tuple)
            yield from several.elts
        else:
            yield each
    yield from (keyword.value for keyword in call.keywords)


def _is_table(tree: ast.Module) -> bool:
    """Whether a module is a table of findings: there ``Text`` is theirs, not paper's."""
    return any(
        isinstance(node, ast.ImportFrom)
        and node.module == "tapscore.wording.text"
        and any(each.name == "Text" for each in node.names)
        for node in tree.body
    )


def _is_own(tree: ast.Module, call: ast.Call) -> bool:
    """Whether a call only passes on what it was given, where ``say`` itself is defined."""
    named = {node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}
    passing = [named[name] for name in ("say", "say_in", "pieces_of") if name in named]
    return any(call in set(ast.walk(function)) for function in passing)


def _literal(node: ast.expr, constants: Mapping[str, ast.expr]) -> str:
    match node:
        case ast.Constant(value=str(text)):
            return text
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return _literal(left, constants) + _literal(right, constants)
        case ast.Name(id=name) if name in constants:
            return _literal(constants[name], constants)
    raise NotALiteralError(f"line {node.lineno}: {ast.unparse(node)}")


def texts() -> Catalog:
    """Every text of the program, in order of files and lines, untranslated."""
    catalogue = Catalog(project="tapscore", charset="utf-8")
    for name, line, message, comments, context in _extracted():
        place = [(f"tapscore/{name}", line)]
        catalogue.add(message, None, place, auto_comments=comments, context=context)
    return catalogue


@cache
def _extracted() -> tuple[Any, ...]:
    method: Callable[..., Any] = extract
    found = extract_from_dir(
        PACKAGE,
        [("**.py", method)],  # type: ignore[list-item]
        keywords={"say": None, "say_in": ((1, "c"), 2)},
    )
    return tuple(found)


def plural_forms(code: str) -> tuple[int, str]:
    """How many forms a language has for numbers, and which goes with ``n``, in C.

    By CLDR, whose *other* is last: what a fraction takes.
    """
    said = to_gettext(Locale.parse(code).plural_form)
    count, _, rule = said.partition("; plural=")
    # gettext knows whole numbers, nothing of "1.2 million" (e, c)
    rule = re.sub(r"\b[ec]\b", "0", rule.strip().removesuffix(";"))
    return int(count.removeprefix("nplurals=")), rule


def updated(code: str, written: bytes = b"") -> bytes:
    """A ``.po`` with every text of today; what was translated before stays, near texts fuzzy."""
    locale = Locale.parse(code)
    catalogue = Catalog(locale=locale, project="tapscore", charset="utf-8")
    if written:
        catalogue = read_po(BytesIO(written), locale=locale)
    catalogue.header_comment = f"# {locale.english_name}: what tapscore says."
    catalogue.fuzzy = False
    # what Babel has of its own for most languages is not CLDR's
    vars(catalogue).update(zip(("_num_plurals", "_plural_expr"), plural_forms(code), strict=True))
    catalogue.update(texts())
    out = BytesIO()
    write_po(out, catalogue, width=96, include_lineno=False)
    called = OWN_NAME.search(written.decode("utf-8", "replace"))
    name = called[1] if called else locale.get_display_name() or code
    head = f'"X-Language-Name: {name}\\n"\n"Plural-Forms:'
    return out.getvalue().decode().replace('"Plural-Forms:', head, 1).encode()


def slips(written: bytes) -> Iterator[str]:
    """Translations whose holes don't fit, for the translator."""
    catalogue = read_po(BytesIO(written))
    for message in catalogue:
        if message.id and message.string and not message.fuzzy:
            for fault in faults(str(message.id), str(message.string), catalogue.num_plurals):
                yield f"{message.id}\n    {message.string}\n    {fault}"


def main(codes: Sequence[str]) -> int:
    """Make or update catalogues, and say what is left to translate in each."""
    wrong = 0
    for code in codes:
        path = PACKAGE.parent / "resources" / "languages" / f"{code}.po"
        written = updated(code, path.read_bytes() if path.is_file() else b"")
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(written)
        catalogue = read_po(BytesIO(written))
        every = [message for message in catalogue if message.id]
        done = sum(bool(message.string) and not message.fuzzy for message in every)
        print(f"{path.name}: {done} of {len(every)} texts are translated")
        for slip in slips(written):
            wrong = 1
            print(slip)
    return wrong


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
