"""Which syllables are tapped: every one, on the beat, strong beats alone."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.fewer_taps import Tapped, tapped_on
from tapscore.model.lane import Lane, lane_events
from tapscore.model.metre import Metre, beat_strength
from tapscore.storyfile.lane_text import Names, lane_text, parse_lane
from tapscore.workflow.fitting import hyphenated, rhythms


def lane(text: str) -> Lane:
    found, problems = parse_lane(text, Names())
    assert found is not None
    assert not problems
    return found


def shown(text: str, metre: Metre, which: Tapped) -> str:
    return lane_text(tapped_on(lane(text), metre, which)).replace("X", "x")


EVERY = "x | X x x x X . x . | X . . t . . . . |"
WORDS = ("row", "the", "lantern", "over", "water", "splash", "21", "everybody")
ALONE = lane_text(tapped_on(lane("| X x |"), Metre(2, 4), Tapped.STRONG))[4]


@pytest.mark.parametrize(
    ("metre", "text", "which", "expected"),
    [
        (Metre(4, 4), EVERY, Tapped.BEATS, "s | x s x s x . x . | x . . . . . . . |"),
        (Metre(4, 4), EVERY, Tapped.STRONG, "s | x s s s x . s . | x . . . . . . . |"),
        (Metre(2, 4), "| X x x x |", Tapped.STRONG, "| x s s s |"),
        (Metre(6, 8), "| X x x X . x |", Tapped.BEATS, "| x s s x . s |"),
        (Metre(6, 8), "| X x x X . x |", Tapped.STRONG, "| x s s s . s |"),
        (Metre(3, 4), "| X . x . x . |", Tapped.STRONG, "| x . s . s . |"),
        (Metre(2, 4), "| . . X x |", Tapped.STRONG, "| . . x s |"),
        (Metre(2, 4), "| . x . x |", Tapped.BEATS, "| . x . s |"),
    ],
)
def test_taps_by_hand(metre: Metre, text: str, which: Tapped, expected: str) -> None:
    """Counted by hand; ``s`` is a syllable said alone."""
    assert shown(text, metre, which) == expected.replace("s", ALONE)


@given(
    st.lists(
        st.sampled_from(["row", "the", "lantern", "over", "water", "splash", "21", "everybody"]),
        min_size=1,
    ),
    st.sampled_from([Metre(2, 4), Metre(3, 4), Metre(4, 4), Metre(6, 8)]),
    st.sampled_from(list(Tapped)),
)
def test_words_keep_their_places_and_taps_are_on_such_beats(
    words: list[str], metre: Metre, which: Tapped
) -> None:
    full = rhythms(hyphenated(" ".join(words[:9])), metre)[0]
    thin = tapped_on(full, metre, which)

    def said(some: Lane) -> list[Fraction]:
        return [e.onset_beats for e in lane_events(some, metre) if e.cell.mark.said]

    assert said(thin) == said(full)
    taps = [e for e in lane_events(thin, metre) if e.cell.mark.tapped]
    assert taps
    assert tapped_on(thin, metre, which) == thin
    if which is Tapped.BEATS and len(taps) > 1:
        assert all(e.position_beats.denominator == 1 for e in taps)
    if which is Tapped.STRONG and any(
        beat_strength(metre, e.position_beats) == 1 for e in lane_events(full, metre)
    ):
        assert all(e.position_beats in (0, 2) for e in taps)
