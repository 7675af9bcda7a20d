"""A line keeps the metre it was written in, wherever it goes: else its bars are full no more."""

from collections.abc import Callable

import pytest
from attrs import evolve
from PySide6.QtWidgets import QApplication

from tapscore.gui.clipboard import copied_rows, read_copied, with_refrains
from tapscore.gui.document import Document
from tapscore.gui.editor.editing import StoryEditing
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.rhythm.unroll import as_written
from tapscore.screen.rows import Row, rows_of
from tapscore.storyfile.read import read_text
from tapscore.workflow.open_story import checked_story

TEXT = """\
tapscore: 2
title: Two metres
metre: 6/8
roles: {leader: {}, helper: {}}
refrains:
  home:
    - words: row and row
      lane: "| X . x X . . |"
story:
  - section: Rocking
    lines:
      - words: rock and rock
        lane: "| X . x X . . |"
      - refrain: home
  - section: Walking
    metre: 2/4
    lines:
      - words: walk and walk
        lane: "| X . x . | X . . . |"
      - words: on and on
        lane: "| X . x . | X . . . |"
"""
THERE = """\
tapscore: 2
title: There
metre: {metre}
roles: {{leader: {{}}, helper: {{}}}}
story:
  - section: One
    lines:
      - words: hm
"""
MUCH = ("bars-full", "beats-full")


class Desk:
    def __init__(self, text: str = TEXT) -> None:
        source = read_text(text)
        assert source.findings == ()
        self.document = Document(source, None)
        self.editing = StoryEditing(self.document)

    @property
    def story(self) -> Story:
        return self.document.story

    def row(self, words: str) -> Row:
        return next(
            row
            for row in rows_of(self.story)
            if words in (row.title, row.line.words if row.line else None)
        )

    def metres(self) -> dict[str, str]:
        return {
            each.line.words: str(each.manner.metre)
            for each in as_written(self.story)
            if each.line is not None
        }

    def own(self) -> list[str]:
        return [
            f"{each.line.words}: {each.line.manner.metre}"
            for each in as_written(self.story)
            if each.line is not None and each.line.manner.metre is not None
        ]


WAS = {
    "rock and rock": "6/8",
    "walk and walk": "2/4",
    "on and on": "2/4",
    "row and row": "6/8",
}


@pytest.fixture
def desk(qapp: QApplication) -> Desk:
    return Desk()


@pytest.mark.parametrize(
    ("edit", "own"),
    [
        (lambda d: d.editing.move([d.row("walk and walk")], -1), ["walk and walk: 2/4"]),
        (lambda d: d.editing.move_to([d.row("rock and rock")], d.row("on and on")), None),
        (lambda d: d.editing.delete([d.row("Walking")]), ["walk and walk: 2/4", "on and on: 2/4"]),
        (lambda d: d.editing.make_refrain([d.row("on and on")]), ["on and on: 2/4"]),
        (lambda d: d.editing.move([d.row("on and on")], -1), []),
        (lambda d: d.editing.delete([d.row("rock and rock")]), []),
    ],
)
def test_what_goes_elsewhere(
    edit: Callable[[Desk], object], own: list[str] | None, desk: Desk
) -> None:
    edit(desk)
    assert desk.metres() == {words: WAS[words] for words in desk.metres()}
    assert desk.own() == (["rock and rock: 6/8"] if own is None else own)
    assert not [f for f in checked_story(desk.story).findings if f.code in MUCH]


def test_back_among_its_like_it_says_nothing_again(desk: Desk) -> None:
    before = desk.document.text()
    desk.editing.move([desk.row("walk and walk")], -1)
    assert desk.document.text() != before
    desk.editing.move([desk.row("walk and walk")], 1)
    assert desk.document.text() == before


def test_what_a_line_says_itself_stays_where_it_is(desk: Desk) -> None:
    section = desk.story.sections[1]
    line = section.items[1]
    assert isinstance(line, Line)
    said = evolve(line, manner=evolve(line.manner, metre=Metre(2, 4)))
    items = (section.items[0], said)
    sections = (desk.story.sections[0], evolve(section, items=items))
    desk.document.edit("Said", evolve(desk.story, sections=sections))
    desk.editing.move([desk.row("on and on")], -1)
    assert desk.own() == ["on and on: 2/4"]


@pytest.mark.parametrize("other", ["6/8", "3/4"])
def test_what_is_copied_into_another_story_keeps_its_metre(desk: Desk, other: str) -> None:
    rows = [row for row in rows_of(desk.story)[:6] if row.item is not None]
    copied = read_copied(copied_rows(rows, desk.story))
    there = Desk(THERE.format(metre=other))
    there.editing.insert_all(
        "Paste",
        there.row("hm"),
        copied.items,
        lambda story: with_refrains(story, copied.refrains),
        copied.source,
    )
    assert {words: metre for words, metre in there.metres().items() if words != "hm"} == WAS
    usual = [words for words, metre in WAS.items() if metre == other]
    assert not [said for said in there.own() if said.split(":")[0] in usual]


def test_what_is_cut_and_put_back_is_as_it_was(desk: Desk) -> None:
    for words, below in (("walk and walk", "Walking"), ("rock and rock", "Rocking")):
        before = desk.metres()
        copied = read_copied(copied_rows([desk.row(words)], desk.story))
        desk.editing.delete([desk.row(words)])
        desk.editing.insert_all("Paste", desk.row(below), copied.items, source=copied.source)
        assert (desk.metres(), desk.own()) == (before, [])
