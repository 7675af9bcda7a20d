"""The finished PDFs, read back with pypdf and, where it is installed, poppler."""

import shutil
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tapscore.exports.paper.cue_cards import cue_cards
from tapscore.exports.paper.cue_sheet import cue_sheet
from tapscore.exports.paper.pdf import Printed
from tapscore.model.story import Line, Section, Story
from tapscore.model.words import printed
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import lane, sample

needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler's pdftotext is not installed"
)


@pytest.fixture(scope="module")
def documents() -> dict[str, Printed]:
    story = sample()
    performance = perform(story)
    made = {role: cue_cards(story, performance, role) for role in performance.roles}
    return made | {"sheet": cue_sheet(story, performance)}


def squeezed(text: str) -> str:
    return "".join(text.split())


def read(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf), strict=True)


def test_the_page_count_is_the_files(documents: dict[str, Printed]) -> None:
    for document in documents.values():
        assert document.pages == len(read(document.pdf).pages) >= 1
        assert {finding.code for finding in document.findings} <= {"print-busy-turn"}


def test_bytes_are_the_same_every_time(documents: dict[str, Printed]) -> None:
    story = sample()
    performance = perform(story)
    assert cue_cards(story, performance, "leader").pdf == documents["leader"].pdf
    assert cue_sheet(story, performance).pdf == documents["sheet"].pdf


def fonts_of(pdf: bytes) -> set[str]:
    """Names of the fonts; every one must have its file inside."""
    names = set()
    for page in read(pdf).pages:
        resources: Any = page["/Resources"]
        for reference in resources["/Font"].values():
            font = reference.get_object()
            assert "/FontFile2" in font["/FontDescriptor"]
            names.add(str(font["/BaseFont"]))
    return names


def test_every_font_is_embedded_and_open(documents: dict[str, Printed]) -> None:
    for document in documents.values():
        names = fonts_of(document.pdf)
        assert names
        assert all("AtkinsonHyperlegible" in name for name in names)
        assert b"Helvetica" not in document.pdf


def test_title_language_and_bookmarks(documents: dict[str, Printed]) -> None:
    reader = read(documents["second tapper"].pdf)
    assert reader.metadata is not None
    assert reader.metadata.title == "The Lantern Boat: second tapper"
    assert reader.metadata.author == "tapscore"
    root: Any = reader.trailer["/Root"]
    assert root["/Lang"] == "en-GB"
    titles = [str(item["/Title"]) for item in reader.outline if isinstance(item, dict)]
    assert titles == ["Row home", "2 of 8", "4 of 8", "6 of 8", "8 of 8"]
    sheet = read(documents["sheet"].pdf)
    assert [str(i["/Title"]) for i in sheet.outline if isinstance(i, dict)] == ["Evening", "Night"]


def test_words_come_out_in_reading_order_with_pypdf(documents: dict[str, Printed]) -> None:
    text = squeezed("".join(p.extract_text() for p in read(documents["sheet"].pdf).pages))
    at = -1
    for segment in perform(sample()).lines:
        if segment.line is None or segment.refrain_time > 1:
            continue
        begins = " ".join(printed(segment.line.words).split()[:4])
        found = text.find(squeezed(begins), at + 1)
        assert found > at, segment.line.words
        at = found


@needs_poppler
def test_words_come_out_whole_with_poppler(documents: dict[str, Printed], tmp_path: Path) -> None:
    text = " ".join(_poppler(documents["beat-keeper"].pdf, tmp_path, "-raw").split())
    at = -1
    for words in (
        "1 of 8 Beat-keeper",
        "fingertips middle quiet",
        "Out on the water the little boat lay,",
        "Next: refrain, row home",
        "Row the lantern, row the lantern,",
        "home, home, home.",
        "Leader warns first.",
        "Crash went the wave!",
        "Lift the cloth",
        "Wait 10",
        "In came the lantern boat, safe to the shore.",
        "Finish hands still, cards down",
    ):
        found = text.find(words, at + 1)
        assert found > at, words
        at = found


@needs_poppler
def test_poppler_reads_the_structure(documents: dict[str, Printed], tmp_path: Path) -> None:
    if shutil.which("pdfinfo") is None:
        pytest.skip("poppler's pdfinfo is not installed")
    path = tmp_path / "cards.pdf"
    path.write_bytes(documents["second tapper"].pdf)
    told = subprocess.run(
        ["pdfinfo", "-struct-text", str(path)], capture_output=True, check=True
    ).stdout.decode()
    assert told.startswith("Document")
    assert told.count("  H1 (block)") == documents["second tapper"].pages
    assert '"lantern, "' in told
    assert "Figure" in told


def test_the_structure_tree_is_whole(documents: dict[str, Printed]) -> None:
    # ISO 32000-1, 14.7: every marked content has one owner in the parent tree; 14.9.3:
    # pictures have a text instead.
    for document in documents.values():
        root: Any = read(document.pdf).trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]
        tree = root["/StructTreeRoot"]
        numbers = tree["/ParentTree"]["/Nums"]
        assert list(numbers[0::2]) == list(range(document.pages))
        owned = [owners.get_object() for owners in numbers[1::2]]
        pages = read(document.pdf).pages
        assert [str(page["/StructParents"]) for page in pages] == [
            str(number) for number in range(document.pages)
        ]
        for page, owners in zip(pages, owned, strict=True):
            content = page.get_contents()
            assert content is not None
            data = content.get_data()
            assert data.count(b"/MCID") == len(owners)
            assert data.count(b"BDC") + data.count(b"BMC") == data.count(b"EMC")
        figures = [
            kid.get_object() for kid in tree["/K"]["/K"] if kid.get_object()["/S"] == "/Figure"
        ]
        assert figures
        assert all(str(figure["/Alt"]) for figure in figures)


def test_characters_no_font_has_are_findings_not_boxes() -> None:
    odd = "\N{GLOWING STAR} \N{CYRILLIC SMALL LETTER ZHE} \N{ARABIC LETTER MEEM}"
    line = Line(f"Hel-lo {odd}", lane("| x x x x |"))
    story = Story("Test", sections=(Section("One", (line,)),))
    made = cue_cards(story, perform(story), "leader")
    assert [finding.code for finding in made.findings] == ["print-missing", "print-right-to-left"]
    assert "glowing star" in made.findings[0].message
    assert made.findings[0].path == ("story", 0, "lines", 0)
    text = squeezed("".join(page.extract_text() for page in read(made.pdf).pages))
    assert "Hello" in text
    assert any("DejaVu" in name for name in fonts_of(made.pdf))


def test_an_empty_story_still_prints() -> None:
    story = Story("Nothing yet")
    assert cue_cards(story, perform(story), "leader").pages == 1
    assert cue_sheet(story, perform(story)).pages == 1


def _poppler(pdf: bytes, folder: Path, *options: str) -> str:
    path = folder / "read.pdf"
    path.write_bytes(pdf)
    done = subprocess.run(["pdftotext", *options, str(path), "-"], capture_output=True, check=True)
    return done.stdout.decode()


def test_reportlab_and_matplotlib_load_on_first_use_only() -> None:
    code = (
        "import sys; import tapscore.exports.paper.cue_cards, tapscore.exports.paper.cue_sheet;"
        "heavy = {'reportlab', 'matplotlib', 'numpy', 'music21'} & set(sys.modules);"
        "sys.exit(', '.join(heavy) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


def test_printing_does_not_start_matplotlib_for_its_font() -> None:
    code = (
        "import sys; from tapscore.exports.paper.text_width import width_pt;"
        "width_pt('\N{CYRILLIC SMALL LETTER ZHE}', 10, bold=True);"
        "sys.exit('matplotlib' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
