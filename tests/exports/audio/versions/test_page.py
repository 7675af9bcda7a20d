"""The page of a set, read as a browser reads it."""

import json
import re
from fractions import Fraction
from html.parser import HTMLParser

import pytest

from tapscore.exports.audio.versions.page import PageEntry, index_page, page_entry
from tapscore.exports.audio.versions.version import versions
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Refrain, RefrainUse, Role, Section, Story, Wait
from tapscore.storyfile.read import read_text
from tests.exports.audio.audio_stories import lane
from tests.exports.audio.versions.test_versions import told

VOID = {"meta", "input", "link", "br"}


class _Reader(HTMLParser):
    """Checks that elements are closed in order, and gathers buttons and identities."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.buttons: list[dict[str, str | None]] = []
        self.ids: list[str] = []
        self.text: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if tag not in VOID:
            self.open.append(tag)
        if tag == "button":
            self.buttons.append(found)
        if found.get("id"):
            self.ids.append(str(found["id"]))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.text[self.open[-1]] = self.text.get(self.open[-1], "") + data


def _entries(story: Story) -> list[PageEntry]:
    return [
        page_entry(version, version.performance(), f"sound/{version.stem}.mp3", 9.0)
        for version in versions(story)
    ]


def _read(story: Story) -> tuple[_Reader, str]:
    page = index_page(story, _entries(story))
    reader = _Reader()
    reader.feed(page)
    assert not reader.open
    assert len(set(reader.ids)) == len(reader.ids)
    return reader, page


def test_every_version_has_a_button_with_its_words() -> None:
    reader, _ = _read(told())
    chosen = [button for button in reader.buttons if "data-entry" in button]
    assert [button["data-entry"] for button in chosen] == [
        str(i) for i in range(len(versions(told())))
    ]
    assert all(button["type"] == "button" for button in reader.buttons)
    assert reader.text["h1"] == "The Mill & the Moon"
    assert "ShownLine the lantern home" in reader.text["span"]


def test_every_element_the_script_asks_for_is_there() -> None:
    reader, page = _read(told())
    asked = re.findall(r'getElementById\("(\w+)"\)', page)
    assert asked
    assert set(asked) <= set(reader.ids)


def test_nothing_plays_by_itself() -> None:
    _, page = _read(told())
    assert "autoplay" not in page
    assert page.count("sound.play()") == 1
    body = page[page.index("function toggle") :]
    assert "sound.play()" in body[: body.index("}\n\nfunction")]


def test_words_cannot_break_out_of_the_page() -> None:
    evil = "</script><img src=x onerror=alert(1)>\u2028"
    story = Story(evil, sections=(Section(evil, (Line(evil, lane("x.x.")),)),))
    reader, page = _read(story)
    assert "<img" not in page
    (line,) = re.findall(r"const entries = (.*);\n", page)
    entries = json.loads(line)
    assert entries[0]["rows"][0]["words"].startswith("</script>")
    assert reader.text["h1"].startswith("</script>")


OWASP = (
    "<script>alert(1)</script>",
    "</script><script>alert(1)</script>",
    "<!--<script>",
    "--><svg/onload=alert(1)>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    '" autofocus onfocus=alert(1) x="',
    "javascript:alert(1)",
    "&#106;avascript:alert(1)",
    "</title></textarea></style><script>alert(1)</script>",
    "<a href=javascript:alert(1)>x</a>",
    "`${alert(1)}`",
    "{{7*7}}${7*7}",
    "\\u003cscript\\u003ealert(1)",
    "<![CDATA[<script>]]>",
    "<iframe srcdoc='<script>alert(1)</script>'>",
)
"""After OWASP's lists for HTML, attributes, scripts and templates (from memory)."""


@pytest.mark.parametrize("evil", OWASP)
def test_no_text_of_a_story_becomes_part_of_the_page(evil: str) -> None:
    """The page has the same elements with the same attributes' names as with harmless words."""

    def story(words: str) -> Story:
        line = Line(words, lane("x.x."), PartialManner(by=(words,)), look_for=words, do=words)
        return Story(
            words,
            roles=(Role("leader"), Role(words)),
            refrains=(Refrain(words, (Line(words, lane("x.x.")),)),),
            sections=(Section(words, (line, RefrainUse(words), Wait(Fraction(5), words))),),
        )

    def elements(page: str) -> list[tuple[str, tuple[str, ...]]]:
        found: list[tuple[str, tuple[str, ...]]] = []

        class Elements(HTMLParser):
            def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
                found.append((tag, tuple(sorted(name for name, _ in attrs))))

        Elements().feed(page)
        return found

    _, page = _read(story(evil))
    _, harmless = _read(story("row the boat"))
    assert elements(page) == elements(harmless)
    (line,) = re.findall(r"const entries = (.*);\n", page)
    assert not set(line) & set("<\u2028\u2029")
    assert any(evil in row["words"] for entry in json.loads(line) for row in entry["rows"])


def test_rows_say_who_taps_and_what_to_wait_for() -> None:
    entries = _entries(told())
    helper = next(entry for entry in entries if entry.role == "helper")
    assert [(row.label, row.mine) for row in helper.rows] == [
        *[("1", False), ("home", True), ("", False)],
        *[("2", True), ("home", True)],
    ]
    assert helper.rows[2].words == "Wait 4 seconds or longer"
    starts = [row.start_sec for row in helper.rows]
    assert starts == sorted(starts)
    assert starts[0] > 0


def test_names_from_right_to_left_are_kept_apart_everywhere_on_the_page() -> None:
    """UAX #9: a name between FSI and PDI turns nothing round that stands beside it."""
    story = read_text(HEBREW).story
    assert story is not None
    page = index_page(story, _entries(story))
    seen = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    # the line's own words alone are no part of a sentence of ours: their element has its direction
    entries = json.loads(seen.split("const entries = ")[1].split(";\nconst texts")[0])
    sentences = [entry["title"] for entry in entries]
    for entry in entries:
        sentences += [row["words"] for row in entry["rows"] if row["kind"] != "line"]
        sentences += [words for row in entry["rows"] for _, words in row["notes"]]
    outside = [re.sub("\u2068[^\u2068\u2069]*\u2069", "", each) for each in sentences]
    assert not [each for each in outside if re.search("[\u05d0-\u05ea]", each)]
    told_of = " ".join(sentences)
    for name in ("חרוזים", "משי", "מנחה", "אמצע", "בוקר", "מבט", "הרימו", "לחשו"):
        assert f"\u2068{name}" in told_of, name
    assert "Offer the \u2068חרוזים\u2069: 1 turn" in told_of  # no space before the colon
    assert '<h1 dir="auto">\u2068סירה\u2069</h1>' in page
    assert "<title>\u2068סירה\u2069: rehearse</title>" in page
    assert page.count('<span class="said" dir="auto">') == 2


HEBREW = """\
tapscore: 2
title: סירה
roles: {מנחה: , bea: }
props: {חרוזים: {what: beads, by: bea}, משי: {what: silk, by: מנחה}}
board: {size_cm: [120, 90], spots: {אמצע: [60, 45]}}
by: bea
story:
  - section: בוקר
    lines:
      - words: בוקר טוב
        lane: "| X x . . . . . . |"
        prop in: {חרוזים: אמצע, משי: אמצע}
        do: הרימו
        done by: מנחה
        says: [מנחה, bea]
      - offer: חרוזים
        look for: מבט
      - words: Splash
        lane: "| X . . . . . . . |"
        warn first: לחשו
        warned by: מנחה
        prop out: [משי]
      - {wait: 10, look for: מבט}
"""
