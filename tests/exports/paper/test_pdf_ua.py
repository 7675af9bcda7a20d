"""Tagged structure, by a checker of its own: page-validation, 104 rules of PDF/UA-1."""

from collections.abc import Callable
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import HealthCheck, given, settings

from tapscore.exports.paper.briefing import briefing
from tapscore.exports.paper.cautions_page import cautions_page
from tapscore.exports.paper.cue_cards import cue_cards
from tapscore.exports.paper.cue_sheet import cue_sheet
from tapscore.exports.paper.floor_plan import floor_plan
from tapscore.exports.paper.hall_screen import hall_screen
from tapscore.exports.paper.home_version import home_version
from tapscore.exports.paper.large_words import large_words
from tapscore.exports.paper.observation_slips import observation_slips
from tapscore.exports.paper.part_sheets import part_sheets
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.pdf_objects import tidy
from tapscore.exports.paper.pocket_key import pocket_key
from tapscore.exports.paper.prop_list import box_label, prop_list
from tapscore.exports.paper.session_plan import session_plan
from tapscore.exports.paper.supply_sheet import supply_sheet
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample
from tests.strategies import stories

checker = pytest.importorskip("page")

PAPERS: dict[str, Callable[[Story], Printed]] = {
    "cards": lambda story: cue_cards(story, perform(story), story.role_names[0]),
    "part sheets": lambda story: part_sheets(story, perform(story), story.role_names[0]),
    "cut cards": lambda story: cue_cards(
        story, perform(story), story.role_names[-1], per_sheet=2, backs=True
    ),
    "sheet": lambda story: cue_sheet(story, perform(story)),
    "key": pocket_key,
    "props": lambda story: prop_list(story, perform(story)),
    "label": box_label,
    "floor": floor_plan,
    "briefing": lambda story: briefing(story, perform(story)),
    "screen": lambda story: hall_screen(story, perform(story)),
    "step in": lambda story: supply_sheet(story, perform(story)),
    "plan": lambda story: session_plan(story, perform(story)),
    "slips": lambda story: observation_slips(story, perform(story)),
    "home": lambda story: home_version(story, perform(story)),
    "words": lambda story: large_words(story, perform(story)),
    "cautions": cautions_page,
}


def faults(pdf: bytes, folder: Path) -> list[str]:
    """What the checker finds against PDF/UA-1."""
    path = folder / "paper.pdf"
    path.write_bytes(pdf)
    report = checker.validate_pdf(str(path), profile=checker.ValidationProfile.PDF_UA_1)
    assert report.rules.total > 100
    return [f"{failure.rule_id}: {failure.message}" for failure in report.failures]


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_follows_pdf_ua(name: str, tmp_path: Path) -> None:
    bare = evolve(sample(), board=None, props=())
    assert faults(PAPERS[name](sample()).pdf, tmp_path) == []
    assert faults(PAPERS[name](bare).pdf, tmp_path) == []


@pytest.mark.parametrize("name", ["cards", "part sheets", "sheet", "home"])
@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(story=stories)
def test_papers_of_any_story_follow_pdf_ua(name: str, story: Story, tmp_path: Path) -> None:
    assert faults(PAPERS[name](story).pdf, tmp_path) == []


@pytest.mark.parametrize(
    ("what", "instead", "rule"),
    [
        (b"/Marked true", b"/Marked null", "TAGGED"),
        (b"pdfuaid:part>1", b"pdfuaid:part>7", "ID-PART"),
        (b"/DisplayDocTitle true", b"/DisplayDocTitle null", "VIEWER"),
    ],
)
def test_the_checker_sees_what_is_broken(
    what: bytes, instead: bytes, rule: str, tmp_path: Path
) -> None:
    pdf = PAPERS["words"](sample()).pdf
    assert what in pdf
    assert any(rule in fault for fault in faults(pdf.replace(what, instead), tmp_path))


def test_character_maps_name_no_code_that_stands_for_nothing() -> None:
    entries = "".join(f"<{i:02X}> <{0 if i < 8 else 64 + i:04X}>\n" for i in range(128))
    cmap = f"begincmap\n<00> <7F>\nendcodespacerange\n128 beginbfchar\n{entries}endbfchar\nendcmap"
    made = tidy(cmap)
    assert "<0000>" not in made
    assert made.count("> <00") == 120
    # Adobe's CMap specification: at most 100 entries in one block.
    assert "100 beginbfchar" in made
    assert "20 beginbfchar" in made
    assert made.startswith("begincmap\n<00> <7F>\n")
    assert made.endswith("endbfchar\nendcmap")


def test_characters_beyond_the_first_plane_are_mapped_in_utf_16() -> None:
    # RFC 2781: U+1F600 is D83D DE00.
    cmap = "<00> <7F>\nendcodespacerange\n1 beginbfchar\n<08> <1F600>\nendbfchar\nendcmap"
    assert "<08> <D83DDE00>" in tidy(cmap)
