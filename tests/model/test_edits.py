"""Edits of a small story: each on a plain list of what stands where."""

from fractions import Fraction

import pytest
from attrs import evolve

from tapscore.model import edits
from tapscore.model.board import Board, Named, Place, Point, Sides
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.day import Day, staff_of, with_pupils_here
from tapscore.model.finding import StoryPath
from tapscore.model.furnishing import added, found
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.story import (
    Line,
    Prop,
    Refrain,
    RefrainUse,
    Role,
    Section,
    Spoken,
    Story,
    Wait,
)

LOUD = PartialManner(loudness=(Loudness.LOUD,))
QUIET = PartialManner(loudness=(Loudness.QUIET,), spot="edge")
STORY = Story(
    "S",
    roles=(Role("helper"), Role("leader", "north"), Role("third", "north"), Role("fourth")),
    props=(Prop("beads", sets=3, handed_by=("helper", "third")), Prop("silk", by="third")),
    refrains=(
        Refrain("home", (Line("row", None, LOUD), Wait(Fraction(5)))),
        Refrain("both", (RefrainUse("home", QUIET), Line("all"))),
    ),
    sections=(
        Section("One", (Line("a"), RefrainUse("home", QUIET), Line("b"))),
        Section("Two", (Line("c"), RefrainUse("both"))),
    ),
)


def word(item: object) -> str:
    return getattr(item, "words", None) or getattr(item, "name", None) or "wait"


def shown(story: Story) -> dict[str, str]:
    lists = {f"={refrain.name}": refrain.items for refrain in story.refrains}
    lists |= {section.title: section.items for section in story.sections}
    return {name: " ".join(map(word, items)) for name, items in lists.items()}


def at(section: int, index: int) -> StoryPath:
    return ("story", section, "lines", index)


NEW = Line("new")


def test_one_item_put_in_or_changed() -> None:
    before = shown(STORY)
    assert before == {"=home": "row wait", "=both": "home all", "One": "a home b", "Two": "c both"}
    assert shown(edits.insert_item(STORY, at(0, 1), NEW))["One"] == "a new home b"
    assert shown(edits.insert_item(STORY, at(0, 3), NEW))["One"] == "a home b new"
    assert shown(edits.replace_item(STORY, at(0, 0), NEW))["One"] == "new home b"
    assert shown(edits.replace_item(STORY, at(1, 1), NEW)) == before | {"Two": "c new"}
    home: StoryPath = ("refrains", "home", 1)
    assert shown(edits.insert_item(STORY, home, NEW)) == before | {"=home": "row new wait"}
    changed = edits.change_line(STORY, at(0, 2), lambda line: evolve(line, do="lift"))
    line = changed.sections[0].items[2]
    assert isinstance(line, Line)
    assert line.do == "lift"
    assert changed.sections[1] is STORY.sections[1]


@pytest.mark.parametrize(
    "path",
    [
        *(at(0, 3), at(0, -1), at(2, 0), at(-1, 0), ("refrains", "gone", 0)),
        *(("story", 0, "lines", "x"), ("refrains", "home", 2)),
    ],
)
def test_a_path_that_leads_nowhere(path: StoryPath) -> None:
    with pytest.raises(KeyError):
        edits.item_at(STORY, path)
    with pytest.raises(KeyError):
        edits.replace_item(STORY, path, NEW)
    assert edits.found(STORY, path) is None


def test_what_is_found_is_the_very_item() -> None:
    assert edits.found(STORY, at(0, 2)) is STORY.sections[0].items[2]
    assert edits.found(STORY, at(0, 0)) is edits.item_at(STORY, at(0, 0))
    with pytest.raises(KeyError):
        edits.change_line(STORY, at(0, 1), lambda line: line)
    with pytest.raises(KeyError):
        edits.write_out_refrain(STORY, at(0, 0))


def test_a_return_written_out_keeps_what_it_says() -> None:
    written = edits.write_out_refrain(STORY, at(0, 1))
    assert shown(written) == {
        **{"=home": "row wait", "=both": "home all"},
        **{"One": "a row wait b", "Two": "c both"},
    }
    row = written.sections[0].items[1]
    assert isinstance(row, Line)
    # the return's own wins; what it leaves open is the refrain's
    assert (row.manner.loudness, row.manner.spot) == ((Loudness.QUIET,), "edge")
    # the last return takes the refrain with it
    assert [r.name for r in edits.write_out_refrain(STORY, at(1, 1)).refrains] == ["home"]


def test_sections_props_and_roles() -> None:
    assert [s.title for s in edits.add_section(STORY, 1, "New").sections] == ["One", "New", "Two"]
    assert [s.title for s in edits.add_section(STORY, 2, "New").sections] == ["One", "Two", "New"]
    renamed = edits.change_section(STORY, 1, lambda section: evolve(section, title="Third"))
    assert [s.title for s in renamed.sections] == ["One", "Third"]
    props = edits.with_prop(STORY, Prop("beads", sets=1)).props
    assert [(p.name, p.sets) for p in props] == [("beads", 1), ("silk", 1)]
    assert [p.name for p in edits.with_prop(STORY, Prop("cup")).props] == ["beads", "silk", "cup"]
    assert [p.name for p in edits.without_prop(STORY, "beads").props] == ["silk"]
    roles = edits.with_role(STORY, Role("leader", "south")).roles
    assert [(r.name, r.seat) for r in roles][1] == ("leader", "south")
    assert [r.name for r in edits.without_role(STORY, "third").roles] == [
        *("helper", "leader", "fourth"),
    ]
    alike = Section("Three", (Line("d"),), STORY.sections[1].manner)
    joined = edits.join_sections(evolve(STORY, sections=(*STORY.sections, alike)))
    assert shown(joined)["One"] == "a home b c both d"


def test_who_is_what_in_a_story() -> None:
    assert STORY.leader == "leader"
    assert evolve(STORY, roles=STORY.roles[2:]).leader == "third"
    assert Story("T").role_names == ("leader",)
    assert STORY.sitting == {"north": "leader, third"}
    assert STORY.bringer("silk") == "third"
    assert STORY.bringer("beads") == "helper"
    assert STORY.handlers("beads") == ("helper", "third")
    assert STORY.handlers("silk") == ("third",)
    assert Story("T").handlers("silk") == ()
    place = Place("A", Point(Fraction(1), Fraction(1)), partner="fourth")
    beside = evolve(STORY, board=Board(Fraction(900), Fraction(900), places=(place,)))
    assert beside.handlers("silk") == ("third", "fourth")
    # three sets in two adults' hands are two at once; one set is one
    assert STORY.turns_at_once("beads") == 2
    assert beside.turns_at_once("silk") == 1
    assert evolve(STORY, roles=()).turns_at_once("silk") == 1
    assert Story("T", props=(Prop("cup", sets=3),)).turns_at_once("cup") == 3
    glossary = (Spoken("Higgledy", "HIG-gle-dy"),)
    assert evolve(STORY, glossary=glossary).divided_words == {"higgledy": "HIG-gle-dy"}
    assert (STORY.refrain("both"), STORY.refrain("b")) == (STORY.refrains[1], None)
    assert (STORY.prop("silk"), STORY.prop("s")) == (STORY.props[1], None)


def point(x: int, y: int) -> Point:
    return Point(Fraction(x), Fraction(y))


BOARD = Board(
    Fraction(1200),
    Fraction(800),
    spots=(Named("edge", point(100, 100)),),
    seats=(Named("north", point(600, 800)),),
    places=(Place("A", point(400, 500), lying=True, head="west"), Place("B", point(300, 300))),
    sides=Sides(north="window", west="door"),
)


def test_things_moved_on_the_board() -> None:
    story = evolve(STORY, board=BOARD)
    to = point(7, 8)
    for kind, name in (("spot", "edge"), ("seat", "north"), ("place", "A")):
        board = edits.move_on_board(story, kind, name, to).board
        assert board is not None
        moved = found(board, kind, name)
        assert moved is not None
        assert moved.at == to
        others = [found(board, k, n) == found(BOARD, k, n) for k, n in OTHERS if n != name]
        assert all(others)
    board = edits.move_on_board(story, "place", "A", to).board
    assert board is not None
    assert (board.places[0].lying, board.places[0].head) == (True, "west")
    out = edits.move_on_board(story, "way out", "", to).board
    assert out is not None
    assert out.way_out == to
    for wrong, kind in ((story, "door"), (STORY, "spot")):
        with pytest.raises(KeyError):
            edits.move_on_board(wrong, kind, "edge", to)


OTHERS = (("spot", "edge"), ("seat", "north"), ("place", "A"), ("place", "B"))


def test_a_board_and_its_points() -> None:
    assert point(0, 3).distance_mm(point(4, 0)) == 5
    assert (BOARD.spot("edge"), BOARD.spot("north")) == (point(100, 100), None)
    assert (BOARD.seat("north"), BOARD.seat("edge")) == (point(600, 800), None)
    inside = [point(0, 0), point(1200, 800), point(0, 800), point(600, 1)]
    outside = [point(-1, 5), point(5, -1), point(1201, 5), point(5, 801), point(900, 1000)]
    assert all(map(BOARD.contains, inside))
    assert not any(map(BOARD.contains, outside))
    assert BOARD.sides is not None
    assert [BOARD.sides.word(side) for side in ("north", "east", "south", "west")] == [
        *("window", None, None, "door"),
    ]


def test_where_new_things_are_put() -> None:
    """Seats at the middle of the north side first; others in the middle of the sheet."""
    bare = Board(Fraction(1200), Fraction(800))
    board = bare
    for name in "abcdefgh":
        board = added(board, "seat", name)
    assert [(int(s.at.x_mm), int(s.at.y_mm)) for s in board.seats] == [
        *((600, 800), (600, 0), (300, 800), (300, 0), (900, 800), (900, 0)),
        *((1200, 400), (0, 400)),
    ]
    for name in "abc":
        board = added(board, "spot", name)
    assert [(int(s.at.x_mm), int(s.at.y_mm)) for s in board.spots] == [
        *((600, 400), (300, 600), (900, 600)),
    ]
    near = evolve(bare, spots=(Named("x", point(600, 300)),))
    assert added(near, "spot", "y").spots[1].at == point(300, 600)
    far = evolve(bare, spots=(Named("x", point(600, 250)),))
    assert added(far, "spot", "y").spots[1].at == point(600, 400)


def test_what_pupils_are_spared_where_nothing_is_said() -> None:
    """10 s for an answer (Johnson & Parker 2013); a step of loudness needs no warning."""
    usual = Comfort()
    assert (usual.jump_steps, usual.wait_sec, usual.stage_word) == (1, Fraction(10), None)
    assert usual.loudest is Loudness.VERY_LOUD
    gently = Comfort(introduce_gently=True)
    assert gently.loudest is Loudness.MEDIUM
    assert Comfort(ceiling=Loudness.LOUD, introduce_gently=True).loudest is Loudness.MEDIUM
    assert Comfort(ceiling=Loudness.VERY_QUIET).loudest is Loudness.VERY_QUIET
    own = Comfort(largest_jump=0, least_wait_sec=Fraction(0), stage=Stage.ON_A_TABLE)
    assert (own.jump_steps, own.wait_sec, own.stage_word) == (0, Fraction(0), "on a table")


def test_a_days_staff_against_the_roles() -> None:
    day = Day(here=("AB", "leader", "CD", "AB"), takes=(("helper", "AB"), ("third", "AB")))
    staff = staff_of(STORY, day)
    assert staff.adult_of == (("helper", "AB"), ("leader", "leader"), ("third", "AB"))
    assert staff.free == ("CD",)
    assert staff.away == ("fourth",)
    assert staff.taken == {"helper": "AB", "leader": "leader", "third": "AB"}
    assert staff.host_of == {"helper": "helper", "leader": "leader", "third": "helper"}
    assert staff.hosts == ("helper", "leader")
    # who takes another's role does not take the one she is called by as well
    swapped = staff_of(STORY, Day(here=("leader",), takes=(("helper", "leader"),)))
    assert swapped.adult_of == (("helper", "leader"),)
    assert swapped.away == ("leader", "third", "fourth")
    stands_in = staff_of(STORY, Day(here=("leader", "AB"), takes=(("leader", "AB"),)))
    assert stands_in.adult_of == (("leader", "AB"),)
    assert stands_in.free == ("leader",)


def test_the_pupils_who_are_here() -> None:
    story = evolve(STORY, board=BOARD, pupils=9)
    here = with_pupils_here(story, Day(places=("B", "C"), pupils=5))
    assert here.board is not None
    assert ([p.name for p in here.board.places], here.pupils) == (["B"], 2)
    assert with_pupils_here(story, Day(pupils=5)).pupils == 5
    assert with_pupils_here(story, Day()) is story
    assert with_pupils_here(STORY, Day(places=("A",))).pupils == 1
