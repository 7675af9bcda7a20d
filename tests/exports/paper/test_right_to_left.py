"""Stories with letters that run from right to left, on pages and in files."""

import re
import shutil
import subprocess
import sys
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from tapscore.exports.paper.bands import paragraph
from tapscore.exports.paper.briefing import briefing_pages
from tapscore.exports.paper.cue_cards import card_pages, cue_cards
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import FROM_RIGHT, Page, TextRun
from tapscore.exports.paper.home_version import home_pages, home_version
from tapscore.exports.paper.large_words import large_words, large_words_pages
from tapscore.exports.paper.observation_slips import observation_pages
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.print_findings import print_findings
from tapscore.exports.paper.prop_list import prop_list_pages
from tapscore.exports.paper.session_plan import session_plan_pages
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.exports.paper.text_flow import Piece, flow, own
from tapscore.exports.paper.writing_direction import stretches
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Entrance, Line, Offer, Prop, Role, Section, Story, Wait
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import BOARD, lane
from tests.exports.paper.test_card_layout import check_margins, tap_names
from tests.hill import HILL, story_of

WORDS = ("مَرْ-حَ-بًا يا قا-رِ-بُ هَيّا بِ-نا", "שָׁ-לוֹם יְ-לָ-דִים טוֹ-בִים", "آؤ کہانی سنیں")
PLAIN = tuple(words.replace("-", "") for words in WORDS)


def story() -> Story:
    """Arabic, Hebrew and Urdu lines, names and deeds, and English between them."""
    steps = "| X x x X x x | X x x X . . |"
    lines = (
        Line(WORDS[0], lane(steps), PartialManner(by=("سلمى",)), do="ارفع القماش 3 مرات (بهدوء)"),
        Line(WORDS[1], lane(steps), props_in=(Entrance("חרוזים", "middle"),)),
        Line(WORDS[2], lane(steps), warn_first="להתכופף", look_for="نظرة"),
        Line("Row the boat, سلمى, row a-way", lane(steps)),
        Wait(Fraction(10), "نظرة"),
        Offer("חרוזים"),
    )
    return Story(
        "قارب الفانوس",
        "ar",
        manner=PartialManner(Metre(6, 8), spot="middle"),
        board=BOARD,
        roles=(Role("leader", "north"), Role("سلمى", "east")),
        props=(Prop("חרוזים", "string of beads", 2, "طبق (12 حبة)", ("cord",)),),
        sections=(Section("المساء", lines),),
    )


def without_marks(text: str) -> str:
    """Letters alone: no points, which readers sort in their own ways, and no spaces."""
    plain = unicodedata.normalize("NFKD", text)
    return "".join(c for c in plain if unicodedata.category(c)[0] == "L")


def test_a_paragraph_that_begins_from_the_right_ends_its_lines_there() -> None:
    band = paragraph((Piece("שלום ילדים טובים " * 6),), 20.0, 300.0)
    texts = [e for e in band.blocks[0].elements if isinstance(e, TextRun)]
    rows = sorted({text.y for text in texts})
    assert len(rows) > 2
    rights = {round(max(t.x + t.width_pt for t in texts if t.y == row), 3) for row in rows}
    assert len(rights) == 1
    assert 295 < rights.pop() <= 300
    # Broken as it is read: the words from the top are the words of the text.
    said = " ".join("".join(t.text for t in texts if t.y == row) for row in rows)
    assert said.split() == ("שלום ילדים טובים " * 6).split()


def test_numbers_and_foreign_words_stand_where_the_algorithm_puts_them() -> None:
    flowed = flow((Piece("אב 12 גד car הו"),), 20.0, 1e6, as_begun=True)
    at = {text.text.strip(): text.x for text in flowed.texts}
    assert at["הו"] < at["car"] < at["גד"] < at["12"] < at["אב"]
    assert [t.text.strip() for t in flowed.texts] == ["אב", "12", "גד", "car", "הו"]


def test_a_name_in_a_sentence_of_ours_turns_nothing_round() -> None:
    flowed = flow((Piece(f"after {own('שלום')}: 3 of 4"),), 20.0, 1e6)
    assert [t.text for t in sorted(flowed.texts, key=lambda t: t.x)] == [
        "after ",
        "שלום",
        ": 3 of 4",
    ]


def test_words_stand_whole_above_the_taps_and_small_over_each() -> None:
    tale = story()
    pages = card_pages(tale, perform(tale), "leader")
    check_margins(pages)
    texts = [t for p in pages for b in p.blocks if b.tag != "Artifact" for t in _texts(b)]
    said = " ".join(t.text for t in texts if t.way == FROM_RIGHT)
    assert PLAIN[1] in said
    assert PLAIN[2] in said
    alts = [b.alt for p in pages for b in p.blocks if b.alt.startswith("Taps")]
    assert any("לָ: " in alt for alt in alts)
    assert tap_names(pages) == sum(t.role == "leader" for t in perform(tale).taps)
    small = [t for p in pages for b in p.blocks if b.tag == "Artifact" for t in _texts(b)]
    caption = [t for t in small if "יְ" in t.text or "לָ" in t.text]
    assert [t.text.strip("\N{ZERO WIDTH JOINER}") for t in caption] == ["יְ", "לָ"]
    assert caption[0].x < caption[1].x
    assert min(t.size_pt for t in texts) == 24


def _texts(block: Any) -> list[TextRun]:
    return [e for e in block.elements if isinstance(e, TextRun)]


def test_only_words_over_taps_are_told_of() -> None:
    found = print_findings(story())
    told = [f for f in found if f.code == "print-right-to-left"]
    assert [f.path for f in told] == [("story", 0, "lines", i) for i in range(4)]
    assert "left to right" in told[0].message


def spoken(pdf: bytes) -> list[str]:
    """What elements of the structure say instead of their letters."""
    found: list[str] = []

    def walk(element: Any) -> None:
        element = element.get_object() if hasattr(element, "get_object") else element
        if isinstance(element, list):
            for kid in element:
                walk(kid)
        elif isinstance(element, dict):
            if "/ActualText" in element:
                found.append(str(element["/ActualText"]))
            walk(element.get("/K", []))

    from io import BytesIO

    root: Any = PdfReader(BytesIO(pdf)).trailer["/Root"]
    walk(root["/StructTreeRoot"])
    return found


def test_the_structure_says_words_as_they_are_read() -> None:
    tale = story()
    said = "\n".join(spoken(large_words(tale, perform(tale)).pdf))
    for text in (tale.title, "المساء", *PLAIN, "سلمى", "חרוזים"):
        assert text in said


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler is missing")
def test_poppler_reads_the_words(tmp_path: Path) -> None:
    tale = story()
    for made in (large_words(tale, perform(tale)), home_version(tale, perform(tale))):
        (tmp_path / "words.pdf").write_bytes(made.pdf)
        done = subprocess.run(
            ["pdftotext", str(tmp_path / "words.pdf"), "-"], capture_output=True, check=True
        )
        said = {without_marks(word) for word in done.stdout.decode().split()}
        for words in (*PLAIN, tale.title, "חרוזים"):
            for word in words.split():
                assert without_marks(word) in said, word


def test_every_paper_of_such_a_story_follows_pdf_ua(tmp_path: Path) -> None:
    pytest.importorskip("page")
    from tests.exports.paper.test_pdf_ua import PAPERS, faults

    for name, make in PAPERS.items():
        made = make(story())
        assert faults(made.pdf, tmp_path) == [], name
        assert make(story()).pdf == made.pdf


SAYINGS = st.lists(
    st.sampled_from(["קוּ-קוּ", "مَر-حَ-با", "boat", "12", "(سلام)", "لا", "יֶ-לֶד!", "یہ،"]),
    min_size=1,
    max_size=12,
).map(" ".join)


@settings(max_examples=40, deadline=None)
@given(st.lists(SAYINGS, min_size=1, max_size=3), st.sampled_from(["A5", "A6", "120x180"]))
def test_every_word_is_on_cards_and_pages(sayings: list[str], paper: str) -> None:
    steps = "| x x . x | x . x x |"
    lines = tuple(Line(words, lane(steps), do=words) for words in sayings)
    tale = Story("T", roles=(Role("leader"),), sections=(Section("One", lines),))
    performance = perform(tale)
    cards = card_pages(tale, performance, "leader", paper=paper, distance_m=0.75)
    pages = large_words_pages(tale, performance)
    for made in (cards, pages):
        check_margins(made)
        said = without_marks(everything(made))
        for words in sayings:
            for word in words.replace("-", "").split():
                assert without_marks(word) in said
    assert tap_names(cards) == len(performance.taps)


def everything(pages: tuple[Page, ...]) -> str:
    return "".join(
        t.text for p in pages for b in p.blocks if b.tag != "Artifact" for t in _texts(b)
    )


def test_other_stories_load_nothing_for_it() -> None:
    # reportlab by itself loads uharfbuzz, if it is there.
    code = (
        "import sys; from tests.exports.paper.paper_samples import sample;"
        "from tapscore.exports.paper.cue_cards import cue_cards;"
        "from tapscore.rhythm.perform import perform;"
        "cue_cards(sample(), perform(sample()), 'leader');"
        "sys.exit('bidi' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


def test_cards_are_made_in_either_direction_with_backs() -> None:
    tale = story()
    made = cue_cards(tale, perform(tale), "سلمى", per_sheet=2, backs=True)
    assert made.pages % 2 == 0


NAMES = {
    **{"ann": "سلمى", "bea": "דנה", "cyd": "دعم", "dot": "نور", "bell": "فانوس", "silk": "חרוזים"},
    **{"up we go": "نشيد", "middle": "وسط", "low": "אמצע", "Morning": "صباح", "north": "شمال"},
}
NAMED = (
    HILL.replace("{at: [50, 70]}", "{at: [50, 70], with: bea}")
    .replace("a hand bell,", "a hand bell, cautions: [cord, noise], handed by: [dot, bea],")
    .replace("sets: 2,", "sets: 2, instead: a cloth,")
    + """\
      - {refrain: up we go, by: cyd}
      - words: Bang bang
        lane: "| X(low) . . . x . . . |"
        by: [bea, dot]
        says: [dot, bea]
        do: nod
        done by: [dot, bea]
        warn first: whisper
        warned by: [bea, cyd]
        warned through: [voice, touch]
        prop in: {bell: low}
        prop out: silk
      - {refrain: up we go, loudness: loud, says: bea}
"""
)


def named_from_the_right() -> Story:
    """A story in English whose adults, things, spots, section and refrain are not named in it."""
    text = NAMED
    for name, other in NAMES.items():
        text = re.sub(rf"(?<=[\[{{ (]){name}(?=[:,\]}})\n])", other, text)
    return story_of(text)


PAPERS: dict[str, Callable[..., tuple[Page, ...]]] = {
    "briefing": briefing_pages,
    "step in": supply_pages,
    "plan": session_plan_pages,
    "props": prop_list_pages,
    "home": home_pages,
    "cue sheet": sheet_pages,
    "slips": observation_pages,
    **{f"part {n}": partial(part_pages, role=NAMES[n]) for n in ("ann", "bea", "cyd", "dot")},
    **{f"cards {n}": partial(card_pages, role=NAMES[n]) for n in ("ann", "bea", "cyd", "dot")},
}


@pytest.mark.parametrize("paper", PAPERS)
def test_a_sentence_of_ours_stays_in_its_order_whatever_the_names_in_it(paper: str) -> None:
    """UAX #9, P2: what is kept apart has no say in the direction of a paragraph.

    Sentences were turned round by a role they begin with, “, 2nd time” by the refrain before it.
    """
    told = named_from_the_right()
    found = 0
    for page in PAPERS[paper](told, perform(told)):
        for block in page.blocks:
            texts = [e for e in block.elements if isinstance(e, TextRun)]
            if block.tag == "Figure" or not re.search("[A-Za-z]", "".join(t.text for t in texts)):
                continue
            found += any(text.way == FROM_RIGHT for text in texts)
            for before, after in pairwise(texts):
                assert after.x >= before.x or after.y > before.y + after.size_pt / 2
    assert found > 2


def test_what_goes_on_in_the_next_line_is_the_text_that_was_begun() -> None:
    """The end of the line went to its left: the name in it was over, the sentence was not."""
    inside, end = "\N{FIRST STRONG ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"
    before = f"{inside}So {inside}دعم{end} goes "
    (whole,) = stretches("on.", from_right=False, before=before)
    assert not whole.from_right
