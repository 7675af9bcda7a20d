"""Words in families' languages in the home version, each in its own direction (UAX #9)."""

from io import BytesIO
from typing import Any

import pytest
from attrs import evolve
from pypdf import PdfReader

from tapscore.exports.paper.drawing import Panel
from tapscore.exports.paper.home_version import MARGIN_MM, TRANSLATED_PT, home_pages, home_version
from tapscore.exports.paper.inks import TEAL
from tapscore.exports.paper.part_sheets import part_pages, part_sheets
from tapscore.exports.paper.print_findings import print_findings
from tapscore.exports.paper.running_pages import sheet_of
from tapscore.model.finding import StoryPath
from tapscore.model.story import Line, Story, Translation
from tapscore.model.walk import change_lines
from tapscore.rhythm.perform import perform
from tapscore.workflow.translations import languages_of, only_in, trouble_with_language
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.test_card_layout import check_margins

POLISH, URDU = "Wiosłuj, latarnio, płyń", "لالٹین کی کشتی چلاؤ"


def with_refrain_in(*told: Translation) -> Story:
    def translated(path: StoryPath, line: Line) -> Line:
        return evolve(line, translations=told) if path[0] == "refrains" else line

    return change_lines(sample(), translated)


def test_they_stand_under_the_refrain_as_each_is_written() -> None:
    story = with_refrain_in(Translation("pl", POLISH), Translation("ur", URDU))
    pages = home_pages(story, perform(story))
    check_margins(pages)
    large = [t for page in pages for t in page.texts if t.size_pt == TRANSLATED_PT]
    lines = sum(isinstance(item, Line) for r in story.refrains for item in r.items)
    polish = [t for t in large if "Wios" in t.text]
    assert len(polish) == lines, "once under each line of the refrain, the first time"
    size = sheet_of("A4", MARGIN_MM)
    assert all(t.x == pytest.approx(size.margin_pt, abs=1) for t in polish)
    urdu = [t for t in large if t not in polish and not t.text.isascii()]
    urdu = [t for t in urdu if not any(c in "łń" for c in t.text)]
    assert urdu
    right = max(t.x + t.width_pt for t in urdu)
    assert right == pytest.approx(size.width_pt - size.margin_pt, abs=2)


def languages(pdf: bytes) -> dict[str, str]:
    """By language what a reader that speaks says in it (ISO 32000-1, 14.9.2; Matterhorn 11-001)."""
    reader = PdfReader(BytesIO(pdf), strict=True)
    said: dict[str, str] = {}

    def walk(element: Any, language: str) -> None:
        element = element.get_object()
        if not isinstance(element, dict):
            return
        language = str(element.get("/Lang", language))
        if "/ActualText" in element:
            said[language] = said.get(language, "") + str(element["/ActualText"])
        else:
            said.setdefault(language, "")
        kids = element.get("/K", [])
        for kid in kids if isinstance(kids, list) else [kids]:
            walk(kid, language)

    root: Any = reader.trailer["/Root"]
    walk(root["/StructTreeRoot"], str(root["/Lang"]))
    return said


def test_each_language_is_marked_for_readers_that_speak() -> None:
    story = with_refrain_in(Translation("pl", POLISH), Translation("ur", URDU))
    found = languages(home_version(story, perform(story)).pdf)
    assert set(found) == {"en-GB", "pl", "ur"}
    assert "لالٹین" in found["ur"]
    assert set(languages(home_version(sample(), perform(sample())).pdf)) == {"en-GB"}
    role = story.role_names[0]
    assert set(languages(part_sheets(story, perform(story), role, language="pl").pdf)) == {
        "en-GB",
        "pl",
    }


@pytest.mark.parametrize(("tag", "there"), [("", ""), ("pl", "Wios"), ("cy", "")])
def test_part_sheets_have_one_language_if_it_is_chosen(tag: str, there: str) -> None:
    story = with_refrain_in(Translation("pl", POLISH), Translation("ur", URDU))
    performance = perform(story)
    for role in story.role_names:
        pages = part_pages(story, performance, role, language=tag)
        check_margins(pages)
        words = " ".join(t.text for page in pages for t in page.texts)
        assert ("Wios" in words) == bool(there), role
        assert not any("\u0600" <= letter <= "\u06ff" for letter in words)
        if not there:
            assert pages == part_pages(sample(), performance, role)


def test_words_from_right_to_left_stay_off_the_frame_of_the_refrain() -> None:
    story = with_refrain_in(Translation("ur", URDU))
    for role in story.role_names:
        for page in part_pages(story, perform(story), role, language="ur"):
            urdu = [t for t in page.texts if any("\u0600" <= c <= "\u06ff" for c in t.text)]
            panels = [e for b in page.blocks for e in b.elements if isinstance(e, Panel)]
            frames = [e.x + e.width_pt for e in panels if e.edge == TEAL]
            for text in urdu:
                right = min(edge for edge in frames if edge > text.x)
                assert text.x + text.width_pt < right - 4.0


def test_the_home_version_has_the_chosen_language_alone() -> None:
    story = with_refrain_in(Translation("pl", POLISH), Translation("ur", URDU))
    assert languages_of(story) == ("pl", "ur")
    assert only_in(story, "") == story
    chosen = only_in(story, "pl")
    assert chosen == with_refrain_in(Translation("pl", POLISH))
    words = " ".join(t.text for page in home_pages(chosen, perform(chosen)) for t in page.texts)
    assert "Wios" in words
    assert not any("\u0600" <= letter <= "\u06ff" for letter in words)
    assert trouble_with_language(story, "ur") == ""
    assert "There are: pl, ur." in trouble_with_language(story, "cy")
    assert "No line has words in “pl”" in trouble_with_language(sample(), "pl")


def test_letters_that_no_font_has_are_told_of() -> None:
    def lost(told: Translation) -> bool:
        found = print_findings(with_refrain_in(told))
        return any(each.code == "print-missing" for each in found)

    assert not lost(Translation("pl", POLISH))
    assert not lost(Translation("ur", URDU))
    assert lost(Translation("zh-Hant", "划船"))
