"""Story starters: nothing to mend as they come, nor with anybody's own words in the gaps."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.model.finding import Severity
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.workflow.open_story import open_story
from tapscore.workflow.starters import (
    LONGEST_FILL,
    Starter,
    UnusableFillError,
    starter,
    starter_text,
    starters,
)

ALL = {each.name: each for each in starters()}
WORDS = ("train", "hippopotamus", "old blue tractor", "night-light", "Anna’s kite", "a", "mm")


def test_there_are_five_shapes_each_with_gaps() -> None:
    assert set(ALL) == {"journey", "hide-and-find", "weather", "meal", "going-to-sleep"}
    for each in starters():
        assert each.gaps
        assert each.title
        for gap in each.gaps:
            assert "{" + gap.name + "}" in each.text


@pytest.mark.parametrize("name", ALL)
def test_as_it_comes_there_is_nothing_to_look_at(name: str, tmp_path: object) -> None:
    from pathlib import Path

    path = Path(str(tmp_path)) / "story.yaml"
    path.write_text(starter_text(ALL[name], {}), encoding="utf-8")
    opened = open_story(path, felt=True, full=True)
    assert [(f.code, f.path) for f in opened.findings] == []
    assert opened.story is not None
    assert opened.story.board is not None
    assert len(opened.story.board.places) == 4


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(ALL)), st.data())
def test_own_words_leave_nothing_that_must_be_mended(name: str, data: st.DataObject) -> None:
    chosen = ALL[name]
    fills = {
        gap.name: data.draw(st.sampled_from(WORDS))
        for gap in chosen.gaps
        if data.draw(st.booleans())
    }
    text = starter_text(chosen, fills)
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    found = check(Scene(read.story, perform(read.story)))
    assert [f for f in found if f.severity is Severity.MUST_MEND] == []
    for gap in chosen.gaps:
        stays = f"Now: {gap.usual.replace('-', '')}." in text
        assert stays == (gap.name not in fills)
    assert "{" not in read.story.title
    for fill in fills.values():
        assert fill.replace("-", "")[:4] in text.replace("-", "")


@given(st.text(max_size=60))
def test_what_is_not_words_is_told_and_never_breaks_the_file(fill: str) -> None:
    chosen = ALL["journey"]
    try:
        text = starter_text(chosen, {"ride": fill})
    except UnusableFillError:
        assert not fill.replace(" ", "").isalpha() or len(fill) > LONGEST_FILL
        return
    assert len(fill.split()) > 0
    assert read_text(text).findings == ()


@pytest.mark.parametrize("fill", ["", "a: b", "{x}", "bus # quick", "4", "x" * (LONGEST_FILL + 1)])
def test_bad_fills(fill: str) -> None:
    with pytest.raises(UnusableFillError):
        starter_text(ALL["meal"], {"food": fill})


def test_a_gap_there_is_none_of_names_those_there_are() -> None:
    with pytest.raises(UnusableFillError, match="there are: food, dish"):
        starter_text(ALL["meal"], {"fod": "peas"})
    assert starter("party") is None
    assert isinstance(starter("meal"), Starter)
