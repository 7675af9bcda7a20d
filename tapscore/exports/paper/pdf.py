"""Pages written as a tagged PDF with embedded fonts, the same bytes every time."""

import re
from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from attrs import frozen

from tapscore.exports.paper import fonts
from tapscore.exports.paper.drawing import (
    FROM_RIGHT,
    Element,
    Page,
    TaggedBlock,
    TextRun,
    extent,
)
from tapscore.exports.paper.pdf_objects import TidyCharacterMaps, plain_stream
from tapscore.exports.paper.pdf_pen import Pen
from tapscore.exports.paper.xmp import packet
from tapscore.model.finding import Finding

if TYPE_CHECKING:
    pass

ARTIFACT = "Artifact"
_LANGUAGE = re.compile(r"[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*")


@frozen
class Printed:
    """A finished document."""

    pdf: bytes
    pages: int
    findings: tuple[Finding, ...]


def write_pdf(
    pages: Iterable[Page], *, title: str, subject: str, language: str | None
) -> tuple[bytes, int]:
    """Write ``pages`` as a PDF; gives its bytes and the number of pages.

    The language is a BCP 47 code: British English if not said, ``und`` if it is no code.
    """
    spoken = language or "en-GB"
    code = spoken if _LANGUAGE.fullmatch(spoken) else "und"
    from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

    fonts.register()
    buffer = BytesIO()
    canvas = Canvas(
        buffer,
        invariant=1,
        lang=code,
        pageCompression=1,
        initialFontName=fonts.REGULAR,
        pdfVersion=(1, 7),
    )
    canvas.setTitle(title)
    canvas.setAuthor("tapscore")
    canvas.setCreator("tapscore")
    canvas.setSubject(subject)
    writer = _Writer(canvas)
    count = 0
    for page in pages:
        writer.page(page)
        count += 1
    writer.finish(packet(title=title, subject=subject, language=code))
    canvas.save()
    return buffer.getvalue(), count


class _Writer:
    """Draws pages and gathers the structure tree (ISO 32000-1, 14.7 and 14.8)."""

    def __init__(self, canvas: Any) -> None:
        from reportlab.pdfbase import pdfdoc  # type: ignore[import-untyped]

        self._pdfdoc = pdfdoc
        self._canvas = canvas
        self._document = canvas._doc
        self._root = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("StructTreeRoot")})
        self._root_ref = self._document.Reference(self._root)
        self._whole = pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("StructElem"),
                "S": pdfdoc.PDFName("Document"),
                "P": self._root_ref,
            }
        )
        self._whole_ref = self._document.Reference(self._whole)
        self._kids: list[Any] = []
        self._groups: dict[tuple[int, ...], tuple[Any, Any, list[Any]]] = {}
        """Tables and their rows: element, reference, children."""
        self._parents: list[Any] = []
        self._pen = Pen(canvas)

    def page(self, page: Page) -> None:
        """Draw one page and close it."""
        canvas = self._canvas
        number = len(self._parents)
        self._pen.height = page.paper.height_pt
        canvas.setPageSize((page.paper.width_pt, page.paper.height_pt))
        for place, bookmark in enumerate(page.bookmarks):
            key = f"page{number + 1}.{place}"
            canvas.bookmarkPage(key)
            canvas.addOutlineEntry(bookmark, key, 0)
        page_ref = self._pdfdoc.PDFObjectReference(self._document.thisPageName())
        owners: list[Any] = []
        for block in page.blocks:
            if not block.elements:
                continue
            if block.tag == ARTIFACT:
                self._marked("/Artifact BMC", block.elements, None)
                continue
            first = len(owners)
            kids: list[Any] = []
            spans: list[Any] = []
            groups = _groups(block.elements)
            for place, group in enumerate(groups):
                after = groups[place + 1][0] if place + 1 < len(groups) else None
                head = group[0]
                if isinstance(head, TextRun) and head.way == FROM_RIGHT:
                    spans.append(self._span(head, page_ref, owners))
                    kids.append(self._document.Reference(spans[-1]))
                    continue
                spoken = _actual_text(group, after)
                tag = "Span" if spoken or len(groups) > 1 else block.tag
                self._marked(f"/{tag} <</MCID {len(owners)}{spoken}>> BDC", group, after)
                kids.append(len(owners))
                owners.append(None)
            parent, siblings = self._home(block)
            owner = self._element(block, page_ref, kids, parent)
            for span in spans:
                span.dict["P"] = owner
            owners[first:] = [span or owner for span in owners[first:]]
            siblings.append(owner)
        name = self._document.thisPageName()
        canvas.showPage()
        finished = self._document.idToObject[name]
        finished.__NoDefault__ = [*finished.__NoDefault__, "StructParents", "Tabs"]
        finished.StructParents = number
        finished.Tabs = self._pdfdoc.PDFName("S")
        self._parents.append(self._pdfdoc.PDFArray(owners))

    def finish(self, metadata: bytes) -> None:
        """Hang the structure tree and the metadata packet into the document."""
        pdfdoc, document = self._pdfdoc, self._document
        pairs = [item for pair in enumerate(self._parents) for item in pair]
        self._whole.dict["K"] = pdfdoc.PDFArray(self._kids)
        for element, _, kids in self._groups.values():
            element.dict["K"] = pdfdoc.PDFArray(kids)
        self._root.dict["K"] = self._whole_ref
        self._root.dict["ParentTree"] = document.Reference(
            pdfdoc.PDFDictionary({"Nums": pdfdoc.PDFArray(pairs)})
        )
        self._root.dict["ParentTreeNextKey"] = len(self._parents)
        catalog = document.Catalog
        catalog.StructTreeRoot = self._root_ref
        catalog.MarkInfo = pdfdoc.PDFDictionary({"Marked": "true"})
        catalog.Metadata = document.Reference(
            plain_stream(b"/Type /Metadata /Subtype /XML", metadata)
        )
        document.delayedFonts.append(TidyCharacterMaps())
        catalog.ViewerPreferences = pdfdoc.PDFDictionary({"DisplayDocTitle": "true"})

    def _marked(self, opening: str, group: Sequence[Element], after: Element | None) -> None:
        self._canvas._code.append(opening)
        for element, following in zip(group, (*group[1:], after), strict=True):
            self._pen.draw(element, following)
        self._canvas._code.append("EMC")

    def _span(self, text: TextRun, page_ref: Any, owners: list[Any]) -> Any:
        """Draw letters that run from right to left; gives their element of the structure.

        The element says them as they are read.  The letters drawn stand in the order of
        their places from the left, and so does what they say: readers that go by places
        turn it round (poppler does).
        """
        pdfdoc = self._pdfdoc
        span = pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("StructElem"),
                "S": pdfdoc.PDFName("Span"),
                "Pg": page_ref,
                "ActualText": pdfdoc.PDFString(text.spoken or text.text),
            }
        )
        owner = self._document.Reference(span)
        first = len(owners)

        def opened(letter: str | None) -> None:
            if len(owners) > first:
                self._canvas._code.append("EMC")
            spoken = "" if letter is None else f" /ActualText {_hex_string(letter)}"
            self._canvas._code.append(f"/Span <</MCID {len(owners)}{spoken}>> BDC")
            owners.append(owner)

        self._pen.shaped(text, opened)
        if len(owners) > first:
            self._canvas._code.append("EMC")
        span.dict["K"] = pdfdoc.PDFArray(range(first, len(owners)))
        return span

    def _home(self, block: TaggedBlock) -> tuple[Any, list[Any]]:
        """The element that a block's own stands in, and that one's children so far."""
        if block.cell is None:
            return self._whole_ref, self._kids
        table = self._group("Table", (block.cell.table,), self._whole_ref, self._kids)
        return self._group("TR", (block.cell.table, block.cell.row), *table)

    def _group(
        self, tag: str, place: tuple[int, ...], parent: Any, siblings: list[Any]
    ) -> tuple[Any, list[Any]]:
        if place not in self._groups:
            pdfdoc = self._pdfdoc
            element = pdfdoc.PDFDictionary(
                {
                    "Type": pdfdoc.PDFName("StructElem"),
                    "S": pdfdoc.PDFName(tag),
                    "P": parent,
                }
            )
            reference = self._document.Reference(element)
            siblings.append(reference)
            self._groups[place] = (element, reference, [])
        _, reference, kids = self._groups[place]
        return reference, kids

    def _element(self, block: TaggedBlock, page_ref: Any, kids: list[Any], parent: Any) -> Any:
        pdfdoc = self._pdfdoc
        entries = {
            "Type": pdfdoc.PDFName("StructElem"),
            "S": pdfdoc.PDFName(block.tag),
            "P": parent,
            "Pg": page_ref,
            "K": pdfdoc.PDFArray(kids),
        }
        if block.language:
            entries["Lang"] = pdfdoc.PDFString(block.language)
        if block.cell and block.cell.scope:
            entries["A"] = pdfdoc.PDFDictionary(
                {"O": pdfdoc.PDFName("Table"), "Scope": pdfdoc.PDFName(block.cell.scope)}
            )
        if block.alt:
            entries["Alt"] = pdfdoc.PDFString(block.alt)
            boxes = [extent(element) for element in block.elements]
            box = [
                min(b[0] for b in boxes),
                self._pen.height - max(b[3] for b in boxes),
                max(b[2] for b in boxes),
                self._pen.height - min(b[1] for b in boxes),
            ]
            entries["A"] = pdfdoc.PDFDictionary(
                {
                    "O": pdfdoc.PDFName("Layout"),
                    "BBox": pdfdoc.PDFArray([round(side, 2) for side in box]),
                    "Placement": pdfdoc.PDFName("Block"),
                }
            )
        return self._document.Reference(pdfdoc.PDFDictionary(entries))


def _groups(elements: Sequence[Element]) -> list[tuple[Element, ...]]:
    """Elements by the marked content they stand in: a divided word has one of its own.

    They follow one another and are never nested, for readers that know no nesting.
    """
    groups: list[list[Element]] = []
    in_word = False
    for element in elements:
        spoken = element.spoken if isinstance(element, TextRun) else None
        goes_on = in_word and spoken == ""
        begins = spoken is not None and spoken != ""
        if not groups or begins or (in_word and not goes_on):
            groups.append([])
        groups[-1].append(element)
        in_word = goes_on or begins
    return [tuple(group) for group in groups]


def _actual_text(group: Sequence[Element], after: Element | None) -> str:
    first = group[0]
    if not isinstance(first, TextRun) or not first.spoken:
        return ""
    space = " " if isinstance(after, TextRun) else ""
    return f" /ActualText {_hex_string(first.spoken + space)}"


def _hex_string(text: str) -> str:
    return f"<FEFF{text.encode('utf-16-be').hex().upper()}>"
