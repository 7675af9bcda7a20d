"""A made-up language: English with accents, a third longer, in brackets at both ends.

What is shown without brackets did not go through the catalogue; what has only one of them is
cut off.  The catalogue is made from every text in the code, as one for translators is.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import polib

from tapscore.wording.text import Hole, parts_of

PACKAGE = Path(__file__).parents[3] / "tapscore"
CODE = "en_XA"
"""The private code that CLDR has for English with accents."""
OPENS, CLOSES = "«", "»"
LONGER = 0.35
_ACCENTS = str.maketrans("aeiouycnszAEIOUYCNSZ", "áéíóúýçñšžÁÉÍÓÚÝÇÑŠŽ")
_VOWELS = "aeiouyAEIOUY"


def pseudo(text: str) -> str:
    """A text of the program in the made-up language; its holes and marks stay."""
    bare = text.strip()
    if not bare:
        return text
    start = text.index(bare)
    inside = _longer(bare)
    return f"{text[:start]}{OPENS}{inside}{CLOSES}{text[start + len(bare) :]}"


def _longer(text: str) -> str:
    try:
        parts = parts_of(text)
    except ValueError:
        parts = (text,)
    return "".join(_hole(part) if isinstance(part, Hole) else _words(part) for part in parts)


def _hole(hole: Hole) -> str:
    if not hole.forms:
        return f"{{{hole.name}:{hole.how}}}" if hole.how else f"{{{hole.name}}}"
    forms = []
    for form in hole.forms:
        if hole.named:
            key, _, words = form.partition("=")
            forms.append(f"{key}={_longer(words)}")
        else:
            forms.append(_longer(form))
    return f"{{{hole.name}:{'|'.join(forms)}}}"


def _words(words: str) -> str:
    """Longer and with accents; tags, key letters after ``&`` and what stands in ` as it is."""
    said, owed, keep = "", 0.0, ""
    for index, letter in enumerate(words):
        before = words[index - 1] if index else ""
        if keep:
            keep = "" if letter == keep else keep
            said += letter
        elif letter in "<`":
            keep = {"<": ">", "`": "`"}[letter]
            said += letter
        elif before == "&" or not letter.isalpha():
            said += letter
        else:
            owed += LONGER
            said += letter.translate(_ACCENTS)
            if owed >= 1 and letter in _VOWELS:
                said += letter.translate(_ACCENTS).lower()
                owed -= 1
    return said


def texts() -> Iterator[tuple[str | None, str]]:
    """Every text in the code, with its context."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                written = [
                    each.value
                    for each in (*node.args, *(key.value for key in node.keywords))
                    if isinstance(each, ast.Constant) and isinstance(each.value, str)
                ]
                if name in ("say", "pieces_of") and written:
                    yield None, written[0]
                elif name == "say_in" and len(written) > 1:
                    yield written[0], written[1]
                elif name == "Text":
                    yield from ((None, each) for each in written)


def write_catalogue(folder: Path) -> Path:
    """Write the language's catalogue into a folder; its path."""
    catalogue = polib.POFile()
    catalogue.metadata = {
        "Content-Type": "text/plain; charset=UTF-8",
        "X-Language-Name": pseudo("Accented English"),
        "Plural-Forms": "nplurals=2; plural=(n != 1);",
    }
    for context, english in sorted(set(texts()), key=lambda each: (each[0] or "", each[1])):
        if english.strip():
            entry = polib.POEntry(msgctxt=context, msgid=english, msgstr=pseudo(english))
            catalogue.append(entry)
    path = folder / f"{CODE}.po"
    catalogue.save(str(path))
    return path


def environment(folder: Path) -> dict[str, str]:
    """What a process needs to speak the language, its catalogue in ``folder``."""
    return {
        "TAPSCORE_LANGUAGE": CODE,
        "TAPSCORE_LANGUAGES": str(folder),
        "XDG_CACHE_HOME": str(folder / "cache"),
        "XDG_CONFIG_HOME": str(folder / "config"),
        "XDG_DATA_HOME": str(folder / "data"),
        "XDG_STATE_HOME": str(folder / "state"),
        "PYTHONPATH": str(PACKAGE.parent),
        "PYTHONIOENCODING": "utf-8",
    }
