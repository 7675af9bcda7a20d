"""The day file beside a story: whole, with its comments, and never over somebody else's."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.day import Day, Telling
from tapscore.storyfile.day_file import LONGEST_NAME, MOST_PUPILS, read_day
from tapscore.workflow.today.day_beside import (
    DayChangedError,
    day_path,
    day_text,
    load_day,
    save_day,
)
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.paper_strategies import ROLES

names = (
    st.text(min_size=1, max_size=LONGEST_NAME)
    .map(lambda text: " ".join(text.split()))
    .filter(lambda name: name and name not in ("A", "B"))
)


@st.composite
def days(draw: st.DrawFn) -> Day:
    here = draw(st.lists(names, min_size=1, max_size=6, unique=True))
    roles = draw(st.lists(st.sampled_from(ROLES), unique=True, max_size=4))
    places = draw(st.none() | st.lists(st.sampled_from(["A", "B"]), unique=True).map(tuple))
    pupils = None if places is not None else draw(st.none() | st.integers(0, MOST_PUPILS))
    return Day(
        tuple(here),
        tuple((role, draw(st.sampled_from(here))) for role in roles),
        places,
        pupils,
        draw(st.none() | st.sampled_from([t for t in Telling if t is not Telling.NOT_TODAY])),
    )


@given(days(), days())
def test_a_day_written_over_another_reads_back(before: Day, after: Day) -> None:
    text = day_text(after, day_text(before))
    read = read_day(text, sample())
    assert read.findings == ()
    assert read.day is not None
    assert read.day.here == after.here
    assert dict(read.day.takes) == dict(after.takes)
    assert (read.day.places, read.day.pupils) == (after.places, after.pupils)
    assert read.day.tell is after.tell


def test_comments_stay(tmp_path: Path) -> None:
    path = day_path(tmp_path / "boat.yaml")
    assert path.name == "boat today.yaml"
    path.write_text("# Mondays\nhere: [AB, CD]  # CD until two\nroles:\n  leader: AB\n")
    beside = load_day(path, sample())
    save_day(beside, Day(("AB", "CD"), (("leader", "CD"),)), sample())
    assert path.read_text() == "# Mondays\nhere: [AB, CD]  # CD until two\nroles:\n  leader: CD\n"


def test_a_file_changed_meanwhile_is_left(tmp_path: Path) -> None:
    path = tmp_path / "boat today.yaml"
    beside = load_day(path, sample())
    path.write_text("here: [XY]\n")
    with pytest.raises(DayChangedError):
        save_day(beside, Day(("AB",)), sample())
    assert path.read_text() == "here: [XY]\n"


def test_what_can_not_be_read_says_where(tmp_path: Path) -> None:
    path = tmp_path / "boat today.yaml"
    path.write_text("here: [AB]\nroles:\n  leeder: AB\n")
    (said,) = load_day(path, sample()).troubles
    assert said.startswith("boat today.yaml, line 3: The story has no role “leeder”.")
    path.write_bytes(b"\xff\xfe\x00")
    assert load_day(path, sample()).troubles == (
        "boat today.yaml can't be read: it is not plain text (UTF-8).",
    )


@pytest.mark.parametrize("before", ["# ours", "# ours\n", "# ours\r\n# too", "# a\n\n# b"])
def test_a_comment_alone_stays_on_its_own_lines(before: str) -> None:
    text = day_text(Day(("AB",), ()), before)
    comments = [line for line in before.splitlines() if line]
    assert "here: " in text.splitlines()[-1]
    assert read_day(text, sample()).day == Day(("AB",), ())
    assert all(comment in text.splitlines() for comment in comments)


def test_a_file_that_could_not_be_read_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "boat today.yaml"
    for number, name in enumerate(("(not read)", "(not read 2)"), 1):
        path.write_bytes(b"\xff\xfe not text %d" % number)
        beside = load_day(path, sample())
        assert beside.day is None
        save_day(beside, Day(("AB",), ()), sample())
        assert (tmp_path / f"boat today {name}.yaml").read_bytes().endswith(b"%d" % number)
        assert load_day(path, sample()).day == Day(("AB",), ())
