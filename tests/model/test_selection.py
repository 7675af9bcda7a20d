"""Edits of several items at once, against a plain list of what should stand where."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.finding import StoryPath
from tapscore.model.selection import (
    delete_all,
    insert_all,
    move_all,
    move_to,
    refrain_of,
    repeat_all,
)
from tapscore.model.story import Line, Refrain, RefrainUse, Section, Story, Wait


def story_of(*sizes: int) -> Story:
    """Sections with so many lines each, named a, b, c ... throughout."""
    letters = iter("abcdefghijklmnopqrstuvwxyz")
    return Story(
        "Small",
        refrains=(Refrain("r", (Line("r0"), Line("r1"), Wait(Fraction(5)))),),
        sections=tuple(
            Section(f"S{n}", tuple(Line(next(letters)) for _ in range(size)))
            for n, size in enumerate(sizes)
        ),
    )


def shape(story: Story) -> list[str]:
    return [
        f"{section.title} {''.join(getattr(i, 'words', '*') for i in section.items)}"
        for section in story.sections
    ]


def at(section: int, item: int) -> StoryPath:
    return ("story", section, "lines", item)


def test_delete_lines_and_headings_in_one_go() -> None:
    story = story_of(2, 3, 1)
    assert shape(delete_all(story, [at(0, 1), at(1, 0), at(1, 2)])) == ["S0 a", "S1 d", "S2 f"]
    assert shape(delete_all(story, [("story", 1)])) == ["S0 abcde", "S2 f"]
    assert shape(delete_all(story, [("story", 0)])) == ["S1 abcde", "S2 f"]
    whole = [("story", 1), at(1, 0), at(1, 1), at(1, 2)]
    assert shape(delete_all(story, whole)) == ["S0 ab", "S2 f"]
    kept = delete_all(story, [("refrains", "r", 0), ("refrains", "r", 2)])
    assert [item.words for item in kept.refrains[0].items if isinstance(item, Line)] == ["r1"]
    assert kept.sections == story.sections


def test_lines_never_go_with_the_last_heading() -> None:
    assert shape(delete_all(story_of(2), [("story", 0)])) == ["S0 ab"]
    assert delete_all(story_of(1), [("story", 0), at(0, 0)]).sections == ()


def test_what_is_not_touched_stays_the_same_object() -> None:
    story = story_of(2, 2)
    new = delete_all(story, [at(1, 0)])
    assert new.sections[0] is story.sections[0]
    assert new.refrains is story.refrains


def test_move_over_the_end_of_a_section_together() -> None:
    story = story_of(2, 2)
    moved, paths = move_all(story, [at(1, 0), at(1, 1)], -1)
    assert shape(moved) == ["S0 abcd", "S1 "]
    assert paths == (at(0, 2), at(0, 3))
    back, paths = move_all(moved, paths, 1)
    assert shape(back) == shape(story)
    assert paths == (at(1, 0), at(1, 1))
    stay, paths = move_all(story, [at(0, 0), at(0, 1)], -1)
    assert shape(stay) == shape(story)
    assert paths == (at(0, 0), at(0, 1))


def test_move_within_a_refrain() -> None:
    story, paths = move_all(story_of(1), [("refrains", "r", 1), ("refrains", "r", 2)], -1)
    assert paths == (("refrains", "r", 0), ("refrains", "r", 1))
    assert story.refrains[0].items[2] == Line("r0")


def test_repeat_insert_and_refrain() -> None:
    story = story_of(3)
    again, paths = repeat_all(story, (at(0, 0), at(0, 2)))
    assert shape(again) == ["S0 abcac"]
    assert paths == (at(0, 3), at(0, 4))
    more, _ = insert_all(story, at(0, 1), (Line("x"), Line("y")))
    assert shape(more) == ["S0 axybc"]
    made = refrain_of(story, (at(0, 0), at(0, 1)), "ab")
    assert made.sections[0].items == (RefrainUse("ab"), Line("c"))
    assert made.refrains[-1] == Refrain("ab", (Line("a"), Line("b")))
    with pytest.raises(KeyError):
        refrain_of(story, (at(0, 0), at(0, 2)), "ac")
    with pytest.raises(KeyError):
        delete_all(story, [at(0, 9)])


@given(
    st.lists(st.integers(0, 4), min_size=1, max_size=4),
    st.sets(st.tuples(st.integers(0, 3), st.integers(0, 3)), max_size=6),
    st.sampled_from([-1, 1]),
)
def test_moving_keeps_every_line_and_the_order_of_the_chosen(
    sizes: list[int], wanted: set[tuple[int, int]], by: int
) -> None:
    story = story_of(*sizes)
    paths = [at(s, i) for s, i in sorted(wanted) if s < len(sizes) and i < sizes[s]]
    moved, new = move_all(story, paths, by)
    before = [story.sections[int(p[1])].items[int(p[3])] for p in paths]
    after = [moved.sections[int(p[1])].items[int(p[3])] for p in new]
    assert after == before
    lines = [item for section in story.sections for item in section.items]
    left = [item for section in moved.sections for item in section.items]
    assert sorted(map(str, lines)) == sorted(map(str, left))
    rest = [item for item in left if item not in before]
    assert rest == [item for item in lines if item not in before]


@pytest.mark.parametrize(
    ("chosen", "to", "shapes", "paths"),
    [
        # dropped before what stands there; what goes from before it makes room
        ([at(0, 0)], at(0, 2), ["S0 bac", "S1 de"], (at(0, 1),)),
        ([at(0, 0)], at(0, 3), ["S0 bca", "S1 de"], (at(0, 2),)),
        ([at(0, 2)], at(0, 0), ["S0 cab", "S1 de"], (at(0, 0),)),
        ([at(0, 1)], at(0, 1), ["S0 abc", "S1 de"], (at(0, 1),)),
        ([at(1, 1), at(0, 0)], at(1, 0), ["S0 bc", "S1 aed"], (at(1, 0), at(1, 1))),
        ([at(0, 0), at(0, 2)], at(1, 2), ["S0 b", "S1 deac"], (at(1, 2), at(1, 3))),
        ([at(0, 0), at(0, 1)], at(0, 3), ["S0 cab", "S1 de"], (at(0, 1), at(0, 2))),
        ([("story", 0), at(1, 0)], at(0, 0), ["S0 dabc", "S1 e"], (at(0, 0),)),
    ],
)
def test_items_dropped_somewhere(
    chosen: list[StoryPath], to: StoryPath, shapes: list[str], paths: tuple[StoryPath, ...]
) -> None:
    moved, now = move_to(story_of(3, 2), chosen, to)
    assert shape(moved) == shapes
    assert now == paths


def test_a_return_is_dropped_into_no_refrain() -> None:
    story = story_of(2)
    story, _ = insert_all(story, at(0, 0), (RefrainUse("r"),))
    assert move_to(story, [at(0, 0), at(0, 1)], ("refrains", "r", 0)) == (story, ())
    home: StoryPath = ("refrains", "r", 1)
    moved, now = move_to(story, [at(0, 2)], home)
    assert now == (home,)
    assert len(moved.refrains[0].items) == 4
    back, now = move_to(moved, [("refrains", "r", 0)], at(0, 0))
    assert now == (at(0, 0),)
    assert len(back.refrains[0].items) == 3
