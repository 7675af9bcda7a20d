"""Edits of a lane: what stood there, what is done, what stands there then."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from tapscore.model.lane import Cell, Lane, Mark, TapDetail, lane_beats, lane_events, pickup_beats
from tapscore.model.lane_edits import (
    CellPlace,
    add_tap,
    cell_at,
    event_places,
    fit_syllables,
    free_place_after,
    move_event,
    set_held,
    toggle_accent,
    toggle_tap,
    with_detail,
    with_marks,
)
from tapscore.model.loudness import Loudness
from tapscore.model.metre import Metre
from tapscore.model.strokes import Stroke
from tapscore.storyfile.lane_text import Names, lane_text, parse_lane

NAMES = Names({"edge": None}, dict.fromkeys(("leader", "helper")))


def lane(text: str) -> Lane:
    found, problems = parse_lane(text, NAMES)
    assert not problems
    assert found is not None
    return found


def shown(found: Lane | None) -> str | None:
    return None if found is None else lane_text(found)


# x tapped and said, t tapped alone, s said alone, . silence, _ held; capitals are accents
EDITS: list[tuple[str, Callable[[Lane], Lane | None], str | None]] = [
    ("x | X . t s |", lambda a: toggle_tap(a, 0), "s | X . t s |"),
    ("x | X . t s |", lambda a: toggle_tap(a, 1), "x | s . t s |"),
    ("x | X . t s |", lambda a: toggle_tap(a, 2), "x | X . . s |"),
    ("x | X . t s |", lambda a: toggle_tap(a, 3), "x | X . t x |"),
    ("| x(edge) . . . |", lambda a: toggle_tap(a, 0), "| s . . . |"),
    ("x | X . t s |", lambda a: toggle_accent(a, 0), "X | X . t s |"),
    ("x | X . t s |", lambda a: toggle_accent(a, 1), "x | x . t s |"),
    ("x | X . t s |", lambda a: toggle_accent(a, 2), "x | X . T s |"),
    ("x | X . t s |", lambda a: toggle_accent(a, 3), "x | X . t s |"),
    ("x | X . t s |", lambda a: add_tap(a, CellPlace(1, 1, 0)), "x | X t t s |"),
    ("x | X . t s |", lambda a: add_tap(a, CellPlace(1, 3, 0)), "x | X . t x |"),
    ("x | X . t s |", lambda a: add_tap(a, CellPlace(0, 0, 0)), None),
    ("x | X . t s |", lambda a: add_tap(a, CellPlace(1, 2, 0)), None),
    ("| x x. . . |", lambda a: add_tap(a, CellPlace(0, 1, 1)), "| x xt . . |"),
    # by steps into silence or what is held; never past another mark or into a shared step
    ("| x . . x |", lambda a: move_event(a, 0, 1), "| . x . x |"),
    ("| x . . x |", lambda a: move_event(a, 0, 2), "| . . x x |"),
    ("| x . . x |", lambda a: move_event(a, 0, 3), None),
    ("| x . . x |", lambda a: move_event(a, 1, -2), "| x x . . |"),
    ("| x . . x |", lambda a: move_event(a, 1, -3), None),
    ("| x . . x |", lambda a: move_event(a, 0, -1), None),
    ("| x . . x |", lambda a: move_event(a, 1, 1), None),
    ("| x . . x |", lambda a: move_event(a, 0, 0), None),
    ("| x s . . |", lambda a: move_event(a, 0, 2), None),
    ("| . . s x |", lambda a: move_event(a, 1, -3), None),
    ("| x . s x | . . . . |", lambda a: move_event(a, 2, 1), "| x . s . | x . . . |"),
    ("| . . . . | x . . . |", lambda a: move_event(a, 0, -1), "| . . . x | . . . . |"),
    (". | x . . . |", lambda a: move_event(a, 0, -1), "x | . . . . |"),
    ("| X(edge) . . . |", lambda a: move_event(a, 0, 1), "| . X(edge) . . |"),
    ("| xx . . . |", lambda a: move_event(a, 1, 1), None),
    ("| x .x . . |", lambda a: move_event(a, 0, 1), None),
    # what it held falls silent; what it lands on in another's hold ends that
    ("| x _ _ . |", lambda a: move_event(a, 0, 1), "| . x . . |"),
    ("| x _ _ x |", lambda a: move_event(a, 1, -1), "| x _ x . |"),
    ("| x _ _ x |", lambda a: move_event(a, 1, -2), "| x x . . |"),
    ("| x __ . . |", lambda a: move_event(a, 0, 3), "| . .. . x |"),
    ("| x . . . |", lambda a: set_held(a, 0, True), "| x _ . . |"),
    ("| x _ . . |", lambda a: set_held(a, 0, True), "| x _ _ . |"),
    ("| x x . . |", lambda a: set_held(a, 0, True), None),
    ("| . . . x |", lambda a: set_held(a, 0, True), None),
    ("| . . . x | . . . . |", lambda a: set_held(a, 0, True), "| . . . x | _ . . . |"),
    ("| x _ _ . |", lambda a: set_held(a, 0, False), "| x _ . . |"),
    ("| x . . . |", lambda a: set_held(a, 0, False), None),
    ("| x _ x _ |", lambda a: set_held(a, 1, False), "| x _ x . |"),
    # places for so many syllables
    ("| x t x s |", lambda a: fit_syllables(a, 3, Metre(2, 4)), "| x t x s |"),
    ("| x t x s |", lambda a: fit_syllables(a, 2, Metre(2, 4)), "| x t x . |"),
    ("| x t x s |", lambda a: fit_syllables(a, 1, Metre(2, 4)), "| x t t . |"),
    ("| X t x s |", lambda a: fit_syllables(a, 0, Metre(2, 4)), "| T t t . |"),
    ("| x s _ . |", lambda a: fit_syllables(a, 1, Metre(2, 4)), "| x . . . |"),
    ("| x . t . |", lambda a: fit_syllables(a, 2, Metre(2, 4)), "| x x t . |"),
    ("| x . t . |", lambda a: fit_syllables(a, 3, Metre(2, 4)), "| x x t x |"),
    ("| x . t . |", lambda a: fit_syllables(a, 4, Metre(2, 4)), "| x x t x | x . . . |"),
    ("| . . . x |", lambda a: fit_syllables(a, 2, Metre(2, 4)), "| . . . x | x . . . |"),
    ("| x _ _ _ |", lambda a: fit_syllables(a, 2, Metre(2, 4)), "| x x _ _ |"),
    ("| t . . . |", lambda a: fit_syllables(a, 1, Metre(2, 4)), "| t x . . |"),
    ("x | X . . . |", lambda a: fit_syllables(a, 3, Metre(2, 4)), "x | X x . . |"),
]


@pytest.mark.parametrize(("before", "edit", "after"), EDITS)
def test_an_edit(before: str, edit: Callable[[Lane], Lane | None], after: str | None) -> None:
    assert shown(edit(lane(before))) == after


def test_where_marks_and_free_cells_are() -> None:
    found = lane("x . | X _ st . | . t . . |")
    places = event_places(found)
    assert places == (
        *(CellPlace(0, 0, 0), CellPlace(1, 0, 0), CellPlace(1, 2, 0)),
        *(CellPlace(1, 2, 1), CellPlace(2, 1, 0)),
    )
    assert "".join(cell_at(found, place).mark.value for place in places) == "xxstt"
    assert [free_place_after(found, event) for event in (None, 0, 1, 2, 3, 4)] == [
        *(CellPlace(0, 1, 0), CellPlace(0, 1, 0), CellPlace(1, 1, 0), CellPlace(1, 3, 0)),
        *(CellPlace(1, 3, 0), CellPlace(2, 2, 0)),
    ]
    assert free_place_after(lane("| . . x x |"), 1) is None
    assert free_place_after(lane("| . . x x |"), None) == CellPlace(0, 0, 0)


def test_what_is_special_about_a_tap() -> None:
    def louder(detail: TapDetail) -> TapDetail:
        return TapDetail(Loudness.LOUD, detail.stroke, detail.spot)

    found = lane("| x(edge) s t . |")
    assert shown(with_detail(found, 0, louder)) == "| x(loud, edge) s t . |"
    assert shown(with_detail(found, 1, louder)) == "| x(edge) s t . |"
    assert shown(with_detail(found, 2, louder)) == "| x(edge) s t(loud) . |"
    plain = with_detail(found, 0, lambda _: TapDetail())
    assert shown(plain) == "| x s t . |"
    assert event_places(plain) == event_places(found)


def test_other_marks_for_some() -> None:
    found = lane("| X(edge) _ t _ | s _ x . |")
    marks = {name: cell_at(lane(f"| {name} . . . |"), CellPlace(0, 0, 0)).mark for name in "xts."}
    assert shown(with_marks(found, {1: marks["."]})) == "| X(edge) _ . . | s _ x . |"
    assert shown(with_marks(found, {0: marks["s"], 2: marks["x"]})) == "| s _ t _ | x _ x . |"
    assert shown(with_marks(found, {})) == "| X(edge) _ t _ | s _ x . |"
    assert shown(with_marks(found, {3: marks["."], 1: marks["x"]})) == (
        "| X(edge) _ x _ | s _ . . |"
    )


# onset, length, bar, place in the bar, syllable; in felt beats
EVENTS: dict[tuple[str, str], list[tuple[str, str, int, str, int | None]]] = {
    ("x | X . s _ |", "2/4"): [
        ("0", "1/2", 0, "3/2", 0),
        ("1/2", "1/2", 1, "0", 1),
        ("3/2", "1", 1, "1", 2),
    ],
    ("| x t _ . . x |", "6/8"): [
        ("0", "1/3", 1, "0", 0),
        # a rest ends what is held
        ("1/3", "2/3", 1, "1/3", None),
        ("5/3", "1/3", 1, "5/3", 1),
    ],
    ("| xx . xxx _ | _ x . . |", "2/4"): [
        ("0", "1/4", 1, "0", 0),
        ("1/4", "1/4", 1, "1/4", 1),
        ("1", "1/6", 1, "1", 2),
        ("7/6", "1/6", 1, "7/6", 3),
        # held over the bar line
        ("4/3", "7/6", 1, "4/3", 4),
        ("5/2", "1/2", 2, "1/2", 5),
    ],
    ("s t . x | X . . . . . |", "6/8"): [
        ("0", "1/3", 0, "2/3", 0),
        ("1/3", "1/3", 0, "1", None),
        ("1", "1/3", 0, "5/3", 1),
        ("4/3", "1/3", 1, "0", 2),
    ],
}


@pytest.mark.parametrize(("text", "metre"), EVENTS)
def test_when_each_mark_comes(text: str, metre: str) -> None:
    count, unit = map(int, metre.split("/"))
    found = lane_events(lane(text), Metre(count, unit))
    assert [
        (e.onset_beats, e.length_beats, e.bar, e.position_beats, e.syllable) for e in found
    ] == [
        (Fraction(on), Fraction(length), bar, Fraction(place), said)
        for on, length, bar, place, said in EVENTS[text, metre]
    ]


def test_how_long_a_lane_and_its_pickup_are() -> None:
    found = lane("s t . x | X . . . . . | x . . |")
    assert lane_beats(found, Metre(6, 8)) == Fraction(13, 3)
    assert pickup_beats(found, Metre(6, 8)) == Fraction(4, 3)
    assert lane_beats(found, Metre(4, 4)) == Fraction(13, 2)
    assert (found.steps, found.syllables, len(found.all_bars)) == (13, 4, 3)
    assert (lane("| x . |").steps, len(lane("| x . |").all_bars)) == (2, 1)


def test_one_adults_own_way_with_a_tap() -> None:
    own = TapDetail(Loudness.LOUD, stroke=Stroke.SWEEP)
    both = TapDetail(Loudness.QUIET, Stroke.KNUCKLES, "edge", ("leader", "helper"))
    detail = both.with_own("helper", own, ("leader", "helper"))
    assert detail.adults == ("leader", "helper")
    assert detail.own("helper") == own
    assert detail.own("leader") == TapDetail()
    assert detail.of("leader") == detail
    helpers = detail.of("helper")
    assert (helpers.loudness, helpers.stroke, helpers.spot) == (
        *(Loudness.LOUD, Stroke.SWEEP, "edge"),
    )
    assert detail.each == (detail, own)
    assert detail.with_own("helper", TapDetail(), ()).single == ()
    # where the line's own adults tap, nobody needs to be named for what is plain again
    plain = TapDetail().with_own("helper", own, ("leader", "helper"))
    assert plain.by == ("leader", "helper")
    assert plain.with_own("helper", TapDetail(), ("leader", "helper")) == TapDetail()
    # who does not tap it yet does so from now on; everyone is everyone
    assert TapDetail().with_own("third", own, ("leader",)).adults == ("leader", "third")
    assert TapDetail().with_own("third", own, ("everyone",)).by == ("everyone",)
    quieter = detail.changed(lambda each: TapDetail(Loudness.VERY_QUIET, each.stroke))
    assert quieter.loudness is quieter.own("helper").loudness is Loudness.VERY_QUIET
    assert quieter.own("helper").stroke is Stroke.SWEEP


def test_a_rest_ends_what_is_held() -> None:
    """Even where a hold stands after it, which no file has: two steps of a crotchet."""
    tap, rest, hold = ((Cell(mark),) for mark in (Mark.SYLLABLE_TAPPED, Mark.REST, Mark.HOLD))
    (event,) = lane_events(Lane((), ((tap, hold, rest, hold),)), Metre(2, 4))
    assert event.length_beats == 1
