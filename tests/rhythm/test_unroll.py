"""The order of the telling, what holds in it and what each line is called, by hand."""

import pytest

from tapscore.model.story import Story
from tapscore.rhythm.unroll import Placed, as_written, at_returns, unroll
from tapscore.storyfile.read import read_text

BAR = " X . . . . . . . |"


def story(body: str) -> Story:
    found = read_text(f"tapscore: 2\ntitle: T\nmetre: 4/4\n{body}").story
    assert found is not None
    return found


def line(words: str, more: str = "", bars: int = 1) -> str:
    return f"      - {{words: {words}, lane: '|{BAR * bars}'{', ' if more else ''}{more}}}\n"


def word(placed: Placed) -> str:
    return placed.line.words if placed.line else type(placed.item).__name__


TWICE = story(
    "refrains:\n"
    "  home:\n    - {words: row, look for: a look}\n    - {wait: 5}\n"
    "  both:\n    - {words: all}\n    - {refrain: home}\n    - {words: after}\n"
    "  circle:\n    - {words: round}\n    - {refrain: circle}\n"
    "story:\n  - section: One\n    lines:\n"
    "      - {words: first}\n      - {refrain: home}\n      - {words: second}\n      - {wait: 7}\n"
    "  - section: Two\n    lines:\n"
    "      - {refrain: both}\n      - {refrain: nowhere}\n      - {words: third}\n"
    "      - {refrain: circle}\n      - {refrain: home}\n"
)
# words, section, refrain, how many times heard, number, path, the return's path
HEARD = [
    ("first", "One", None, 0, 1, ("story", 0, "lines", 0), None),
    ("row", "One", "home", 1, None, ("refrains", "home", 0), ("story", 0, "lines", 1)),
    ("Wait", "One", "home", 1, None, ("refrains", "home", 1), ("story", 0, "lines", 1)),
    ("second", "One", None, 0, 2, ("story", 0, "lines", 2), None),
    ("Wait", "One", None, 0, None, ("story", 0, "lines", 3), None),
    ("all", "Two", "both", 1, None, ("refrains", "both", 0), ("story", 1, "lines", 0)),
    ("row", "Two", "home", 2, None, ("refrains", "home", 0), ("story", 1, "lines", 0)),
    ("Wait", "Two", "home", 2, None, ("refrains", "home", 1), ("story", 1, "lines", 0)),
    ("after", "Two", "both", 1, None, ("refrains", "both", 2), ("story", 1, "lines", 0)),
    ("third", "Two", None, 0, 3, ("story", 1, "lines", 2), None),
    ("round", "Two", "circle", 1, None, ("refrains", "circle", 0), ("story", 1, "lines", 3)),
    ("row", "Two", "home", 3, None, ("refrains", "home", 0), ("story", 1, "lines", 4)),
    ("Wait", "Two", "home", 3, None, ("refrains", "home", 1), ("story", 1, "lines", 4)),
]


def test_the_order_and_names_of_what_is_heard() -> None:
    """A refrain that calls itself is said once; one that is not written says nothing."""
    assert [
        (word(p), p.section, p.refrain, p.refrain_time, p.number, p.path, p.returned_path)
        for p in unroll(TWICE)
    ] == HEARD


def test_the_order_and_names_of_what_is_written() -> None:
    written = list(as_written(TWICE))
    assert [(word(p), p.section, p.refrain, p.number) for p in written] == [
        ("first", "One", None, 1),
        ("RefrainUse", "One", None, None),
        ("second", "One", None, 2),
        ("Wait", "One", None, None),
        ("RefrainUse", "Two", None, None),
        ("RefrainUse", "Two", None, None),
        ("third", "Two", None, 3),
        ("RefrainUse", "Two", None, None),
        ("RefrainUse", "Two", None, None),
        ("row", "", "home", None),
        ("Wait", "", "home", None),
        ("all", "", "both", None),
        ("RefrainUse", "", "both", None),
        ("after", "", "both", None),
        ("round", "", "circle", None),
        ("RefrainUse", "", "circle", None),
    ]
    assert {p.refrain_time for p in written} == {0}
    assert {p.returned_path for p in written} == {None}


def test_what_is_heard_at_each_return() -> None:
    found = at_returns(as_written(TWICE))
    assert {path[1:]: [word(p) for p in items] for path, items in found.items()} == {
        (0, "lines", 1): ["row", "Wait"],
        (1, "lines", 0): ["all", "row", "Wait", "after"],
        (1, "lines", 3): ["round"],
        (1, "lines", 4): ["row", "Wait"],
    }


def test_refrains_that_double_again_and_again_end() -> None:
    doubling = "".join(
        f"  r{n}:\n    - {{refrain: r{n + 1}}}\n    - {{refrain: r{n + 1}}}\n" for n in range(20)
    )
    told = story(
        f"refrains:\n{doubling}  r20:\n    - {{words: la}}\n"
        "story:\n  - section: One\n    lines:\n      - {words: first}\n      - {refrain: r0}\n"
        "      - {refrain: r19}\n      - {words: last}\n"
    )
    # r0 goes deeper than any refrain may stand, and so says nothing; r19 says two
    assert [word(p) for p in unroll(told)] == ["first", "la", "la", "last"]


@pytest.mark.parametrize(("deep", "said"), [(11, True), (12, True), (13, False)])
def test_refrains_stand_twelve_deep(deep: int, said: bool) -> None:
    inside = "".join(f"  r{n}:\n    - {{refrain: r{n + 1}}}\n" for n in range(1, deep))
    told = story(
        f"refrains:\n{inside}  r{deep}:\n    - {{words: la}}\n"
        "story:\n  - section: One\n    lines:\n      - {refrain: r1}\n"
    )
    assert [word(p) for p in unroll(told)] == ["la"] * said


def test_a_telling_has_an_end() -> None:
    lines = "      - {refrain: home}\n" * 60
    told = story(
        "refrains:\n  home:\n"
        + "    - {words: la}\n" * 100
        + f"story:\n  - section: One\n    lines:\n{lines}"
    )
    assert len(unroll(told)) == 5000


def section(body: str, more: str) -> list[Placed]:
    told = story(
        "refrains:\n  home:\n    - {words: row}\n"
        f"loudness: medium\ntempo: 100\nstory:\n  - section: One\n    {more}\n    lines:\n{body}"
    )
    return [p for p in unroll(told) if p.line is not None]


def loudness(placed: list[Placed]) -> list[str]:
    return [" ".join(level.letters for level in p.manner.loudness) for p in placed]


def tempos(placed: list[Placed]) -> list[tuple[int, ...]]:
    found = [(p.manner.tempo.start, p.manner.tempo.end) for p in placed]
    return [tuple(int(each) for each in pair if each is not None) for pair in found]


FOUR = "".join(line(each) for each in "abcd")


@pytest.mark.parametrize(
    ("body", "swell", "found"),
    [
        # a quarter of the way from 1 to 3 is 1.5, the step 2; three quarters 2.5, the step 3
        (FOUR, "quiet to loud", ["p mf", "mf", "mf f", "f"]),
        (FOUR, "loud to quiet", ["f", "f mf", "mf", "mf p"]),
        (FOUR, "very quiet to very loud", ["pp p", "p mf", "mf f", "f ff"]),
        # up to the middle and down again
        (FOUR, "quiet to loud to quiet", ["p mf", "mf f", "f mf", "mf p"]),
        # the first of two lines is a quarter of their time
        (line("a") + line("b", bars=3), "very quiet to very loud", ["pp p", "p ff"]),
        # a wait takes no part; a line's own loudness wins, and time goes on under it
        (
            line("a")
            + "      - {wait: 10}\n"
            + line("b", "loudness: loud")
            + line("c")
            + line("d"),
            *("very quiet to very loud", ["pp p", "f", "mf f", "f ff"]),
        ),
        # a refrain between has the story's own
        (
            line("a") + "      - {refrain: home}\n" + line("b"),
            *("very quiet to very loud", ["pp mf", "mf", "mf ff"]),
        ),
        (line("a") + line("b"), "loud", ["f", "f"]),
    ],
)
def test_a_section_swells_through_its_lines(body: str, swell: str, found: list[str]) -> None:
    assert loudness(section(body, f"loudness: {swell}")) == found


@pytest.mark.parametrize(
    ("body", "tempo", "found"),
    [
        # periods 1, 1.125, 1.25, 1.375, 1.5 s: 60, 53.3, 48, 43.6 and 40 a minute
        (FOUR, "60 to 40", [(60, 53), (53, 48), (48, 44), (44, 40)]),
        (FOUR, "40 to 60", [(40, 44), (44, 48), (48, 53), (53, 60)]),
        # one bar and three: 1.125 s
        (line("a") + line("b", bars=3), "60 to 40", [(60, 53), (53, 40)]),
        (line("a", "tempo: 80") + line("b"), "60 to 40", [(80,), (48, 40)]),
        (
            line("a") + "      - {refrain: home}\n" + line("b"),
            *("60 to 40", [(60, 48), (100,), (48, 40)]),
        ),
        # so little that a line keeps it
        (line("a") + line("b"), "100 to 100", [(100,), (100,)]),
        (line("a") + line("b"), "90", [(90,), (90,)]),
    ],
)
def test_a_section_slows_through_its_lines(
    body: str, tempo: str, found: list[tuple[int, ...]]
) -> None:
    assert tempos(section(body, f"tempo: {tempo}")) == found


def test_a_swell_on_the_story_is_every_lines_own() -> None:
    told = story(
        "loudness: quiet to loud\ntempo: 60 to 40\nstory:\n"
        f"  - section: One\n    lines:\n{line('a')}{line('b')}"
    )
    assert loudness(list(unroll(told))) == ["p f", "p f"]
    assert tempos(list(unroll(told))) == [(60, 40), (60, 40)]


@pytest.mark.parametrize(
    ("roles", "taps", "says"),
    [
        ("", "leader", "leader"),
        ("roles: {helper: , leader: }\n", "leader", "leader"),
        ("roles: {helper: , beat-keeper: }\n", "beat-keeper", "helper"),
        ("roles: {helper: , other: }\nby: other\n", "other", "helper"),
        ("roles: {helper: , other: }\nsays: other\n", "helper", "other"),
    ],
)
def test_who_taps_and_speaks_where_nobody_is_named(roles: str, taps: str, says: str) -> None:
    told = story(f"{roles}story:\n  - section: One\n    lines:\n{line('a')}")
    (placed,) = unroll(told)
    assert (placed.manner.by, placed.manner.says) == ((taps,), (says,))
    assert (placed.usual.by, placed.usual.says) == ((taps,), (says,))
