"""What a voice is given to say."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.audio.voice.clean import cleaned


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Out on the wa-ter the lit-tle boat lay,", "Out on the water the little boat lay,"),
        ("mer-ry=go=round", "merry go round"),
        ("ev-\u2019ry-one, 3 times!", "ev'ryone, three times!"),
        ("Mr Bell & 12 bells", "mister Bell and twelve bells"),
        ("Mr. Fox, St. Ann. And", "mister Fox, saint Ann. And"),
        ("foxes etc, and hens", "foxes etcetera, and hens"),
        ("in the 1990s, No. 3-4: -5.", "in the nineteen nineties, number three four: minus five."),
        ("2-year=old", "two year old"),
        ("at 5°, (x+) 4%!", "at five degrees, x plus four per cent!"),
        ("\u201cready?\u201d", "ready?"),
        ("the 3rd [[boom]] <b>drum</b>", "the third boom b drum b"),
        ("\u2014 ! \U0001f642", ""),
        ("", ""),
    ],
)
def test_marks_go_and_numbers_are_words(written: str, said: str) -> None:
    assert cleaned(written) == said


@given(st.text(max_size=60))
def test_nothing_is_left_that_could_command_the_program(written: str) -> None:
    said = cleaned(written)
    assert not set(said) & set("[]<>|\\/&*_=\n\r\0-")
    assert said == " ".join(said.split())
    assert not said or any(letter.isalnum() for letter in said)
