"""What is said of rehearsals and which place each sentence means, worked out by hand."""

from types import SimpleNamespace
from typing import Any

import pytest
from attrs import evolve
from PySide6.QtWidgets import QApplication

from tapscore.gui.document import Document
from tapscore.gui.listening_back import heard_so_far, offers
from tapscore.gui.listening_back.heard_so_far import HeardSoFar, difference_in
from tapscore.gui.listening_back.offers import Offers
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.rehearsal.differences import Difference
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.wording.about import About, LineName
from tapscore.workflow.rehearsals import LineHeard, Repeated
from tests.gui.listening.fakes import TWO_WAITS, story_of

PERFORMED = perform(story_of())
# segments: 0, 1 lines, 2 a wait, 3, 4 the refrain, 5 a line, 6 a line, 7 an offering, 8 a line


def waited(segment: int, at_sec: float | None = 20.0, until_sec: float | None = 24.0) -> Repeated:
    about = About(line=LineName(2), time=0, returns=None, lasted=4, wanted=10)
    path = PERFORMED.segments[segment].path
    finding = Finding("told-wait", Severity.ADVICE, path, None, about)
    return Repeated(Difference(finding, 3.0, segment, at_sec, until_sec, as_told=True), 1)


def line(segment: int, begin_sec: float | None = 5.0, end_sec: float | None = 7.0) -> LineHeard:
    return LineHeard(segment, f"{segment}", "words", "sure", 0.0, 2.0, 120, begin_sec, end_sec)


def rehearsal(*, told: bool = True, begin_sec: float = 1.5) -> Any:
    return SimpleNamespace(
        performance=PERFORMED,
        can_tell=told,
        told=SimpleNamespace(begin_sec=begin_sec) if told else None,
    )


@pytest.fixture
def heard(monkeypatch: pytest.MonkeyPatch) -> HeardSoFar:
    lines = (line(0), line(1), line(3, None), line(5, 9.0, None))
    said = (waited(2), waited(7))
    monkeypatch.setattr(heard_so_far, "lines_heard", lambda _: lines)
    monkeypatch.setattr(heard_so_far, "keeps_happening", lambda rehearsals: said[: len(rehearsals)])
    return HeardSoFar()


def test_differences_first_then_every_line(heard: HeardSoFar) -> None:
    assert heard.sentence_at(0) is None
    assert not heard.can_tell
    assert heard.lines_told == ()
    heard.add(rehearsal())
    heard.add(rehearsal())
    assert [heard.sentence_at(row) for row in range(-1, 7)] == [
        *(None, *heard.said, *heard.lines, None),
    ]
    assert heard.row_of_line(1) == 3
    assert heard.lines_told == heard.lines
    heard.without_last()
    assert len(heard.rehearsals) == 1
    heard.add(rehearsal(told=False))
    assert heard.said == []
    assert heard.lines_told == ()


def test_which_line_is_meant_of_a_wait_the_one_before(heard: HeardSoFar) -> None:
    heard.add(rehearsal())
    assert heard.segment_of(waited(2)) == 1
    assert heard.segment_of(waited(7)) == 6
    assert heard.segment_of(waited(5)) == 5
    assert heard.segment_of(line(3)) == 3
    assert heard.line_of(waited(2)) == 1
    assert heard.line_of(waited(7)) is None, "its line is not among those heard"
    assert heard.line_of(line(5)) == 3


def test_when_it_is_in_the_file(heard: HeardSoFar) -> None:
    """A difference counts from where the story begins in the file, a line from the file's own."""
    assert heard.place_sec(None) is None
    heard.add(rehearsal())
    assert heard.place_sec(waited(2)) == (21.5, 25.5)
    assert heard.place_sec(waited(2, None)) is None
    assert heard.place_sec(waited(2, 20.0, None)) is None
    assert heard.place_sec(line(0)) == (5.0, 7.0)
    assert heard.place_sec(line(3, None)) is None
    assert heard.place_sec(line(5, 9.0, None)) is None
    assert heard.difference_with_time(waited(2)) == f"{waited(2).message} (0:22)"
    assert heard.difference_with_time(waited(2, None)) == waited(2).message
    assert difference_in(waited(2)) == waited(2).difference
    assert difference_in(line(0)) is None
    assert difference_in(None) is None


class Offered:
    def __init__(self, heard: HeardSoFar) -> None:
        self.document = Document(read_text(TWO_WAITS), None)
        self.heard = heard
        self.offers = Offers(self.document, heard)
        self.editing: list[bool] = []
        self.document.changed.connect(lambda *_: self.editing.append(self.offers.editing))


@pytest.fixture
def offered(qapp: QApplication, heard: HeardSoFar, monkeypatch: pytest.MonkeyPatch) -> Offered:
    def told(story: Story, _: object, difference: Difference) -> Story | None:
        return None if difference.segment == 7 else evolve(story, title=f"{story.title}!")

    monkeypatch.setattr(offers, "as_told", told)
    heard.add(rehearsal())
    heard.add(rehearsal())
    return Offered(heard)


def test_made_as_told_taken_off_the_list_and_put_back_when_undone(offered: Offered) -> None:
    first, second = offered.heard.said
    assert offered.offers.make_as_told(first)
    assert offered.document.story.title == "Two waits!"
    assert offered.document.undo_stack.undoText() == "Make the wait as told"
    assert offered.heard.said == [second]
    assert not offered.offers.make_as_told(second), "it is so already"
    assert offered.heard.said == [second]
    assert offered.editing == [True]
    assert offered.offers.undo() == 0
    assert offered.heard.said == [first, second]
    assert offered.document.story.title == "Two waits"
    assert offered.editing == [True, True]
    assert not offered.offers.editing


def test_another_step_undone_puts_nothing_back(offered: Offered) -> None:
    first, second = offered.heard.said
    offered.offers.make_as_told(first)
    offered.document.edit("Title", evolve(offered.document.story, title="Other"))
    assert offered.offers.undo() is None
    assert offered.heard.said == [second]
    assert offered.editing == [True, False, False]
    assert offered.offers.undo() == 0, "now it is the last step again"
    assert offered.heard.said == [first, second]


def test_what_is_left_or_forgotten_stays_off(offered: Offered) -> None:
    first, second = offered.heard.said
    offered.offers.leave(second)
    assert offered.heard.said == [first]
    offered.offers.make_as_told(first)
    offered.offers.forget()
    assert offered.offers.undo() is None
    assert offered.heard.said == []
    assert offered.document.story.title == "Two waits"
