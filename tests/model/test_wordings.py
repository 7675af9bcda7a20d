"""Numbers, lists and lengths of time as they are said."""

from tapscore.model.wordings import clock, clock_range, joined, ordinal, seconds_words


def test_numbers_in_words() -> None:
    assert [ordinal(n) for n in (1, 2, 3, 4, 11, 12, 21, 103)] == [
        "1st", "2nd", "3rd", "4th", "11th", "12th", "21st", "103rd",
    ]  # fmt: skip
    assert [seconds_words(s) for s in (1, 30, 60, 150)] == [
        "1 second", "30 seconds", "1 minute", "2 minutes 30 seconds",
    ]  # fmt: skip
    assert [clock(s) for s in (0, 59.6, 185.2)] == ["0:00", "1:00", "3:05"]


def test_a_range_of_one_time_is_one_time() -> None:
    assert clock_range((125.2, 190)) == "2:05 to 3:10"
    assert clock_range((125.2, 125.4)) == "2:05"


def test_lists() -> None:
    assert joined([]) == ""
    assert joined(["beads"]) == joined(["beads", "beads"]) == "beads"
    assert joined(["a", "b"]) == "a and b"
    assert joined(["a", "b", "c"], "or") == "a, b or c"
