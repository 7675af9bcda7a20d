"""Pages written as a tagged PDF with embedded fonts, the same bytes every time."""

import re
from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

from attrs import frozen

from tapscore.exports.paper import fonts
from tapscore.exports.paper.drawing import Block, Element, Page, Panel, Shape, Text, extent
from tapscore.exports.paper.inks import Ink
from tapscore.exports.paper.pdf_objects import TidyCharacterMaps, plain_stream
from tapscore.exports.paper.xmp import packet
from tapscore.model.finding import Finding

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
        self._parents: list[Any] = []
        self._height = 0.0

    def page(self, page: Page) -> None:
        """Draw one page and close it."""
        canvas = self._canvas
        number = len(self._parents)
        self._height = page.paper.height_pt
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
            groups = _groups(block.elements)
            for number, group in enumerate(groups):
                after = groups[number + 1][0] if number + 1 < len(groups) else None
                spoken = _actual_text(group, after)
                tag = "Span" if spoken or len(groups) > 1 else block.tag
                opening = f"/{tag} <</MCID {first + number}{spoken}>> BDC"
                self._marked(opening, group, after)
            numbers = range(first, first + len(groups))
            owner = self._element(block, page_ref, list(numbers))
            owners += [owner] * len(groups)
            self._kids.append(owner)
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
            self._draw(element, following)
        self._canvas._code.append("EMC")

    def _element(self, block: Block, page_ref: Any, numbers: list[int]) -> Any:
        pdfdoc = self._pdfdoc
        entries = {
            "Type": pdfdoc.PDFName("StructElem"),
            "S": pdfdoc.PDFName(block.tag),
            "P": self._whole_ref,
            "Pg": page_ref,
            "K": pdfdoc.PDFArray(numbers),
        }
        if block.alt:
            entries["Alt"] = pdfdoc.PDFString(block.alt)
            boxes = [extent(element) for element in block.elements]
            box = [
                min(b[0] for b in boxes),
                self._height - max(b[3] for b in boxes),
                max(b[2] for b in boxes),
                self._height - min(b[1] for b in boxes),
            ]
            entries["A"] = pdfdoc.PDFDictionary(
                {
                    "O": pdfdoc.PDFName("Layout"),
                    "BBox": pdfdoc.PDFArray([round(side, 2) for side in box]),
                    "Placement": pdfdoc.PDFName("Block"),
                }
            )
        return self._document.Reference(pdfdoc.PDFDictionary(entries))

    def _draw(self, element: Element, after: Element | None) -> None:
        if isinstance(element, Text):
            parted = isinstance(after, Text) and _parted(element, after)
            self._text(element, " " if parted else "")
        elif isinstance(element, Shape):
            self._shape(element)
        elif isinstance(element, Panel):
            self._panel(element)
        else:
            canvas = self._canvas
            canvas.setStrokeColorRGB(*element.ink.parts)
            canvas.setLineWidth(element.thick_pt)
            canvas.setLineCap(0)
            canvas.setDash()
            y0, y1 = self._height - element.y0, self._height - element.y1
            canvas.line(element.x0, y0, element.x1, y1)

    def _text(self, text: Text, space: str) -> None:
        """Draw a run; a space that shows nothing keeps it from running into the next."""
        canvas = self._canvas
        self._fill(text.ink)
        x = text.x
        for run in fonts.runs(text.text + space, text.bold):
            canvas.setFont(run.font, text.size_pt)
            canvas.drawString(x, self._height - text.y, run.text)
            x += run.width_em * text.size_pt

    def _shape(self, shape: Shape) -> None:
        path = self._canvas.beginPath()
        at = self._height
        for name, v in shape.ops:
            if name == "M":
                path.moveTo(v[0], at - v[1])
            elif name == "L":
                path.lineTo(v[0], at - v[1])
            elif name == "C":
                path.curveTo(v[0], at - v[1], v[2], at - v[3], v[4], at - v[5])
            else:
                path.close()
        self._fill(shape.ink)
        self._canvas.drawPath(path, stroke=0, fill=1)

    def _panel(self, panel: Panel) -> None:
        canvas = self._canvas
        if panel.fill:
            self._fill(panel.fill)
        if panel.edge:
            canvas.setStrokeColorRGB(*panel.edge.parts)
            canvas.setLineWidth(panel.edge_pt)
            canvas.setDash([panel.dash_pt, panel.dash_pt * 0.7] if panel.dash_pt else [])
        canvas.roundRect(
            panel.x,
            self._height - panel.y - panel.height_pt,
            panel.width_pt,
            panel.height_pt,
            min(panel.radius_pt, panel.width_pt / 2, panel.height_pt / 2),
            stroke=1 if panel.edge else 0,
            fill=1 if panel.fill else 0,
        )
        canvas.setDash([])

    def _fill(self, ink: Ink) -> None:
        self._canvas.setFillColorRGB(*ink.parts)


def _groups(elements: Sequence[Element]) -> list[tuple[Element, ...]]:
    """Elements by the marked content they stand in: a divided word has one of its own.

    They follow one another and are never nested, for readers that know no nesting.
    """
    groups: list[list[Element]] = []
    in_word = False
    for element in elements:
        spoken = element.spoken if isinstance(element, Text) else None
        goes_on = in_word and spoken == ""
        begins = spoken is not None and spoken != ""
        if not groups or begins or (in_word and not goes_on):
            groups.append([])
        groups[-1].append(element)
        in_word = goes_on or begins
    return [tuple(group) for group in groups]


def _actual_text(group: Sequence[Element], after: Element | None) -> str:
    first = group[0]
    if not isinstance(first, Text) or not first.spoken:
        return ""
    space = " " if isinstance(after, Text) else ""
    return f" /ActualText <FEFF{(first.spoken + space).encode('utf-16-be').hex().upper()}>"


def _parted(one: Text, other: Text) -> bool:
    """Whether a space belongs between two runs: not inside a word, nor where one is drawn."""
    if other.spoken == "" or one.text.endswith(" ") or other.text.startswith(" "):
        return False
    touching = abs(one.x + one.width_pt - other.x) < 0.05 * one.size_pt and one.y == other.y
    return not touching
