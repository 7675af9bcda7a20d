"""The words of a DOCX file, taken from its XML as it streams by, with bounds on all of it.

A DOCX is a zip of XML, and both can be made to unpack without end (a "zip bomb", CWE-409; the
"billion laughs" of entities, CWE-776).  So only two of its parts are read, each up to a bound,
no tree is built, and a file with a document type of its own is refused: word processors write
none.  Paragraphs count wherever they stand, in tables and boxes, too (ECMA-376, part 1, 17).
"""

import re
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path
from xml.parsers import expat

from tapscore.wording.catalogue import say

MOST_XML_BYTES = 16_000_000
_MOST_PARTS = 10_000
_DOCUMENT = re.compile(r"word/document\d*\.xml")
_STYLES = re.compile(r"word/styles\d*\.xml")
_BLOCK = 65_536
_ODD = (LookupError, ValueError)
"""The parser's answers to an encoding that is none."""


class DocxDamaged(Exception):  # noqa: N818 - names what is the matter
    """It is no DOCX file that can be read; the message says why in plain words."""


def docx_text(path: Path, most_characters: int) -> str:
    """The text of a DOCX file, a line each paragraph, ``# `` before headings.

    Reading stops after ``most_characters`` and some.  Raises DocxDamaged, and OSError.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            if len(archive.infolist()) > _MOST_PARTS:
                raise DocxDamaged(say("it has far too many parts"))
            styles = _Styles()
            _stream(archive, _STYLES, styles.parser)
            words = _Words(styles.names, most_characters)
            if not _stream(archive, _DOCUMENT, words.parser, words):
                raise DocxDamaged(say("it holds no document"))
            return "\n".join(words.lines)
    except (zipfile.BadZipFile, zlib.error, EOFError, expat.ExpatError, *_ODD) as error:
        raise DocxDamaged(say("it is cut off or damaged")) from error
    except (RuntimeError, NotImplementedError) as error:
        raise DocxDamaged(
            say("it is locked with a password, or packed in an unusual way")
        ) from error


def _stream(
    archive: zipfile.ZipFile,
    wanted: re.Pattern[str],
    parser: expat.XMLParserType,
    words: "_Words | None" = None,
) -> bool:
    """Feed one part to a parser; False where there is none of that name."""
    part = next((each for each in archive.infolist() if wanted.fullmatch(each.filename)), None)
    if part is None:
        return False
    read = 0
    with archive.open(part) as file:
        while block := file.read(_BLOCK):
            read += len(block)
            if read > MOST_XML_BYTES:
                raise DocxDamaged(say("it unpacks to far more than a story has"))
            parser.Parse(block, False)
            if words is not None and words.full:
                return True
    parser.Parse(b"", True)
    return True


def _new_parser() -> expat.XMLParserType:
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse
    return parser


def _refuse(*_: object) -> None:
    raise DocxDamaged(say("it has a document type of its own, as no word processor writes it"))


def _local(name: str) -> str:
    return name.rpartition(" ")[2]


def _value(attributes: Mapping[str, str], name: str) -> str:
    return next((said for key, said in attributes.items() if _local(key) == name), "")


class _Styles:
    """Names of paragraph styles by their ids; the names are English in every language."""

    def __init__(self) -> None:
        self.names: dict[str, str] = {}
        self._id = ""
        self.parser = _new_parser()
        self.parser.StartElementHandler = self._start

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        if _local(name) == "style":
            self._id = _value(attributes, "styleId")
        elif _local(name) == "name" and self._id:
            self.names.setdefault(self._id, _value(attributes, "val"))


class _Words:
    """Paragraphs of a document, in order."""

    def __init__(self, styles: Mapping[str, str], most_characters: int) -> None:
        self.lines: list[str] = []
        self._styles = styles
        self._room = most_characters
        self._open: list[tuple[list[str], str]] = []
        """Text and style of each paragraph begun; one may stand in another, in a box."""
        self._in_text = 0
        self._left_out = 0
        """How deep in what is only there for older programs, and said already."""
        self.parser = _new_parser()
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._characters

    @property
    def full(self) -> bool:
        """Whether there is more than was asked for already."""
        return self._room < 0

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        local = _local(name)
        if local == "Fallback" or self._left_out:
            self._left_out += 1
        elif local == "p" and "wordprocessingml" in name:
            self._open.append(([], ""))
        elif self._open:
            said, style = self._open[-1]
            if local == "pStyle":
                self._open[-1] = said, style or _value(attributes, "val")
            elif local == "t":
                self._in_text += 1
            elif local in ("br", "cr"):
                said.append("\n")
            elif local == "tab":
                said.append(" ")
            elif local == "noBreakHyphen":
                said.append("-")

    def _end(self, name: str) -> None:
        local = _local(name)
        if self._left_out:
            self._left_out -= 1
        elif local == "t":
            self._in_text = max(self._in_text - 1, 0)
        elif local == "p" and "wordprocessingml" in name and self._open:
            said, style = self._open.pop()
            text = "".join(said)
            heading = self._styles.get(style, style).casefold().startswith(("heading", "title"))
            self.lines.append(f"# {' '.join(text.split())}" if heading else text)
            self._room -= 1
        elif local == "tbl":
            self.lines.append("")

    def _characters(self, data: str) -> None:
        if self._in_text and self._open and not self._left_out:
            self._open[-1][0].append(data)
            self._room -= len(data)
