"""Parts of a PDF file that reportlab writes otherwise than PDF/UA asks for."""

import re
from typing import Any

from tapscore.exports.paper import fonts

_MOST_IN_BLOCK = 100
"""Entries of one ``beginbfchar`` block at most (Adobe's CMap specification)."""
_ENTRY = re.compile(r"^<([0-9A-F]{2})> <([0-9A-F]+)>$", re.M)


def plain_stream(entries: bytes, content: bytes) -> Any:
    """A reportlab stream without any filter, as a metadata packet should be."""
    from reportlab.pdfbase import pdfdoc  # type: ignore[import-untyped]

    def written(document: Any) -> bytes:  # noqa: ARG001
        head = b"<< %s /Length %d >>" % (entries, len(content))
        return b"%s\nstream\n%s\nendstream\n" % (head, content)

    stream = pdfdoc.PDFStream()
    stream.format = written
    return stream


class TidyCharacterMaps:
    """Takes out of the fonts' character maps the codes that stand for nothing.

    reportlab asks its fonts, one by one, to add their objects when a file is finished; the
    last one asked is this.
    """

    def addObjects(self, document: Any) -> None:  # noqa: N802
        """Change the maps that the fonts have just added."""
        for name, stream in document.idToObject.items():
            if str(name).startswith("toUnicodeCMap:"):
                stream.content = tidy(stream.content)


def tidy(cmap: str) -> str:
    """A ``ToUnicode`` map without entries for U+0000, in blocks of no more than 100.

    Characters beyond U+FFFF are written in UTF-16, as ISO 32000-1, 9.10.3 has it.
    """
    before, _, rest = cmap.partition("endcodespacerange\n")
    kept = [
        f"<{match[1]}> <{_utf16(int(match[2], 16))}>"
        for match in _ENTRY.finditer(rest)
        if int(match[2], 16) != 0
    ]
    after = rest.partition("endbfchar\n")[2]
    blocks = [kept[i : i + _MOST_IN_BLOCK] for i in range(0, len(kept), _MOST_IN_BLOCK)]
    written = "".join(
        f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar\n" for block in blocks
    )
    return f"{before}endcodespacerange\n{written}{after}"


def _utf16(code: int) -> str:
    return fonts.meant(code).encode("utf-16-be").hex().upper()
