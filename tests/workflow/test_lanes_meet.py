"""Lines cut, joined and following one another: their bars written out, worked out by hand."""

from fractions import Fraction

import pytest
from attrs import evolve

from tapscore.model.lane import Lane
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Entrance, Line, Refrain, RefrainUse, Story, Translation, Wait
from tapscore.model.tempo import Tempo
from tapscore.model.walk import section_items
from tapscore.workflow.cut_and_join import cut_line, join_lines
from tapscore.workflow.joining import joined, lacking
from tests.exports.audio.audio_stories import lane, story

FOUR, SIX = Metre(4, 4), Metre(6, 8)  # eight steps a bar, and six


def bars(found: Lane | None) -> str:
    """``pickup/bar|bar``."""
    assert found is not None

    def text(bar: tuple[tuple[object, ...], ...]) -> str:
        return "".join(
            cell.mark.value.upper() if cell.accent else cell.mark.value  # type: ignore[attr-defined]
            for step in bar
            for cell in step
        )

    return f"{text(found.pickup)}/" * bool(found.pickup) + "|".join(map(text, found.bars))


@pytest.mark.parametrize(
    ("last", "steps", "made"),
    [
        (("X.x.x...",), 0, "X.x.x..."),
        (("X.x.x...",), 2, "X.x.x."),
        (("X.x.x...",), 3, "X.x.x"),
        (("X.x.x...",), 4, "X.x.x...|...."),  # a tap is in the way: a bar more
        (("X.x.x...",), 8, "X.x.x..."),
        (("........",), 7, "."),
        (("X.x",), 1, "X.x...."),  # what is short is filled up first
        (("x.......", "X......."), 1, "x.......|X......"),
    ],
)
def test_steps_that_the_next_pickup_needs(last: tuple[str, ...], steps: int, made: str) -> None:
    assert bars(lacking(lane(*last), FOUR, steps)) == made


def told(*items: Line | RefrainUse | Wait, metre: Metre = FOUR) -> Story:
    return story(*items, metre=metre)


def lanes(made: Story) -> list[str]:
    return [bars(item.lane) for _, item in section_items(made) if isinstance(item, Line)]


def test_lines_that_follow_one_another_make_whole_bars() -> None:
    one, up = Line("one", lane("X.......")), Line("up to", lane("X.......", pickup=".x"))
    assert lanes(joined(told(one, up, one))) == ["X.....", ".x/X.......", "X......."]
    # After a wait a line begins anew.
    assert lanes(joined(told(one, Wait(Fraction(5)), up))) == ["X.......", ".x/X......."]
    # Only what may change does: the second line, before a third with a pickup.
    both = told(one, up, up)
    assert lanes(joined(both, [("story", 0, "lines", 1)])) == [
        *("X.......", ".x/X.....", ".x/X.......")
    ]
    assert lanes(joined(both)) == ["X.....", ".x/X.....", ".x/X......."]
    # What was short and need not be is filled up.
    assert lanes(joined(told(Line("one", lane("X.....")), one))) == ["X.......", "X......."]


def test_a_line_that_returns_is_as_short_as_its_first_return_needs() -> None:
    one, up = Line("one", lane("X.......")), Line("up to", lane("X.......", pickup=".x"))
    use = RefrainUse("home")
    for items, last in (((use, up, use, one), "X....."), ((use, one, use, up), "X.......")):
        made = joined(evolve(told(*items), refrains=(Refrain("home", (one,)),)))
        (home,) = made.refrains[0].items
        assert isinstance(home, Line)
        assert bars(home.lane) == last


def test_a_pickup_into_another_metre_is_whole_beats() -> None:
    """A beat of two steps before one of three: one quaver is filled up to three, a whole beat."""
    six = PartialManner(metre=SIX)
    made = joined(
        told(Line("one", lane("X.......")), Line("to you", lane("X.....", pickup="x"), six))
    )
    assert lanes(made) == ["X.....", "..x/X....."]


def test_a_pickup_that_would_be_a_whole_bar_is_not_filled_up() -> None:
    six = PartialManner(metre=SIX)
    five = Line("to you all day long", lane("X.....", pickup="xxxxx"), six)
    made = joined(told(Line("one", lane("X.......")), five))
    assert lanes(made)[1] == "xxxxx/X....."


def test_a_line_is_cut_before_a_word_and_its_bar_is_in_both() -> None:
    whole = Line(
        "one two three four",
        lane("x...X.t.", "x...x..."),
        warn_first="whisper",
        props_in=(Entrance("beads"),),
        props_out=("scarf",),
        do="nod",
        look_for="a look",
    )
    cut = cut_line(whole, 2, FOUR)
    assert cut is not None
    one, two = cut
    assert [(part.words, bars(part.lane)) for part in cut] == [
        *(("one two", "x...X.t."), ("three four", "x...x..."))
    ]
    assert (one.warn_first, one.props_in, one.props_out, one.do, one.look_for) == (
        *("whisper", (Entrance("beads"),), (), "nod", None),
    )
    assert (two.warn_first, two.props_in, two.props_out, two.do, two.look_for) == (
        *(None, (), ("scarf",), None, "a look"),
    )
    middle = cut_line(whole, 1, FOUR)
    assert middle is not None
    assert [bars(part.lane) for part in middle] == ["x.......", "....X.t.|x...x..."]
    assert [cut_line(whole, at, FOUR) for at in (0, 4, -1)] == [None] * 3
    # Within a word it is cut before it, and not at all within the first.
    water = Line("wa-ter la-dy", lane("x.x.x.X."))
    found = cut_line(water, 3, FOUR)
    assert found is not None
    assert [part.words for part in found] == ["wa-ter", "la-dy"]
    assert [bars(part.lane) for part in found] == ["x.x.....", "....x.X."]
    assert cut_line(water, 1, FOUR) is None


@pytest.mark.parametrize(
    ("at", "one", "two"),
    [
        # What comes before a bar line stands at the end of a bar, so that it comes as late.
        (1, ".....x..", "x/X...x..."),
        (2, ".....x.x", "X...x..."),
        (3, "x.x/X.......", "....x..."),
    ],
)
def test_a_line_with_a_pickup_made_by_hand_keeps_its_taps(at: int, one: str, two: str) -> None:
    whole = Line("a b c d", lane("X...x...", pickup="x.x"))
    cut = cut_line(whole, at, FOUR)
    assert cut is not None
    assert [bars(part.lane) for part in cut] == [one, two]


def test_each_half_is_for_what_the_line_was_for_and_goes_on_as_it_was_tapped() -> None:
    manner = PartialManner(
        loudness=(Loudness.QUIET, Loudness.LOUD), tempo=Tempo(Fraction(60), Fraction(30))
    )
    line = Line(
        "one two three four", lane("x...x...", "x...x..."), manner,
        areas=("Literacy",), picture="moon.jpg", translations=(Translation("pl", "raz"),),
    )  # fmt: skip
    cut = cut_line(line, 2, FOUR)
    assert cut is not None
    one, two = cut
    assert (one.areas, two.areas) == (("Literacy",), ("Literacy",))
    assert (one.picture, two.picture) == ("moon.jpg", None)
    assert (one.translations, two.translations) == (line.translations, ())
    # The third tap is two thirds of the way from the first to the last; the third beat of
    # four begins half way in beats.
    assert [part.manner.loudness for part in cut] == [
        (Loudness.QUIET, Loudness.MEDIUM),
        (Loudness.MEDIUM, Loudness.LOUD),
    ]
    assert [part.manner.tempo for part in cut] == [
        Tempo(Fraction(60), Fraction(40)),
        Tempo(Fraction(40), Fraction(30)),
    ]
    again = join_lines(cut, FOUR)
    assert (again.areas, again.picture) == (line.areas, line.picture)
    assert again.manner.tempo == manner.tempo
    assert again.manner.loudness == (Loudness.QUIET, Loudness.MEDIUM, Loudness.LOUD)
    # Where the second begins otherwise, the first's own stays.
    louder = evolve(two, manner=PartialManner(loudness=(Loudness.LOUD,), tempo=Tempo(Fraction(90))))
    first = join_lines([one, louder], FOUR).manner
    assert (first.loudness, first.tempo) == (one.manner.loudness, one.manner.tempo)


@pytest.mark.parametrize(
    ("first", "second", "made"),
    [
        (("x.X.x.x.",), ("", "X.x.x.x."), "x.X.x.x.|X.x.x.x."),
        # A pickup goes where the first is silent, else into a bar of its own.
        (("x.X.x...",), (".x", "X......."), "x.X.x..x|X......."),
        (("x.X.x...",), ("x.x", "X......."), "x.X.xx.x|X......."),
        (("x.X.x...",), ("xx.x", "X......."), "x.X.x...|....xx.x|X......."),
        (("x.X.x",), ("x", "X......."), "x.X.x..x|X......."),
        (("x.X.x",), ("", "X......."), "x.X.x...|X......."),
        (("xxXxXx..",), ("", "X......."), "xxXxXx..|X......."),
    ],
)
def test_two_lanes_after_one_another(
    first: tuple[str, ...], second: tuple[str, str], made: str
) -> None:
    pickup, bar = second
    words = "la " * (sum(map(str.isalpha, first[0])))
    one = Line(words.strip(), lane(*first))
    two = Line("so " * sum(map(str.isalpha, pickup + bar)), lane(bar, pickup=pickup))
    assert bars(join_lines([one, two], FOUR).lane) == made


def test_what_is_done_with_two_lines_is_done_with_one() -> None:
    one = Line(
        "one", lane("x..t...."), do="nod", done_by=("leader",), props_in=(Entrance("beads", "A"),),
        props_out=("scarf",), areas=("a",),
    )  # fmt: skip
    two = Line(
        "two", lane("x......t"), do="wave", done_by=("leader", "helper"), warn_first="whisper",
        warned_by=("helper",), props_in=(Entrance("beads"), Entrance("cup")),
        props_out=("scarf", "cup"), look_for="a look", areas=("b", "a"),
    )  # fmt: skip
    both = join_lines([one, two], FOUR)
    assert (both.words, bars(both.lane)) == ("one two", "x..t....|x......t")
    assert (both.do, both.done_by) == ("nod, wave", ("leader", "helper"))
    assert (both.warn_first, both.warned_by, both.look_for) == ("whisper", ("helper",), "a look")
    assert both.props_in == (Entrance("beads", "A"), Entrance("cup"))
    assert (both.props_out, both.areas) == (("scarf", "cup"), ("a", "b"))
    same = join_lines([one, Line("so", lane("x..t...."), do="nod")], FOUR)
    assert same.do == "nod"


def test_nothing_that_two_lines_say_is_lost_in_one() -> None:
    """A second warning least of all: what it warns of comes all the same."""
    one = Line(
        "one", lane("x......."), warn_first="whisper", warned_through=("sound",), look_for="a look",
        translations=(Translation("pl", "raz"), Translation("cy", "un")),
    )  # fmt: skip
    two = Line(
        "two", lane("x......."), warn_first="show the drum", warned_by=("helper",),
        warned_through=("sight", "sound"), look_for="a smile",
        translations=(Translation("pl", "dwa"), Translation("ur", "do")), picture="boat.png",
    )  # fmt: skip
    both = join_lines([one, two], FOUR)
    assert (both.warn_first, both.warned_by) == ("whisper, show the drum", ("helper",))
    assert (both.warned_through, both.look_for) == (("sound", "sight"), "a look, a smile")
    assert [(each.tag, each.words) for each in both.translations] == [
        *(("pl", "raz dwa"), ("cy", "un"), ("ur", "do"))
    ]
    assert both.picture == "boat.png"
    assert join_lines([one, Line("so")], FOUR).translations == one.translations
