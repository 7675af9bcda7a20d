"""Every edit of the story worked out by hand: what it leaves, its name, where the cursor goes.

A document alone, without a window.
"""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve
from PySide6.QtWidgets import QApplication

from tapscore.gui.document import Document
from tapscore.gui.editor.editing import StoryEditing, stepped
from tapscore.model import edits
from tapscore.model.fewer_taps import Tapped
from tapscore.model.lane_edits import event_places, free_place_after
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.metre import parse_metre
from tapscore.model.story import Line, Offer, RefrainUse, Story, Wait
from tapscore.model.words import printed
from tapscore.screen.rows import Row, RowKind, rows_of
from tapscore.storyfile.read import StoryText, read_text
from tapscore.workflow.cut_and_join import join_lines
from tapscore.workflow.find_words import find_words

pytestmark = pytest.mark.usefixtures("qapp")

TEXT = """\
tapscore: 2
title: Small
metre: 2/4
roles: {leader: {}, helper: {}}
props: {cup: {what: cup}}
refrains:
  home:
    - words: row it home
      lane: "| X . x . | X . . . |"
story:
  - section: One
    lines:
      - words: first the moon
        lane: "| X . x . | X . . . |"
      - refrain: home
      - words: then the sun
        lane: "| X . x . | X . . . |"
        loudness: loud
      - wait: 10
  - section: Two
    lines:
      - offer: cup
      - words: last the rain
        lane: "| X . x . | X . . . |"
"""


class Desk:
    """A document with its edits; rows are named by their words or kind."""

    def __init__(self) -> None:
        source = read_text(TEXT)
        assert source.findings == ()
        self.document = Document(source, None)
        self.editing = StoryEditing(self.document)

    @property
    def story(self) -> Story:
        return self.document.story

    def rows(self) -> tuple[Row, ...]:
        return rows_of(self.story)

    def row(self, name: str) -> Row:
        return next(row for row in self.rows() if said(row) == name)

    def some(self, *names: str) -> list[Row]:
        return [self.row(name) for name in names]

    def step(self) -> str:
        return self.document.undo_stack.undoText()

    def all(self) -> list[str]:
        return [said(row) for row in self.rows()]


def said(row: Row) -> str:
    if row.line is not None:
        return printed(row.line.words)
    return row.title or row.kind.value


@pytest.fixture
def desk(qapp: QApplication) -> Desk:
    return Desk()


ONE = ["One", "first the moon", "home", "then the sun", "wait"]
TWO = ["Two", "offering", "last the rain"]
HOME = ["home", "row it home"]


def test_the_story_as_rows(desk: Desk) -> None:
    assert desk.all() == [*ONE, *TWO, *HOME]


# name of the edit, what is done, all rows afterwards, the step's name, what it gives
Edit = Callable[[StoryEditing, Desk], Any]
EDITS: list[tuple[str, Edit, list[str], str, Any]] = [
    (
        "insert after a line",
        lambda e, d: e.insert(d.row("then the sun"), Line("new")),
        [*ONE[:4], "new", "wait", *TWO, *HOME],
        "Add line",
        ("story", 0, "lines", 3),
    ),
    (
        "insert after a heading",
        lambda e, d: e.insert(d.row("Two"), Wait(Fraction(5))),
        [*ONE, "Two", "wait", *TWO[1:], *HOME],
        "Add wait",
        ("story", 1, "lines", 0),
    ),
    (
        "insert at the end",
        lambda e, _: e.insert(None, Offer("cup")),
        [*ONE, *TWO, "offering", *HOME],
        "Add offering",
        ("story", 1, "lines", 2),
    ),
    (
        "insert a return",
        lambda e, d: e.insert(d.row("offering"), RefrainUse("home")),
        [*ONE, *TWO[:2], "home", TWO[2], *HOME],
        "Add refrain",
        ("story", 1, "lines", 1),
    ),
    (
        "section after the one",
        lambda e, d: e.insert_section(d.row("first the moon")),
        [*ONE, "New section", "hint-", *TWO, *HOME],
        "Add section",
        ("story", 1),
    ),
    (
        "section at the end",
        lambda e, _: e.insert_section(None),
        [*ONE, *TWO, "New section", "hint-", *HOME],
        "Add section",
        ("story", 2),
    ),
    (
        "section from within a refrain",
        lambda e, d: e.insert_section(d.row("row it home")),
        [*ONE, *TWO, "New section", "hint-", *HOME],
        "Add section",
        ("story", 2),
    ),
    (
        "rename",
        lambda e, _: e.rename_section(1, "Three"),
        [*ONE, "Three", *TWO[1:], *HOME],
        "Change heading",
        None,
    ),
    (
        "paste",
        lambda e, d: e.paste_words(d.row("first the moon"), " the   fox \n\n\t\nthe hen\n"),
        [*ONE[:2], "the fox", "the hen", *ONE[2:], *TWO, *HOME],
        "Paste words",
        (("story", 0, "lines", 1), ("story", 0, "lines", 2)),
    ),
    (
        "delete two",
        lambda e, d: e.delete(d.some("first the moon", "wait")),
        ["One", "home", "then the sun", *TWO, *HOME],
        "Delete 2 rows",
        True,
    ),
    (
        "delete a section",
        lambda e, d: e.delete(d.some("Two")),
        [*ONE, *TWO[1:], *HOME],
        "Delete heading",
        True,
    ),
    (
        "repeat",
        lambda e, d: e.repeat(d.some("then the sun", "wait")),
        [*ONE, "then the sun", "wait", *TWO, *HOME],
        "Repeat 2 rows",
        (("story", 0, "lines", 4), ("story", 0, "lines", 5)),
    ),
    (
        "move up",
        lambda e, d: e.move(d.some("then the sun"), -1),
        ["One", "first the moon", "then the sun", "home", "wait", *TWO, *HOME],
        "Move line",
        (("story", 0, "lines", 1),),
    ),
    (
        "move down",
        lambda e, d: e.move(d.some("first the moon"), 1),
        ["One", "home", "first the moon", "then the sun", "wait", *TWO, *HOME],
        "Move line",
        (("story", 0, "lines", 1),),
    ),
    (
        "move below",
        lambda e, d: e.move_to(d.some("first the moon", "then the sun"), d.row("offering")),
        [
            *("One", "home", "wait"),
            *("Two", "offering", "first the moon", "then the sun", "last the rain"),
            *HOME,
        ],
        "Move 2 lines",
        (("story", 1, "lines", 1), ("story", 1, "lines", 2)),
    ),
    (
        "cut",
        lambda e, d: e.cut_in_two(d.row("then the sun"), 2),
        [*ONE[:3], "then the", "sun", "wait", *TWO, *HOME],
        "Cut line in two",
        (("story", 0, "lines", 2), ("story", 0, "lines", 3)),
    ),
    (
        "make a refrain",
        lambda e, d: e.make_refrain(d.some("then the sun", "wait")),
        [*ONE[:3], "then the", *TWO, *HOME, "then the", "then the sun", "wait"],
        "Make refrain",
        (("story", 0, "lines", 2),),
    ),
    (
        "write a return out",
        lambda e, d: e.make_refrain([d.rows()[2]]),
        [*ONE[:2], "row it home", *ONE[3:], *TWO],
        "Write refrain out",
        (("story", 0, "lines", 1),),
    ),
    (
        "replace",
        lambda e, d: e.replace_words(find_words(d.story, "t the"), "t a"),
        ["One", "first a moon", *ONE[2:], *TWO[:2], "last a rain", *HOME],
        "Replace in 2 places",
        True,
    ),
    (
        "replace one",
        lambda e, d: e.replace_words(find_words(d.story, "rain"), "snow"),
        [*ONE, *TWO[:2], "last the snow", *HOME],
        "Replace",
        True,
    ),
    (
        "type several lines",
        lambda e, d: e.type_lines(d.row("first the moon"), ["first", "the star", "the moon"]),
        ["One", "first", "the star", "the moon", *ONE[2:], *TWO, *HOME],
        "Change words",
        True,
    ),
]


@pytest.mark.parametrize(
    ("edit", "after", "step", "gives"),
    [each[1:] for each in EDITS],
    ids=[each[0].replace(" ", "-") for each in EDITS],
)
def test_each_edit_is_one_step(
    edit: Edit, after: list[str], step: str, gives: Any, desk: Desk
) -> None:
    before = desk.story
    assert edit(desk.editing, desk) == gives
    rows = [said(row) if row.kind is not RowKind.HINT else "hint-" for row in desk.rows()]
    assert rows == after
    assert desk.step() == step
    assert desk.document.undo_stack.count() == 1
    done = desk.story
    desk.document.undo_stack.undo()
    assert desk.story == before
    desk.document.undo_stack.redo()
    assert desk.story == done


NOTHING: list[tuple[str, Edit, Any]] = [
    ("words-of-a-wait", lambda e, d: e.type_lines(d.row("wait"), ["x"]), False),
    ("back-of-a-wait", lambda e, d: e.put_back(d.row("wait")), False),
    ("same-words", lambda e, d: e.type_lines(d.row("then the sun"), ["then the sun"]), False),
    ("same-heading", lambda e, _: e.rename_section(0, "One"), None),
    ("no-words", lambda e, d: e.paste_words(d.row("wait"), " \n\t\n"), ()),
    ("nothing-to-delete", lambda e, _: e.delete([]), False),
    ("a-hint-is-no-item", lambda e, d: e.delete(d.some("home")[1:]), False),
    ("nothing-to-repeat", lambda e, d: e.repeat(d.some("One")), ()),
    ("move-to-where-it-is", lambda e, d: e.move_to(d.some("wait"), d.row("then the sun")), ()),
    ("cut-a-wait", lambda e, d: e.cut_in_two(d.row("wait"), 1), ()),
    ("cut-before-the-first", lambda e, d: e.cut_in_two(d.row("then the sun"), 0), ()),
    ("join-with-a-wait", lambda e, d: e.join(d.some("then the sun")), ()),
    ("join-over-another", lambda e, d: e.join(d.some("first the moon", "then the sun")), ()),
    ("join-the-last", lambda e, d: e.join(d.some("last the rain")), ()),
    ("refrain-of-a-wait", lambda e, d: e.make_refrain(d.some("wait")), ()),
    ("refrain-of-a-refrain", lambda e, d: e.make_refrain(d.some("row it home")), ()),
    ("refrain-with-a-heading", lambda e, d: e.make_refrain(d.some("Two", "last the rain")), ()),
    (
        "refrain-of-lines-apart",
        lambda e, d: e.make_refrain(d.some("first the moon", "then the sun")),
        (),
    ),
    ("lane-of-a-wait", lambda e, d: e.change_lane("x", d.row("wait"), lambda _: None), False),
    ("lane-left", lambda e, d: e.change_lane("x", d.row("then the sun"), lambda _: None), False),
    (
        "tap-that-is-not-there",
        lambda e, d: e.change_tap_at("x", d.row("then the sun").path, 3, lambda t: t),
        False,
    ),
    ("tap-of-a-wait", lambda e, d: e.change_tap_at("x", d.row("wait").path, 0, lambda t: t), False),
    ("gone", lambda e, _: e.change_items("x", [("story", 7, "lines", 0)], lambda _: None), False),
    ("no-section", lambda e, _: e.change_sections("x", [2], lambda s: evolve(s, title="")), False),
    ("rhythm-of-a-wait", lambda e, d: e.another_rhythm(d.some("wait")), ""),
    ("louder-wait", lambda e, d: e.louder(d.some("wait"), 1), False),
]


@pytest.mark.parametrize(
    ("edit", "gives"), [each[1:] for each in NOTHING], ids=[each[0] for each in NOTHING]
)
def test_what_makes_no_sense_changes_nothing_and_is_no_step(
    edit: Edit, gives: Any, desk: Desk
) -> None:
    before = desk.story
    assert edit(desk.editing, desk) == gives
    assert desk.story is before
    assert desk.document.undo_stack.count() == 0


def test_a_line_that_is_gone_cannot_be_typed_into(desk: Desk) -> None:
    row = desk.row("last the rain")
    desk.editing.delete([row])
    assert not desk.editing.type_lines(row, ["again"])
    assert not desk.editing.put_back(row)
    assert desk.all() == [*ONE, *TWO[:2], *HOME]


def test_typing_is_one_step_and_can_be_put_back(desk: Desk) -> None:
    row, before = desk.row("then the sun"), desk.story
    for words in ("then the su", "then the", "then the star", "then a star"):
        desk.editing.type_lines(row, [words])
    other = desk.row("last the rain")
    desk.editing.type_lines(other, ["last"])
    assert desk.document.undo_stack.count() == 2
    desk.document.undo_stack.undo()
    assert "then a star" in desk.all()
    assert desk.editing.put_back(row)
    assert desk.step() == "Put the words back"
    assert desk.story == before
    desk.document.undo_stack.undo()
    assert "then a star" in desk.all()


def test_typing_until_it_is_as_before_leaves_no_step(desk: Desk) -> None:
    row = desk.row("then the sun")
    for words in ("then the su", "then the sun"):
        desk.editing.type_lines(row, [words])
    assert desk.document.undo_stack.count() == 0
    assert not desk.document.modified


def test_a_story_without_sections_gets_one(desk: Desk) -> None:
    desk.document.edit("Empty", evolve(desk.story, sections=(), refrains=()))
    assert desk.editing.insert(None, Wait(Fraction(3))) == ("story", 0, "lines", 0)
    assert [said(row) for row in desk.rows()] == ["Beginning", "wait"]
    desk.document.undo_stack.undo()
    paths = desk.editing.insert_all("Paste", None, [Line("a"), Line("b")])
    assert paths == (("story", 0, "lines", 0), ("story", 0, "lines", 1))
    assert [said(row) for row in desk.rows()] == ["Beginning", "a", "b"]
    assert desk.step() == "Paste"


def test_a_line_is_joined_in_its_own_metre_and_not_in_the_next_one_s(desk: Desk) -> None:
    row, three = desk.row("first the moon"), parse_metre("3/4")
    assert row.line is not None
    assert three is not None
    new = Line("and all the stars", manner=PartialManner(metre=three))
    path = desk.editing.insert(row, new)
    desk.editing.join([desk.row("first the moon"), desk.row("and all the stars")])
    joined = desk.row("first the moon and all the stars").line
    assert joined == join_lines([row.line, new], row.metre)
    assert joined != join_lines([row.line, new], three)
    assert edits.found(desk.story, path) != new


def test_lines_are_joined_with_the_next_or_as_chosen(desk: Desk) -> None:
    desk.editing.cut_in_two(desk.row("then the sun"), 1)
    assert desk.all()[3:5] == ["then", "the sun"]
    assert desk.editing.join(desk.some("then")) == (("story", 0, "lines", 2),)
    assert desk.step() == "Join 2 lines"
    assert desk.all() == [*ONE, *TWO, *HOME]
    desk.document.undo_stack.undo()
    desk.editing.cut_in_two(desk.row("the sun"), 1)
    desk.editing.join(desk.some("then", "the", "sun"))
    assert desk.step() == "Join 3 lines"
    assert desk.all() == [*ONE, *TWO, *HOME]


def test_a_second_refrain_of_the_same_words_has_its_own_name(desk: Desk) -> None:
    for _ in range(2):
        desk.editing.repeat(desk.some("then the sun"))
    for _ in range(3):
        row = next(
            row
            for row in desk.rows()
            if row.line and row.refrain is None and said(row) == "then the sun"
        )
        desk.editing.make_refrain([row])
    names = [refrain.name for refrain in desk.story.refrains]
    assert names == ["home", "then the", "then the 2", "then the 3"]
    wordless = desk.editing.insert(desk.row("wait"), Line("“...”"))
    desk.editing.make_refrain([row for row in desk.rows() if row.path == wordless])
    assert desk.story.refrains[-1].name == "refrain"


def marks(desk: Desk, name: str) -> str:
    line = desk.row(name).line
    assert line is not None
    assert line.lane is not None
    cells = [cell for bar in line.lane.bars for step in bar for cell in step]
    return "".join(c.mark.value.upper() if c.accent else c.mark.value for c in cells)


TAPS: list[tuple[str, Edit, str, str]] = [
    ("no-tap", lambda e, d: e.toggle_tap(d.row("then the sun"), 1), "X.s.X...", "Tap or no tap"),
    ("weak", lambda e, d: e.toggle_accent(d.row("then the sun"), 0), "x.x.X...", "Strong tap"),
    ("strong", lambda e, d: e.toggle_accent(d.row("then the sun"), 1), "X.X.X...", "Strong tap"),
    ("later", lambda e, d: e.move_tap(d.row("then the sun"), 1, 1), "X..xX...", "Move tap"),
    ("earlier", lambda e, d: e.move_tap(d.row("then the sun"), 1, -1), "Xx..X...", "Move tap"),
    ("longer", lambda e, d: e.hold(d.row("then the sun"), 2, True), "X.x.X_..", "Hold tap"),
]


@pytest.mark.parametrize(
    ("edit", "lane", "step"), [each[1:] for each in TAPS], ids=[each[0] for each in TAPS]
)
def test_what_is_done_to_one_tap(edit: Edit, lane: str, step: str, desk: Desk) -> None:
    assert marks(desk, "then the sun") == "X.x.X..."
    assert edit(desk.editing, desk) is True
    assert marks(desk, "then the sun") == lane
    assert desk.step() == step
    assert marks(desk, "first the moon") == "X.x.X..."


def test_a_tap_added_held_shorter_and_taken_away(desk: Desk) -> None:
    row = desk.row("then the sun")
    assert row.line is not None
    assert row.line.lane is not None
    place = free_place_after(row.line.lane, 2)
    assert place is not None
    assert desk.editing.add_tap(row, place)
    assert desk.step() == "Add tap"
    assert marks(desk, "then the sun") == "X.x.Xt.."
    desk.document.undo_stack.undo()
    desk.editing.hold(desk.row("then the sun"), 2, True)
    assert desk.editing.hold(desk.row("then the sun"), 2, False)
    assert marks(desk, "then the sun") == "X.x.X..."


def test_one_tap_louder_at_its_spot_and_only_that(desk: Desk) -> None:
    row = desk.row("then the sun")

    def heard_at(level: Loudness) -> Callable[[Any], Any]:
        return lambda tap: evolve(tap, loudness=level)

    assert desk.editing.change_tap_at("Quiet", row.path, 2, heard_at(Loudness.QUIET), join="tap")
    assert desk.editing.change_tap(
        "Spot", desk.row("then the sun"), 1, lambda t: evolve(t, spot="a")
    )
    line = desk.row("then the sun").line
    assert line is not None
    assert line.lane is not None
    cells = [cell for bar in line.lane.bars for step in bar for cell in step]
    found = [(c.detail.loudness, c.detail.spot) if c.detail else None for c in cells]
    assert found == [None, None, (None, "a"), None, (Loudness.QUIET, None), None, None, None]
    assert len(event_places(line.lane)) == 3
    undo = desk.document.undo_stack
    assert [undo.text(n) for n in range(undo.count())] == ["Quiet", "Spot"]
    desk.document.undo_stack.undo()
    for level in (Loudness.LOUD, Loudness.MEDIUM):
        desk.editing.change_tap_at("Quiet", row.path, 2, heard_at(level), join="tap")
    assert undo.count() == 1, "dragging a control is one step"


def test_sections_and_items_changed_in_one_step(desk: Desk) -> None:
    assert desk.editing.change_sections(
        "Titles", [0, 1, 2], lambda s: evolve(s, title=f"{s.title}!"), join="titles"
    )
    assert [section.title for section in desk.story.sections] == ["One!", "Two!"]
    paths = [desk.row(name).path for name in ("first the moon", "last the rain")]
    assert desk.editing.change_items(
        "Look for", [*paths, ("story", 0, "lines", 9)], lambda line: evolve(line, look_for="x")
    )
    found = [row.line.look_for for row in desk.rows() if row.line is not None]
    assert found == ["x", None, "x", None]
    assert desk.document.undo_stack.count() == 2
    row = desk.row("then the sun")
    assert row.line is not None
    lane = row.line.lane
    assert lane is not None
    empty = evolve(lane, bars=lane.bars[:1])
    assert desk.editing.set_lane(row.path, empty)
    assert desk.step() == "Tap in"


LOUDER = [
    (Loudness.VERY_QUIET, -1, Loudness.VERY_QUIET),
    (Loudness.VERY_QUIET, 1, Loudness.QUIET),
    (Loudness.MEDIUM, 1, Loudness.LOUD),
    (Loudness.MEDIUM, -1, Loudness.QUIET),
    (Loudness.LOUD, 1, Loudness.VERY_LOUD),
    (Loudness.VERY_LOUD, 1, Loudness.VERY_LOUD),
    (Loudness.VERY_LOUD, -1, Loudness.LOUD),
]


@pytest.mark.parametrize(("level", "by", "then"), LOUDER)
def test_never_beyond_the_loudest_or_the_quietest(level: Loudness, by: int, then: Loudness) -> None:
    assert stepped(level, by) is then


def test_lines_are_made_louder_each_from_where_it_is(desk: Desk) -> None:
    usual = desk.row("first the moon").manner.loudness[0]
    assert desk.editing.louder(desk.some("first the moon", "then the sun", "wait"), 1)
    found = {said(row): row.line.manner.loudness for row in desk.rows() if row.line}
    assert found["first the moon"] == (stepped(usual, 1),)
    assert found["then the sun"] == (Loudness.VERY_LOUD,)
    assert found["last the rain"] is None
    assert desk.step() == "Change loudness"


def test_another_rhythm_and_back_says_which(desk: Desk) -> None:
    first = marks(desk, "first the moon")
    said: list[str] = []
    for back in (False, False, False, True, True):
        told = desk.editing.another_rhythm(desk.some("first the moon"), back=back)
        assert desk.step() == "Another rhythm"
        said.append(told.partition(".")[0])
        if len(said) == 1:
            second = marks(desk, "first the moon")
    number, many = map(int, said[0].removeprefix("Rhythm ").split(" of "))
    going = [f"Rhythm {number + more} of {many}" for more in (0, 1, 2, 1, 0)]
    assert said == going, "on to the next best, and back"
    assert first != second == marks(desk, "first the moon")
    assert desk.editing.another_rhythm(desk.some("first the moon", "then the sun")) == ""
    assert marks(desk, "last the rain") == "X.x.X..."


def test_fewer_taps_in_chosen_lines_or_sections_alone(desk: Desk) -> None:
    before = {name: marks(desk, name) for name in LINES}
    assert not desk.editing.fewer_taps(desk.some("Two"), Tapped.BEATS), "they are on beats already"
    for chosen, changed in (("Two", "last the rain"), ("then the sun", "then the sun")):
        assert desk.editing.fewer_taps(desk.some(chosen), Tapped.STRONG)
        assert desk.step() == "Tap strong beats alone"
        assert {name for name in LINES if marks(desk, name) != before[name]} == {changed}
        assert marks(desk, changed) == "X.s.X..."
        desk.document.undo_stack.undo()


LINES = ("first the moon", "then the sun", "last the rain", "row it home")


# --- the document


def told(title: str) -> Story:
    return evolve(Story(""), title=title)


@pytest.fixture
def plain(qapp: QApplication) -> Document:
    return Document(StoryText("", None, told("0"), ()), None)


def test_a_text_without_story_is_no_document(qapp: QApplication) -> None:
    with pytest.raises(ValueError, match="story that could be read"):
        Document(StoryText("", None, None, ()), None)


def test_every_change_is_told_with_before_and_after(plain: Document, tmp_path: Path) -> None:
    heard: list[tuple[str, str]] = []
    plain.changed.connect(lambda old, new: heard.append((old.title, new.title)))
    saved: list[Path | None] = []
    plain.saved.connect(lambda: saved.append(plain.path))
    assert plain.edit("a", told("1"))
    assert not plain.edit("again", told("1"))
    plain.undo_stack.undo()
    plain.undo_stack.redo()
    assert heard == [("0", "1"), ("1", "0"), ("0", "1")]
    assert plain.modified
    plain.mark_saved(tmp_path / "a.tapscore")
    assert saved == [tmp_path / "a.tapscore"]
    assert not plain.modified
    plain.undo_stack.undo()
    assert plain.modified
    plain.undo_stack.redo()
    assert not plain.modified


def test_only_steps_that_are_alike_join(plain: Document) -> None:
    for title, join in (("1", "a"), ("2", "a"), ("3", "b"), ("4", None), ("5", None), ("6", "a")):
        plain.edit(title, told(title), join=join)
    assert plain.undo_stack.count() == 5
    seen = []
    while plain.undo_stack.canUndo():
        plain.undo_stack.undo()
        seen.append(plain.story.title)
    assert seen == ["5", "4", "3", "2", "0"]


def test_what_is_put_together_is_a_step_even_if_it_says_the_same(plain: Document) -> None:
    same = told("0")
    plain.put_together(same)
    assert plain.story is same
    assert plain.undo_stack.undoText() == "Put together"
    plain.put_together(told("0"))
    assert plain.undo_stack.count() == 2


def shout(story: Story) -> Story:
    return evolve(story, title=f"{story.title}!") if story.title in "12" else story


@pytest.mark.parametrize(
    ("saved_at", "undone", "titles", "modified"),
    [
        (3, 0, ["0", "1!", "2!", "3"], False),
        (2, 1, ["0", "1!", "2!", "3"], True),
        (1, 0, ["0", "1!", "2!", "3"], True),
        (0, 3, ["0", "1!", "2!", "3"], False),
    ],
)
def test_steps_changed_afterwards(
    saved_at: int, undone: int, titles: list[str], modified: bool, plain: Document, tmp_path: Path
) -> None:
    """A rhythm that arrives late goes into its step and all later ones, also while undone."""
    for number in range(1, 4):
        if saved_at == number - 1:
            plain.mark_saved(tmp_path / "a")
        plain.edit(str(number), told(str(number)))
    if saved_at == 3:
        plain.mark_saved(tmp_path / "a")
    for _ in range(undone):
        plain.undo_stack.undo()
    plain.change_steps(0, shout)
    assert plain.undo_stack.count() == 3
    assert plain.modified is modified
    while plain.undo_stack.canUndo():
        plain.undo_stack.undo()
    found = [plain.story.title]
    while plain.undo_stack.canRedo():
        plain.undo_stack.redo()
        found.append(plain.story.title)
    assert found == titles


def test_steps_before_the_first_one_stay(plain: Document) -> None:
    for number in range(1, 4):
        plain.edit(str(number), told(str(number)))
    plain.change_steps(1, lambda story: evolve(story, title=f"{story.title}."))
    found = [plain.story.title]
    while plain.undo_stack.canUndo():
        plain.undo_stack.undo()
        found.append(plain.story.title)
    # the second step's story before it is the first step's own, as it was when it was made
    assert found == ["3.", "2.", "1.", "0"]
