"""Slots and their kinds, distances, weights before anything is learnt, and costs: by hand."""

from fractions import Fraction

import pytest
from attrs import evolve

from tapscore.model.metre import Metre, parse_metre
from tapscore.words.fit import likely_bars, longest_gap, longest_pickup, make_grid, search_tables
from tapscore.words.fit_costs import (
    TURNED,
    FitWeights,
    LineCosts,
    paths,
    prior_weight,
    turned,
)
from tapscore.words.fit_features import RISES, features
from tapscore.words.fit_search import Search, Tables
from tapscore.words.grid import GAPS, Grid, gap_number, rise
from tapscore.words.line import read_line
from tests.words.costs import cost_of


def metre(text: str) -> Metre:
    found = parse_metre(text)
    assert found is not None
    return found


SIX = metre("6/8")


@pytest.mark.parametrize(
    ("signature", "steps", "halves"),
    [
        ("2/4", "SHDHSH", "DFHFSFHF"),
        ("3/4", "BHDHBHBH", "DFHFBFHFBFHF"),
        ("4/4", "BHDHBHSHBH", "DFHFBFHFSFHFBFHF"),
        ("6/8", "SMUDMUSMU", "DFMFUFSFMFUF"),
        ("9/8", "BMUDMUBMUBMU", "DFMFUFBFMFUFBFMFUF"),
        ("12/8", "BMUDMUBMUSMUBMU", "DFMFUFBFMFUFSFMFUFBFMFUF"),
        ("3/8", "DMUDMU", "DFMFUF"),
    ],
)
def test_kinds_of_slots(signature: str, steps: str, halves: str) -> None:
    """A beat before the first downbeat and one bar; then a bar in half steps."""
    measure = metre(signature)
    per_beat = measure.steps_per_beat
    assert Grid(measure, 1, per_beat, -per_beat).kinds() == steps
    assert Grid(measure, 1, 2 * per_beat, 0).kinds() == halves


def test_a_grid_s_ends_middle_and_beats() -> None:
    assert [Grid(SIX, bars, 3, -5).last for bars in (1, 2, 3)] == [6, 12, 18]
    assert [Grid(SIX, bars, 3, -5).middle for bars in (1, 2, 3, 4)] == [None, 6, None, 12]
    assert [Grid(SIX, 1, 3, -5).beats(slot) for slot in (-1, 0, 4)] == [
        *(Fraction(-1, 3), Fraction(0), Fraction(4, 3)),
    ]
    assert len(Grid(SIX, 2, 3, -5).kinds()) == 17


def test_distances() -> None:
    """From one slot to eleven of three a beat, then of six."""
    named = [GAPS[gap_number(SIX, 3, slots)] for slots in range(1, 11)]
    assert named == [
        "step",
        "part",
        "beat",
        "over",
        "over",
        "two",
        "three",
        "three",
        "three",
        "more",
    ]
    finer = [GAPS[gap_number(SIX, 6, slots)] for slots in (1, 2, 3, 5, 6, 7, 11, 12, 13, 18, 19)]
    assert finer == [
        "fine",
        "step",
        "part",
        "part",
        "beat",
        "over",
        "over",
        "two",
        "three",
        "three",
        "more",
    ]


def test_stronger_and_weaker_slots() -> None:
    order = ("D", "S", "B", "H", "F")
    for one in range(5):
        for two in range(5):
            assert RISES[rise(order[one], order[two])] == (
                "up" if two < one else "down" if two > one else "level"
            )
    assert {rise(one, two) for one in "HMU" for two in "HMU"} == {1}


@pytest.mark.parametrize(
    ("name", "weight"),
    [
        *(("at:CLITIC:D", 2.0), ("at:PRIMARY:D", 0.0), ("at:CONTENT:S", 0.0)),
        *(("at:CONTENT:B", 0.08), ("at:LIGHT:H", 0.18), ("at:WEAK:F", 1.005)),
        *(("at:c:LIGHT:D", 0.0), ("at:SECONDARY:U", 0.125), ("at:FUNCTION:M", 0.02)),
        *(("gap:light:out:c:fine", 1.5), ("gap:heavy:out:c:fine", 2.5)),
        *(("gap:light:in:s:beat", 1.1), ("gap:heavy:in:s:beat", 0.5)),
        *(("gap:heavy:out:w:more", 3.0), ("gap:light:out:w:two", 2.2)),
        *(("pause:both:fine", 6.0), ("pause:one:part", 0.4), ("pause:one:beat", 0.0)),
        *(("skip:D", 1.5), ("skip:S", 1.0), ("skip:B", 0.5), ("skip:c:D", 0.0)),
        *(("rise:in:falls:up", 2.0), ("rise:in:rises:down", 2.0), ("rise:in:falls:down", 0.0)),
        *(("rise:in:rises:level", 0.4), ("rise:out:falls:up", 0.4), ("rise:out:falls:level", 0.0)),
        *(("rise:in:even:up", 0.0), ("rise:c:in:CLITIC:PRIMARY:up", 0.0)),
        *(("tail:c:heavy:fine", 1.5), ("tail:c:heavy:beat", 0.0), ("tail:s:light:three", 1.0)),
        *(("head:c:on", 0.0), ("head:c:step", 0.4), ("head:s:later", 4.0), ("head:s:late", 2.0)),
        *(("beats:4", 0.0), ("beats:16", 1.2), ("beats:5", 2.0), ("beats:6/8:4", 0.0)),
        *(("nothing:known", 0.0), ("d:article1:D", 0.0)),
    ],
)
def test_weights_before_anything_is_learnt(name: str, weight: float) -> None:
    assert prior_weight(name) == pytest.approx(weight)
    assert FitWeights()[name] == pytest.approx(weight)
    assert FitWeights({name: 7.5})[name] == 7.5
    assert FitWeights({name: 0.0})[name] == 0.0


def test_weights_in_rows_and_their_sums() -> None:
    weights = FitWeights({"a:x": 1.0, "a:y": 2.0, "b:y": 0.5})
    one, two = ("a", ("x", "y", "")), ("b", ("x", "y", "z"))
    assert weights.row(one) == (1.0, 2.0, 0.0)
    assert weights.row(two) == (0.0, 0.5, 0.0)
    assert weights.row(("c", ("x", "y", "z"))) is None
    assert weights.total([one, two, ("c", ("x", "y", "z"))], 3) == [1.0, 2.5, 0.0]
    assert weights.total([("c", ("x", "y"))], 2) == [0.0, 0.0]


def test_which_rise_turns_a_stress() -> None:
    lantern, away = read_line("lantern"), read_line("away")
    assert turned(*lantern) == RISES.index("up")
    assert turned(*away) == RISES.index("down")
    assert turned(lantern[1], away[0]) is None, "two words"
    butter = read_line("butterfly")
    assert turned(butter[1], butter[2]) == RISES.index("down"), "a second stress counts, too"
    name = read_line("Ali=Rahman")
    assert turned(name[2], name[3]) == RISES.index("up")
    rhyme = read_line("hickory")
    assert turned(rhyme[1], rhyme[2]) is None, "neither carries a stress"


def test_moves_and_the_beats_they_pass() -> None:
    """2/4, one bar with a step before it: slots H D H S H; two steps at most."""
    weights = FitWeights({"skip:D": 1.0, "skip:S": 0.25, "skip:s:D": 0.5})
    rows = paths(Grid(metre("2/4"), 1, 2, -1), 2, weights)
    step, beat = GAPS.index("step"), GAPS.index("beat")
    down, level, up = range(3)
    assert rows == (
        ((1, 3 * step + up, 0.0), (2, 3 * beat + level, 1.5)),
        ((2, 3 * step + down, 0.0), (3, 3 * beat + down, 0.0)),
        ((3, 3 * step + up, 0.0), (4, 3 * beat + level, 0.25)),
        ((4, 3 * step + down, 0.0),),
        (),
    )
    halves = paths(Grid(metre("2/4"), 1, 4, 0), 3, weights)
    assert [target for target, _, _ in halves[0]] == [1, 2]
    assert [target for target, _, _ in halves[1]] == [2, 4], "to half a step from its beginning"


@pytest.mark.parametrize(
    ("signature", "counts"),
    [
        ("2/4", {1: (1, 1), 4: (1, 3), 7: (2, 5), 12: (2, 9), 40: (6, 14), 41: (12, 12)}),
        ("3/4", {1: (1, 1), 4: (1, 2), 7: (1, 4), 12: (2, 6), 40: (4, 12), 41: (8, 8)}),
        ("4/4", {1: (1, 1), 7: (1, 3), 12: (1, 5), 40: (3, 11), 41: (6, 6)}),
        ("3/8", {1: (1, 2), 4: (2, 6), 7: (3, 10), 41: (24, 24)}),
    ],
)
def test_how_many_bars_are_tried(signature: str, counts: dict[int, tuple[int, int]]) -> None:
    for count, (least, most) in counts.items():
        assert likely_bars(count, metre(signature)) == list(range(least, most + 1))


def test_how_long_a_pickup_and_a_gap_may_be() -> None:
    steps = {"2/4": 3, "3/4": 4, "4/4": 4, "6/8": 5, "9/8": 6, "12/8": 6, "3/8": 2}
    assert {name: longest_pickup(metre(name)) for name in steps} == steps
    assert longest_gap(Grid(SIX, 1, 3, -5), 2) == 8
    assert longest_gap(Grid(SIX, 1, 3, -5), 5) == 6


def test_grids_as_fine_as_need_be() -> None:
    def made(
        count: int, signature: str, bars: int, pickup: Fraction | None = None
    ) -> tuple[int, int]:
        grid = make_grid(count, metre(signature), bars, pickup)
        assert grid.bars == bars
        return grid.per_beat, grid.first

    assert made(5, "6/8", 2) == (3, -5)
    assert made(5, "6/8", 1) == (6, -10), "more than .45 of a step's syllables"
    assert made(2, "6/8", 1) == (3, -5)
    assert made(3, "2/4", 1, Fraction(1, 3)) == (6, -2)
    assert made(3, "2/4", 1, Fraction(0)) == (4, 0)
    assert made(41, "2/4", 12) == (2, -3), "a long line crowds only where it must"
    assert made(40, "2/4", 1) == (16, -24)


def test_costs_of_a_line_are_those_of_its_features() -> None:
    """On every slot of a grid, one by one; weights of every name by its letters."""

    class Named(FitWeights):
        def __getitem__(self, name: str) -> float:
            return (sum(map(ord, name)) * 37 % 101) / 101 - 0.3

    weights = Named()
    syllables = read_line("the lantern boat, away")
    for signature, bars in (("6/8", 2), ("3/4", 1), ("2/4", 4)):
        grid = Grid(metre(signature), bars, metre(signature).steps_per_beat, -2)
        costs = LineCosts(syllables, metre(signature), weights)
        nodes, heads, tails, jumps = (
            *(costs.nodes(grid), costs.heads(grid), costs.tails(grid)),
            costs.jumps(bars),
        )
        rows = paths(grid, 99, weights)
        slots = list(range(-1, 5))
        total = costs.size(bars) + heads[1] + tails[slots[-1] + 2]
        for at, slot in enumerate(slots):
            total += nodes[at][slot + 2]
            if at:
                move = next(one for one in rows[slots[at - 1] + 2] if one[0] == slot + 2)
                total += jumps[at - 1][move[1]] + move[2]
        against = sum(
            TURNED
            for at in range(5)
            if turned(syllables[at], syllables[at + 1])
            == rise(grid.kinds()[slots[at] + 2], grid.kinds()[slots[at + 1] + 2])
        )
        assert total == pytest.approx(cost_of(features(syllables, slots, grid), weights) + against)


def test_the_cheapest_placements_in_order() -> None:
    """Two syllables on three slots: nodes, moves and windows by hand."""
    moves = (((1, 0, 0.0), (2, 1, 0.5)), ((2, 0, 0.0),), ())
    tables = Tables([[1.0, 0.0, 9.0], [9.0, 2.0, 1.0]], [[0.25, 0.75]], moves, [(0, 2), (1, 3)])
    search = Search(tables)
    assert search.least == 1.25
    assert search.best(5) == [(1.25, (1, 2)), (3.25, (0, 1)), (3.25, (0, 2))]
    assert search.best(1) == [(1.25, (1, 2))]
    closed = Search(Tables(tables.nodes, tables.jumps, moves, [(2, 3), (0, 3)]))
    assert (closed.least, closed.best(3)) == (float("inf"), [])


@pytest.mark.parametrize(
    "held", [((0, 2),), ((3, 6),), ((1, 4), (3, 8)), ((4, 9),), ((2, 3), (4, 4))]
)
def test_the_cheapest_placement_with_syllables_held(held: tuple[tuple[int, int], ...]) -> None:
    """As the search finds it where each of them has but one slot; none where that is none."""
    two_four = metre("2/4")
    costs = LineCosts(read_line("come and see the hens"), two_four, FitWeights({}))
    tables = search_tables(costs, make_grid(5, two_four, 2, None), None)
    windows = list(tables.windows)
    for at, slot in held:
        windows[at] = (slot, slot + 1)
    found = Search(tables).holding(held)
    right = Search(evolve(tables, windows=windows)).best(1)
    assert (found is None) == (not right) == (held == ((2, 3), (4, 4)))
    if found is not None:
        assert found[0] == pytest.approx(right[0][0])
        assert found[1] == right[0][1]
