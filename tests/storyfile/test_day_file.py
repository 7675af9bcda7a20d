from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.day import Telling
from tapscore.storyfile.day_file import read_day
from tests.exports.paper.paper_samples import sample


def codes(text: str) -> list[str]:
    return [finding.code for finding in read_day(text, sample()).findings]


def test_a_day_is_read() -> None:
    read = read_day("here: [AB, CD, prop handler]\nroles:\n  leader: AB\n", sample())
    assert read.findings == ()
    assert read.day is not None
    assert read.day.here == ("AB", "CD", "prop handler")
    assert read.day.takes == (("leader", "AB"),)


def test_who_takes_a_role_is_here() -> None:
    read = read_day("roles: {leader: NO, beat-keeper: on}", sample())
    assert read.day is not None
    assert read.day.here == ("NO", "on")


def test_of_two_adults_for_one_role_the_first_has_it() -> None:
    read = read_day("roles: {leader: [AB, CD]}", sample())
    assert read.day is not None
    assert read.day.takes == (("leader", "AB"),)


def test_a_pupil_is_never_in_it() -> None:
    read = read_day("here: [AB, A]\nroles: {leader: B}", sample())
    assert [f.code for f in read.findings] == ["pupil-in-day", "pupil-in-day"]
    assert read.day is not None
    assert read.day.here == ("AB",)
    assert [f.span.line for f in read.findings if f.span] == [1, 2]


def test_pupils_are_places_or_a_number() -> None:
    for text, places, count in (
        ("pupils: [A, B]", ("A", "B"), None),
        ("pupils: A", ("A",), None),
        ("pupils: 3", None, 3),
        ("pupils: []", (), None),
    ):
        read = read_day(f"here: [AB]\n{text}\ntell: short", sample())
        assert read.findings == ()
        assert read.day is not None
        assert (read.day.places, read.day.pupils) == (places, count)
        assert read.day.tell is Telling.SHORT


def test_mistakes_are_told_with_what_to_do() -> None:
    assert codes("here: AB\nrols: {leader: AB}") == ["unknown-key"]
    (found,) = read_day("roles: {leeder: AB}", sample()).findings
    assert "Did you mean `leader`?" in found.message
    assert codes("here: [[AB]]") == ["day-shape"]
    assert codes("roles: [AB]") == ["day-shape"]
    assert codes("roles: {leader: [AB, CD]}") == ["day-shape"]
    assert codes("") == ["no-day"]
    assert codes("- AB") == ["no-day"]
    assert codes("here: [AB") != []
    assert codes("pupils: [Zoe]") == ["no-such-place"]
    assert codes("pupils: {A: B}") == ["day-shape"]
    assert codes("pupils: 1000") == ["day-shape"]
    assert codes("tell: not today") == ["day-shape"]


@given(st.text(max_size=60))
def test_any_text_gives_a_day_or_says_why_not(text: str) -> None:
    read = read_day(text, sample())
    assert read.day is not None or read.findings
