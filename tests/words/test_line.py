"""Lines of words as syllables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.words.line import Weight, read_line


def texts(words: str) -> list[str]:
    return [syllable.text for syllable in read_line(words)]


def test_flags_spans_and_words() -> None:
    line = "Row the lan-tern, “row”!"
    said = read_line(line)
    assert [line[s.start : s.end] for s in said] == ["Row", "the", "lan-", "tern", "row"]
    assert [s.word for s in said] == [0, 1, 2, 2, 3]
    assert [s.first for s in said] == [True, True, True, False, True]
    assert [s.last for s in said] == [True, True, False, True, True]


def test_numbers_keep_the_span_of_what_is_written() -> None:
    said = read_line("We saw 12 ducks at 3:30.")
    assert [s.text for s in said] == ["We", "saw", "twelve", "ducks", "at", "three", "thir", "ty"]
    assert {(s.start, s.end) for s in said if s.word == 5} == {(19, 23)}


@pytest.mark.parametrize("words", ["", "   ", "… !? —", "🚣‍♀️🎉", "--", "''", "\n\t"])
def test_lines_without_a_word_have_no_syllables(words: str) -> None:
    assert read_line(words) == ()


def test_curly_and_straight_apostrophes_are_the_same() -> None:
    one, two = read_line("Jack’s ’twas don’t"), read_line("Jack's 'twas don't")
    assert [(s.stress, s.weight) for s in one] == [(s.stress, s.weight) for s in two]


def test_single_quotes_are_not_apostrophes() -> None:
    assert texts("‘Hush,’ he said, ‘the boys’ will hear.’") == texts(
        "Hush he said the boys will hear"
    )
    assert texts("'Come here,' he said") == texts("Come here he said")


def test_capitals_are_read_as_words() -> None:
    said = read_line("CRASH WENT THE WAVE")
    assert [s.weight for s in said] == [Weight.CONTENT, Weight.LIGHT, Weight.CLITIC, Weight.CONTENT]


def test_sounds_and_names() -> None:
    assert texts("Shhh, Mmm! Brr") == ["Shhh", "Mmm", "Brr"]
    assert texts("Łódź a Llanfair") == ["Łódź", "a", "Llan", "fair"]
    assert texts("שלום לכולם") == ["שלום", "לכולם"]


def test_three_hundred_words() -> None:
    said = read_line("row the lantern " * 100)
    assert len(said) == 400
    assert said[-1].word == 299


def test_glossary_reaches_the_line() -> None:
    said = read_line("Higgledy!", {"higgledy": "hig-GLE-dy"})
    assert [s.stress for s in said] == [0, 1, 0]
    assert said[0].source == "glossary"


@given(st.text(max_size=80))
def test_spans_lie_in_order_in_the_line(words: str) -> None:
    last = 0
    for syllable in read_line(words):
        assert 0 <= syllable.start < syllable.end <= len(words)
        assert syllable.start >= last or syllable.end == last
        last = max(last, syllable.start)


@given(st.text(alphabet="Row the-'’“lantern 12:3%!éŁ", max_size=60))
def test_lines_from_a_keyboard(words: str) -> None:
    for syllable in read_line(words):
        assert syllable.text
        assert syllable.stress in (0, 1, 2)


def test_pauses_are_where_the_commas_are() -> None:
    said = read_line("Stomp, stomp on – the wa-ter!")
    assert [s.text for s in said if s.pause] == ["Stomp", "on"]


@pytest.mark.parametrize(
    ("words", "pauses", "stops"),
    [
        ("Mr. Fox is here. Hello!", "here.", "here."),
        ("Yes? No! Come in", "Yes? No!", "Yes? No!"),
        ("One ... two … three", "One two", ""),
        ("Bye, Bear: sit", "Bye, Bear:", ""),
        ("We saw St. Ann. We sang", "Ann.", "Ann."),
    ],
)
def test_what_parts_a_line_and_what_ends_a_sentence(words: str, pauses: str, stops: str) -> None:
    """A full stop behind a shortened title ends nothing; three of them are a pause."""
    said = read_line(words)
    parted = [words[one.start : one.end] for one in said if one.pause]
    assert parted == [word.rstrip(".!?,:") for word in pauses.split()]
    assert [words[one.start : one.end] for one in said if one.stop] == [
        word.rstrip(".!?,:") for word in stops.split()
    ]
