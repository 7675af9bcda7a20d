"""The editor needs no more of Qt than what is installed with it; tests have a browser besides."""

import re
from importlib.metadata import files

from tests.wording.texts import PACKAGE

_TAKEN = re.compile(r"^\s*(?:from|import) PySide6\.(\w+)", re.M)
_TAKEN_WHOLE = re.compile(r"^\s*from PySide6 import (.+)$", re.M)


def test_every_module_of_qt_comes_with_the_essentials() -> None:
    texts = [path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py")]
    used = {name for text in texts for name in _TAKEN.findall(text)}
    used |= {name.strip() for text in texts for each in _TAKEN_WHOLE.findall(text)
             for name in each.split(",")}  # fmt: skip
    there = {file.name.partition(".")[0] for file in files("PySide6-Essentials") or ()}
    assert len(used) > 4
    assert used <= there
