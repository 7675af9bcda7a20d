"""Numbers, times, signs and abbreviations as spoken words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.words.spoken import needs_words, spoken_words


# British ways of saying them: common practice, no source.
@pytest.mark.parametrize(
    ("token", "said"),
    [
        ("12", "twelve"),
        ("105", "one hundred and five"),
        ("3rd", "third"),
        ("21st", "twenty first"),
        ("1,000", "one thousand"),
        ("2.5", "two point five"),
        ("3:30", "three thirty"),
        ("4:00", "four o'clock"),
        ("10:05", "ten oh five"),
        ("7:15am", "seven fifteen ay m"),
        ("£5", "five pounds"),
        ("£1", "one pound"),
        ("50%", "fifty per cent"),
        ("007", "oh oh seven"),
        ("1999", "nineteen ninety nine"),
        ("&", "and"),
        ("Mr", "mister"),
        ("Dr", "doctor"),
        ("½", "half"),
        ("٣", "three"),
    ],
)
def test_tokens(token: str, said: str) -> None:
    assert needs_words(token)
    assert " ".join(spoken_words(token)) == said


def test_plain_words_are_themselves() -> None:
    assert not needs_words("lantern")
    assert spoken_words("lantern") == ("lantern",)


def test_emoji_have_no_sound() -> None:
    assert spoken_words("🚣") == ()


@given(st.integers(0, 10**14))
def test_every_number_is_words(number: int) -> None:
    said = spoken_words(str(number))
    assert said
    assert all(word.isalpha() for word in said)


@given(st.text(alphabet="0123456789.,:%£$€°½+&=@-ap", min_size=1, max_size=12))
def test_odd_tokens_never_fail(token: str) -> None:
    assert all(spoken_words(token))
