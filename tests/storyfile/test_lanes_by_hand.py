"""Lanes, their brackets and their mistakes, with columns counted by hand."""

from collections.abc import Mapping

import pytest

from tapscore.model.lane import Cell, Lane, Mark, TapDetail
from tapscore.model.loudness import Loudness
from tapscore.model.strokes import Stroke
from tapscore.storyfile.lane_text import Names, lane_columns, lane_text, parse_lane
from tapscore.storyfile.read import read_text

NAMES = Names(("middle", "far: edge"), ("leader", "helper", "role: two"))

# the lane, then each problem: its column from 0, its case, and what else is told of it
Problem = tuple[int, str, Mapping[str, object]]
PROBLEMS: tuple[tuple[str, *tuple[Problem, ...]], ...] = (
    ("x . x", (0, "no-bar-line", {})),
    ("x . |", (0, "no-bar", {})),
    ("_ | x |", (0, "nothing-to-hold", {})),
    ("| . _ x |", (4, "nothing-to-hold", {})),
    ("| x._ |", (4, "nothing-to-hold", {})),
    ("| x || . |", (5, "empty-bar", {})),
    ("| x | | . |", (6, "empty-bar", {})),
    ("| x × . |", (4, "strange", {"mark": "×", "near": "x"})),
    ("| S . |", (2, "strange", {"mark": "S", "near": "s"})),
    ("| o . |", (2, "strange", {"mark": "o", "near": "s"})),
    ("| x 0 |", (4, "strange", {"mark": "0", "near": "."})),
    ("| x - |", (4, "strange", {"mark": "-", "near": "_"})),
    ("| x – |", (4, "strange", {"mark": "–", "near": "_"})),
    ("| x — |", (4, "strange", {"mark": "—", "near": "_"})),
    ("| x / x |", (4, "strange", {"mark": "/", "near": "|"})),
    ("| x I x |", (4, "strange", {"mark": "I", "near": "|"})),
    (f"| x {'q' * 21} |", (4, "strange", {"mark": "q" * 20, "near": None})),
    ("| x (loud) |", (4, "bracket", {})),
    ("| x(loud |", (3, "bracket", {}), (4, "strange", {"mark": "loud"})),
    ("| s(loud) |", (4, "no-tap", {})),
    ("| x(lowd) |", (4, "unknown", {"name": "lowd", "near": "loud"})),
    ("| x(loud,  midle) |", (11, "unknown", {"name": "midle", "near": "middle"})),
    ("| x(everybody) |", (4, "unknown", {"name": "everybody", "near": "everyone"})),
    ("| x(helpr) |", (4, "unknown", {"name": "helpr", "near": "helper"})),
    ("| x(flat hnd) |", (4, "unknown", {"name": "flat hnd", "near": "flat hand"})),
    ("| x(loud; sweep) x(loud, quiet) |", (25, "twice", {"kind": "loudness", "name": "quiet"})),
    ("| x(loud; quiet) |", (10, "twice", {"kind": "loudness", "name": "quiet"})),
    ("| x(sweep,knuckles) |", (10, "twice", {"kind": "stroke", "name": "knuckles"})),
    ("| x(leader: loud;  nurse: loud) |", (19, "no-role", {"name": "nurse", "near": None})),
    ("| x(leadr: loud) |", (4, "no-role", {"name": "leadr", "near": "leader"})),
    ("| x(leader:  helper) |", (13, "adult-of-adult", {"name": "helper", "role": "leader"})),
    ("| x(leader: lowd) |", (12, "unknown", {"name": "lowd"})),
    ("| x(leader: sweep, lowd) |", (19, "unknown", {"name": "lowd"})),
    (f"| {'x' * 13} |", (14, "crowded-step", {"marks": 13})),
    (f"| {'x' * 13}", (14, "crowded-step", {"marks": 13})),
    (f"| {'. ' * 601}|", (0, "too-long", {"steps": 601})),
    (f"x | {'. ' * 600}|", (0, "too-long", {"steps": 601})),
    (
        "| a b c d e |",  # four are enough
        *((2, "strange", {}), (4, "strange", {}), (6, "strange", {}), (8, "strange", {})),
    ),
    (
        "| a(b c | d",
        *((2, "strange", {}), (3, "bracket", {}), (4, "strange", {}), (6, "strange", {})),
    ),
)


@pytest.mark.parametrize("case", PROBLEMS, ids=lambda case: str(case[0])[:24])
def test_problems_stand_where_they_are(
    case: tuple[str, *tuple[Problem, ...]],
) -> None:
    text, *wanted = case
    lane, problems = parse_lane(text, NAMES)
    assert lane is None
    assert [(each.column, each.about["case"]) for each in problems] == [each[:2] for each in wanted]
    for problem, (_, _, about) in zip(problems, wanted, strict=True):
        assert {key: problem.about[key] for key in about} == about


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("'| x lowd |'", 20),
        ('"| x lowd |"', 20),
        ('"| \\x78 lowd |"', 15),  # an escape: only the whole can be pointed at
    ],
)
def test_a_column_inside_quotes(text: str, column: int) -> None:
    head = "tapscore: 2\ntitle: T\nstory:\n  - section: S\n    lines:\n      - words: a\n"
    story = f"{head}        lane: {text}\n"
    (found,) = (each for each in read_text(story).findings if each.code == "lane")
    assert found.span is not None
    assert (found.span.line, found.span.column) == (7, column)


TAP = Mark.SYLLABLE_TAPPED
LOUD, QUIET = Loudness.LOUD, Loudness.QUIET
DETAILS = (
    ("x(loud)", TapDetail(LOUD), "x(loud)"),
    (
        "x( ff ,  flat   hand )",
        TapDetail(Loudness.VERY_LOUD, Stroke.FLAT_HAND),
        "x(very loud, flat hand)",
    ),
    (
        "x(middle, sweep, quiet)",
        TapDetail(QUIET, Stroke.SWEEP, "middle"),
        "x(quiet, sweep, middle)",
    ),
    ("x(helper, leader)", TapDetail(by=("helper", "leader")), "x(helper, leader)"),
    ("x(everyone, loud)", TapDetail(LOUD, by=("everyone",)), "x(loud, everyone)"),
    ("x(loud, loud)", TapDetail(LOUD), "x(loud)"),
    ("x(far: edge)", TapDetail(spot="far: edge"), "x(far: edge)"),
    ("x(role: two)", TapDetail(by=("role: two",)), "x(role: two)"),
    (
        "x(role: two: loud; far: edge)",
        TapDetail(spot="far: edge", single=(("role: two", TapDetail(LOUD)),)),
        "x(far: edge; role: two: loud)",
    ),
    (
        "x(leader: loud; leader: sweep; quiet)",
        TapDetail(QUIET, single=(("leader", TapDetail(LOUD, Stroke.SWEEP)),)),
        "x(quiet; leader: loud, sweep)",
    ),
    (
        "x(helper: middle; leader: quiet)",
        TapDetail(single=(("helper", TapDetail(spot="middle")), ("leader", TapDetail(QUIET)))),
        "x(helper: middle; leader: quiet)",
    ),
)


@pytest.mark.parametrize(("text", "detail", "written"), DETAILS)
def test_brackets_as_they_are_read_and_written(text: str, detail: TapDetail, written: str) -> None:
    lane, problems = parse_lane(f"| {text} . |", NAMES)
    assert problems == []
    assert lane == Lane((), (((Cell(TAP, detail=detail),), (Cell(Mark.REST),)),))
    assert lane_text(lane) == f"| {written} . |"


def test_marks_bars_and_limits() -> None:
    lane, _ = parse_lane("x | X t | T s | . x_ | x |", NAMES)
    assert lane is not None
    assert [len(bar) for bar in lane.all_bars] == [1, 2, 2, 2, 1]
    cells = [
        (cell.mark.value, cell.accent) for bar in lane.all_bars for step in bar for cell in step
    ]
    assert cells == [
        *[("x", False), ("x", True), ("t", False), ("t", True), ("s", False)],
        *[(".", False), ("x", False), ("_", False), ("x", False)],
    ]
    assert lane_text(lane) == "x | X t | T s | . x_ | x |"
    assert lane_columns("x(loud) | X t|x_") == [0, 10, 12, 14, 15]
    for text in (f"| {'x' * 12} |", f"| {'. ' * 600}|", f". | {'.  ' * 599}|", "| x | _ _ |"):
        lane, problems = parse_lane(text, NAMES)
        assert (problems, lane is None) == ([], False)
        assert parse_lane(lane_text(lane), NAMES)[0] == lane  # type: ignore[arg-type]
    assert parse_lane("| x", NAMES)[0] == parse_lane("| x |", NAMES)[0]
