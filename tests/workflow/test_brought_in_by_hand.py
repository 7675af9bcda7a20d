"""Small texts brought in: parts, headings, titles, labels, and what of them returns, by hand."""

import zipfile
from fractions import Fraction
from pathlib import Path

import pytest

from tapscore.model.metre import Metre
from tapscore.model.story import Line, RefrainUse, Wait
from tapscore.model.words import printed
from tapscore.workflow import docx_words
from tapscore.workflow.docx_words import DocxDamaged, docx_text
from tapscore.workflow.metre_choice import MetreChoice
from tapscore.workflow.new_story import _heading, _numbered, _refrain_name, near_repeats, story_of
from tapscore.workflow.plain_words import (
    LONGEST_LINE,
    MOST_CHARACTERS,
    PlainPart,
    PlainWords,
    UnreadableWordsError,
    read_words,
    typed_words,
    words_of,
)

W = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
TWO_FOUR = Metre(2, 4)


@pytest.mark.parametrize(
    ("text", "title", "parts"),
    [
        # A first line that stands alone is the title, but where nothing follows it.
        ("Boat\n\nrow\nhome", "Boat", [(None, "row/home")]),
        ("Boat\n\nrow", "Boat", [(None, "row")]),
        ("Boat", None, [(None, "Boat")]),
        ("Boat\nrow\n\nhome", None, [(None, "Boat/row"), (None, "home")]),
        # A first heading is it, whatever its depth; one after words names what follows.
        ("# Boat\nrow", "Boat", [(None, "row")]),
        ("###### Boat ##\nrow", "Boat", [(None, "row")]),
        ("####### Boat\nrow", None, [(None, "####### Boat/row")]),
        ("#Boat\nrow", None, [(None, "#Boat/row")]),
        ("row\n# Night\nhome", "row", [("Night", "home")]),
        ("row\nrow\n# Night\nhome", None, [(None, "row/row"), ("Night", "home")]),
        ("# Boat\n# Night\nrow\n\nhome", "Boat", [("Night", "row"), (None, "home")]),
        ("# Night\n\n\nrow", "Night", [(None, "row")]),
        ("# Boat\n# Night\n# Day\nrow", "Boat", [("Day", "row")]),
        # Names of parts are headings, not titles.
        ("Verse 1\nrow\n\nhome", None, [("Verse 1", "row"), (None, "home")]),
        ("Chorus:\nrow", None, [("Chorus", "row")]),
        ("row\nrow\nPART ii.\nhome", None, [(None, "row/row"), ("PART ii", "home")]),
        ("Scene of the crime\nrow", None, [(None, "Scene of the crime/row")]),
        ("Parting 2\nrow", None, [(None, "Parting 2/row")]),
        # Marks of a list and of stress go, once; what has no letter or figure is no line.
        ("- - row\n* * *\n---\n7", None, [(None, "- row/7")]),
        ("1000. row\n12) home", None, [(None, "1000. row/home")]),
        ("**row** _the_ `boat` * home", None, [(None, "row the boat * home")]),
        ("  row \t the   boat ", None, [(None, "row the boat")]),
        # A line without a bullet above two or more that have one names them.
        ("Up\n- row\n- home", None, [("Up", "row/home")]),
        ("- Up\n- row\n- home", None, [(None, "Up/row/home")]),
        ("Up\n- row\nhome", None, [(None, "Up/row/home")]),
        ("# Boat\n# Day\nUp\n- row\n- home", "Boat", [("Day", "Up/row/home")]),
        # Short lines without a mark name what follows where nearly all others end with one,
        # and there are two of them.
        (
            "Boat\n\nDay\nrow,\nhome.\n\nNight\n\nrow.\nhome!",
            "Boat",
            [("Day", "row,/home."), ("Night", "row./home!")],
        ),
        ("Day\nrow,\nhome.\n\nrow.", None, [(None, "Day/row,/home."), (None, "row.")]),
        (
            "Day\nrow,\nhome\n\nNight\nrow.",
            None,
            [(None, "Day/row,/home"), (None, "Night/row.")],
        ),
        (
            "Boom day\nrow,\nhome.\n\nNight\nrow.",
            None,
            [("Boom day", "row,/home."), ("Night", "row.")],
        ),
        (
            "Splash\nrow,\nhome.\n\nBoom\nrow.",
            None,
            [(None, "Splash/row,/home."), (None, "Boom/row.")],
        ),
        (
            "Day\nrow,\n\nDay by day we go along\nrow,\n\nall day\nrow.\n\nNight",
            None,
            [
                (None, "Day/row,"),
                (None, "Day by day we go along/row,"),
                (None, "all day/row."),
                (None, "Night"),
            ],
        ),
        ("", None, []),
    ],
)
def test_parts_of_a_text(text: str, title: str | None, parts: list[tuple[str | None, str]]) -> None:
    found = words_of(text)
    assert found.title == title
    assert [(part.heading, "/".join(part.lines)) for part in found.parts] == parts


@pytest.mark.parametrize(
    ("text", "labels", "lines"),
    [
        ("Fox: hello\nrow", (), "Fox: hello/row"),
        ("Fox: hello\nFox: home", ("Fox",), "hello/home"),
        ("All: hello", ("All",), "hello"),
        ("all: hello", (), "all: hello"),
        ("The Big Fox: hi\nAll: yo", ("The Big Fox", "All"), "hi/yo"),
        ("The Very Big Fox: hi\nAll: yo", ("All",), "The Very Big Fox: hi/yo"),
        ("- Fox: hello\n- Fox: home", ("Fox",), "hello/home"),
        ("Fox: Mole: hi\nFox: ho", ("Fox",), "Mole: hi/ho"),
        ("Go: hi\nGo: ho\nStop: now", ("Go",), "hi/ho/Stop: now"),
    ],
)
def test_who_speaks_is_no_part_of_the_words(text: str, labels: tuple[str, ...], lines: str) -> None:
    found = words_of(text)
    assert found.labels == labels
    assert "/".join(line for part in found.parts for line in part.lines) == lines


def test_a_title_that_is_given_makes_the_first_line_one_like_others() -> None:
    row = PlainPart(("row",))
    assert typed_words("Boat\n\nrow") == PlainWords((row,), "Boat")
    assert typed_words("Boat\n\nrow", "Mill") == PlainWords((PlainPart(("Boat",)), row), "Mill")
    assert typed_words("Boat\n\nrow", "Boat") == PlainWords((row,), "Boat")
    assert typed_words("row", "Mill") == PlainWords((row,), "Mill")


def test_how_long_a_text_and_a_line_may_be() -> None:
    line = "ab " * 633
    assert len(line) == LONGEST_LINE - 1
    typed_words(f"{line}x")
    with pytest.raises(UnreadableWordsError, match="Line 2 of What was typed has 634 words"):
        typed_words(f"row\n{line}xy")
    text = "row\n" * (MOST_CHARACTERS // 4)
    typed_words(text)
    with pytest.raises(UnreadableWordsError, match="longer than 200,000 characters"):
        typed_words(f"{text} ")
    with pytest.raises(UnreadableWordsError, match="What was typed has no words in it"):
        typed_words("# \n...")


@pytest.mark.parametrize(
    ("data", "line"),
    [
        ("caf\u00e9".encode(), "caf\u00e9"),
        ("caf\u00e9".encode("utf-8-sig"), "caf\u00e9"),
        ("caf\u00e9".encode("utf-16"), "caf\u00e9"),
        (b"\xfe\xff" + "caf\u00e9".encode("utf-16-be"), "caf\u00e9"),
        ("caf\u00e9 \u2019s".encode("cp1252"), "caf\u00e9 \u2019s"),
    ],
)
def test_encodings(tmp_path: Path, data: bytes, line: str) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(data)
    assert read_words(path).parts[0].lines == (line,)


def _docx(path: Path, body: str, styles: str = "", name: str = "document") -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("word/xdocument.xml", "<none/>")
        archive.writestr(f"word/{name}.xml", f"<w:d {W}>{body}</w:d>")
        if styles:
            archive.writestr("word/styles2.xml", f"<w:styles {W}>{styles}</w:styles>")
    return path


def _p(inside: str, style: str = "") -> str:
    styled = f'<w:pPr><w:pStyle w:val="{style}"/></w:pPr>' if style else ""
    return f"<w:p>{styled}<w:r>{inside}</w:r></w:p>"


@pytest.mark.parametrize(
    ("body", "text"),
    [
        # A style by the name it has in the list of styles, else by its own.
        (_p("<w:t>a</w:t>", "S1"), "# a"),
        (_p("<w:t>a</w:t>", "S2"), "# a"),
        (_p("<w:t>a</w:t>", "S3"), "a"),
        (_p("<w:t>a</w:t>", "Heading2"), "# a"),
        (_p("<w:t>a</w:t>", "Body"), "a"),
        (_p("<w:t>a</w:t>", "NoTitle"), "a"),
        # The first of two styles of a paragraph, the first of two names of a style.
        (_p('<w:pStyle w:val="S3"/><w:t>a</w:t>', "S1"), "# a"),
        (_p('<w:pStyle w:val="S1"/><w:t>a</w:t>', "S3"), "a"),
        (_p("<w:t>a</w:t>", "S4"), "# a"),
        # Ends of lines, tabs, hyphens that don't break; in a heading an end is a space.
        (_p("<w:t>a</w:t><w:br/><w:t>b</w:t><w:cr/><w:t>c</w:t>"), "a\nb\nc"),
        (_p("<w:t>a</w:t><w:br/><w:t>b</w:t>", "S1"), "# a b"),
        (_p("<w:t>a</w:t><w:tab/><w:t>b</w:t><w:noBreakHyphen/><w:t>c</w:t>"), "a b-c"),
        # Only what stands in texts of paragraphs; a table ends a part.
        (_p("x<w:t>a</w:t>y") + "z<w:t>w</w:t>" + _p("<w:t>b</w:t>"), "a\nb"),
        (f"<w:tbl>{_p('<w:t>a</w:t>')}</w:tbl>{_p('<w:t>b</w:t>')}", "a\n\nb"),
        # One paragraph in another, as in a box, stands before it.
        (_p(f"<w:t>a</w:t>{_p('<w:t>b</w:t>', 'S1')}<w:t>c</w:t>"), "# b\nac"),
        # Twice for older programs, with what is in it; what follows counts again.
        (
            f"<w:Fallback>{_p('<w:t>a</w:t>')}<w:Fallback/></w:Fallback>{_p('<w:t>b</w:t>')}",
            "b",
        ),
        ('<a:p xmlns:a="drawing"><w:t>a</w:t></a:p>' + _p("<w:t>b</w:t>"), "b"),
        ("", ""),
    ],
)
def test_paragraphs_of_a_document(tmp_path: Path, body: str, text: str) -> None:
    styles = "".join(
        f'<w:style w:styleId="S{number}">{names}</w:style>'
        for number, names in enumerate(
            (
                '<w:name w:val="heading 1"/>',
                '<w:name w:val="Title"/>',
                '<w:name w:val="Normal"/>',
                '<w:name w:val="Heading 3"/><w:name w:val="Normal"/>',
            ),
            1,
        )
    )
    stray = '<w:name w:val="Title"/>'
    assert docx_text(_docx(tmp_path / "a.docx", body, stray + styles), 100) == text
    assert docx_text(_docx(tmp_path / "b.docx", body, styles, "document12"), 100) == text


def test_limits_of_a_document(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each character counts, and each paragraph as one; the parts of the archive are counted."""
    path = _docx(tmp_path / "a.docx", _p("<w:t>row</w:t>") * 3)
    monkeypatch.setattr(docx_words, "_BLOCK", 8)
    whole = docx_text(path, 12)
    assert whole == "row\nrow\nrow"
    assert docx_text(path, 3) == "row"
    assert docx_text(path, 4) == "row"
    size = len(f"<w:d {W}>{_p('<w:t>row</w:t>') * 3}</w:d>")
    monkeypatch.setattr(docx_words, "MOST_XML_BYTES", size)
    assert docx_text(path, 99) == whole
    monkeypatch.setattr(docx_words, "MOST_XML_BYTES", size - 1)
    with pytest.raises(DocxDamaged, match="unpacks to far more"):
        docx_text(path, 99)
    monkeypatch.setattr(docx_words, "MOST_XML_BYTES", size)
    monkeypatch.setattr(docx_words, "_MOST_PARTS", 2)
    assert docx_text(path, 99) == whole
    monkeypatch.setattr(docx_words, "_MOST_PARTS", 1)
    with pytest.raises(DocxDamaged, match="far too many parts"):
        docx_text(path, 99)


def test_what_is_no_word_file(tmp_path: Path) -> None:
    (tmp_path / "a.docx").write_bytes(b"row the boat")
    with pytest.raises(UnreadableWordsError, match="as a DOCX file: it is cut off or damaged"):
        read_words(tmp_path / "a.docx")
    _docx(tmp_path / "b.txt", _p("<w:t>row</w:t>"))
    assert read_words(tmp_path / "b.txt").parts[0].lines == ("row",)
    with pytest.raises(
        UnreadableWordsError, match=r"c\.txt can't be read: there is no such file or folder"
    ):
        read_words(tmp_path / "c.txt")


def _shape(text: str, first: Metre = TWO_FOUR) -> tuple[list[str], list[str]]:
    """Sections with what is in them (``<`` a return, ``~`` its wait), and refrains."""
    parts = tuple(PlainPart(tuple(part.split("/"))) for part in text.split(" | "))
    choice = MetreChoice(TWO_FOUR, (first, *[TWO_FOUR] * (len(parts) - 1)), "")
    made = story_of(PlainWords(parts), "T", choice)
    sections = []
    for section in made.sections:
        said = [
            printed(item.words)
            if isinstance(item, Line)
            else f"<{item.name}"
            if isinstance(item, RefrainUse)
            else f"~{item.least_sec}"
            if isinstance(item, Wait)
            else "?"
            for item in section.items
        ]
        sections.append("/".join(said))
    refrains = []
    for refrain in made.refrains:
        lines = "/".join(printed(i.words) for i in refrain.items if isinstance(i, Line))
        refrains.append(f"{refrain.name}: {lines}")
    assert all(i.lane is not None for r in made.refrains for i in r.items if isinstance(i, Line))
    return sections, refrains


@pytest.mark.parametrize(
    ("text", "sections", "refrains"),
    [
        # Nothing returns.
        ("up/down", ["up/down"], []),
        # One line, in one part and in two; signs and capitals make no difference.
        ("go/up/go", ["<go/~10/up/<go/~10"], ["go: go"]),
        ("go/up | Go!/down", ["<go/~10/up", "<go/~10/down"], ["go: go"]),
        ("go/go", ["<go/~10/<go/~10"], ["go: go"]),
        # Two that come together are one; where they also come apart, each is its own.
        ("a/b/up | a/b/down", ["<a/~10/up", "<a/~10/down"], ["a: a/b"]),
        ("a/b/up | b/a/down", ["<a/~10/<b/~10/up", "<b/~10/<a/~10/down"], ["a: a", "b: b"]),
        # A part that is a refrain alone ends the part before it.
        ("up | a/b | down | a/b", ["up/<a/~10", "down/<a/~10"], ["a: a/b"]),
        ("a/b | a/b | a/b", ["<a/~10/<a/~10/<a/~10"], ["a: a/b"]),
        (
            "a/b | a/b | a",
            ["<a/~10/<b/~10/<a/~10/<b/~10/<a/~10"],
            ["a: a", "b: b"],
        ),
        # Three together; and where the third comes once without them, two and one.
        ("a/b/c/up | a/b/c", ["<a/~10/up/<a/~10"], ["a: a/b/c"]),
        (
            "a/b/c | a/b/up | c",
            ["<a/~10/<c/~10", "<a/~10/up/<c/~10"],
            ["a: a/b", "c: c"],
        ),
        # Twice the same in a row is no pair.
        ("a/a/b | a/a/c", ["<a/~10/<a/~10/b", "<a/~10/<a/~10/c"], ["a: a"]),
        # Two refrains that begin alike are told apart.
        (
            "up we go now/x | up we go home/y | up we go now | up we go home",
            ["<up we go/~10/x", "<up we go 2/~10/y/<up we go/~10/<up we go 2/~10"],
            ["up we go: up we go now", "up we go 2: up we go home"],
        ),
    ],
)
def test_lines_that_return(text: str, sections: list[str], refrains: list[str]) -> None:
    assert _shape(text) == (sections, refrains)


def test_a_refrain_ends_the_part_before_however_that_moves() -> None:
    lines = ("up we go", "on and on")
    parts = (PlainPart(lines), PlainPart(("go",)), PlainPart(lines), PlainPart(("go",), "Chorus 2"))
    six = Metre(6, 8)
    for metres in ((TWO_FOUR,) * 4, (six, TWO_FOUR, TWO_FOUR, TWO_FOUR)):
        made = story_of(PlainWords(parts), "T", MetreChoice(TWO_FOUR, metres, ""))
        assert [section.title for section in made.sections] == ["up we go"]
    named = (PlainPart(("x",)), PlainPart(("go",), "The end"), PlainPart(("go",)))
    made = story_of(PlainWords(named), "T", MetreChoice(TWO_FOUR, (TWO_FOUR,) * 3, ""))
    assert [section.title for section in made.sections] == ["x", "The end"]


def test_a_section_says_its_metre_where_it_is_not_the_storys() -> None:
    parts = (PlainPart(("up we go",), "Up"), PlainPart(("up and down",)))
    made = story_of(PlainWords(parts), "T", MetreChoice(TWO_FOUR, (Metre(6, 8), TWO_FOUR), ""))
    assert [section.manner.metre for section in made.sections] == [Metre(6, 8), None]
    assert [section.title for section in made.sections] == ["Up", "up and down"]
    assert made.manner.metre == TWO_FOUR
    assert [role.name for role in made.roles] == ["leader", "beat-keeper"]
    waits = story_of(
        PlainWords((PlainPart(("go", "up", "go")),)), "T", MetreChoice(TWO_FOUR, (TWO_FOUR,), "")
    )
    assert waits.sections[0].items[1] == Wait(Fraction(10))


@pytest.mark.parametrize(
    ("line", "taken", "heading", "refrain"),
    [
        ("Row the boat home now my love", [], "Row the boat home", "row the boat"),
        ("Row", ["Row", "row"], "Row 2", "row 2"),
        ("Row", ["Row", "Row 2", "row", "row 2"], "Row 3", "row 3"),
        # A heading ends with no joining word, nor with one word after it; a name may.
        ("Down the hill and on we go", [], "Down the hill", "down the hill"),
        ("Into the and of it all", [], "Into the and of it", "into the and"),
        ("“Hush!” said Bear", [], "Hush! said Bear", "hush said bear"),
        ("’Twas a night=time owl", [], "Twas a night-time owl", "twas a night-time"),
        ("Don’t go - now", [], "Don’t go - now", "don't go now"),
        ("…!", [], "Section", "refrain"),
    ],
)
def test_names_of_sections_and_refrains(
    line: str, taken: list[str], heading: str, refrain: str
) -> None:
    assert _heading(line, taken) == heading
    assert _refrain_name(line, taken) == refrain
    assert _numbered("Row", ["Row 2"]) == "Row"


@pytest.mark.parametrize(
    ("text", "near"),
    [
        # Eight words of nine the same are 16 of 18; seven 14 of 18.
        ("a b c d/e f g h i | a b c d/e f g h x", [(0, 1)]),
        ("a b c d/e f g h i j | a b c d/e f g x y z", [(0, 1)]),  # seven of ten, just enough
        ("a b c d/e f g h i j | a b c d/e f w x y z", []),
        ("a b c d/e f g h i | a b c d/e f g h i", []),  # quite the same: a refrain
        ("a b c d e f g h i | a b c d e f g h x", []),  # of one line
        ("a b c d/e f g h i | a b c d/e f/g h x", []),  # of another number of lines
        # A third is offered beside the first, not beside the second; two pairs are two.
        ("a b c d/e f g h i | a b c d/e f g h x | a b c d/e f g h y", [(0, 1), (0, 2)]),
        (
            "a b c d/e f g h i | j k l m/n o p q r | j k l m/n o p q x | a b c d/e f g h x",
            [(1, 2), (0, 3)],
        ),
    ],
)
def test_parts_that_nearly_return(text: str, near: list[tuple[int, int]]) -> None:
    parts = [PlainPart(tuple(part.split("/"))) for part in text.split(" | ")]
    lines = [part.lines for part in parts]
    assert near_repeats(parts) == [(lines[one], lines[two]) for one, two in near]
