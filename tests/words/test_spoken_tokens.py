"""Figures, times, money and signs as they are said, at the edges of each rule."""

import pytest

from tapscore.words.line import read_line, written_out
from tapscore.words.spoken import needs_words, spoken_words

SAID = {
    "0": "zero",
    "21": "twenty one",
    "101": "one hundred and one",
    "1099": "one thousand and ninety nine",
    "1100": "eleven hundred",
    "1105": "eleven oh five",
    "1,105": "one thousand one hundred and five",
    "1999.5": "one thousand nine hundred and ninety nine point five",
    "2009": "two thousand and nine",
    "2099": "twenty ninety nine",
    "2100": "two thousand one hundred",
    "10,000": "ten thousand",
    "123456789012": "one hundred and twenty three billion four hundred and fifty six million seven "
    "hundred and eighty nine thousand and twelve",
    "1234567890123": "one two three four five six seven eight nine oh one two three",
    "05": "oh five",
    "0.5": "zero point five",
    "2.50": "two point five oh",
    "1st": "first",
    "20TH": "twentieth",
    "4th.": "fourth",
    "3:30": "three thirty",
    "3:05": "three oh five",
    "12:00": "twelve o'clock",
    "24:59": "twenty four fifty nine",
    "25:00": "two five oh oh",
    "3:60": "three six oh",
    "3.30": "three point three oh",
    "3.30pm": "three thirty p m",
    "7:15AM": "seven fifteen ay m",
    "7:00pm": "seven p m",
    "£1": "one pound",
    "£2": "two pounds",
    "£1.50": "one pound fifty",
    "£2.05": "two pounds oh five",
    "£1.00": "one pound",
    "£0.50": "fifty pence",
    "$3": "three dollars",
    "$0.20": "twenty cents",
    "€1": "one euro",
    "£x": "x",
    "£": "",
    "50%": "fifty per cent",
    "20°": "twenty degrees",
    "5+3": "five plus three",
    "a&b": "a and b",
    "x=y": "x equals y",
    "@home": "at home",
    "½": "half",
    "2½": "two and a half",
    "2x": "two x",
    "3D": "three D",
    "B2": "B two",
    "10cm": "ten centimetres",
    "5kg": "five kilograms",
    "1/2": "half",
    "1/4": "a quarter",
    "3/4": "three quarters",
    "2/3": "two thirds",
    "1⅓": "one and a third",
    "4/4": "four four",
    "24/7": "twenty four seven",
    "1/7": "one seven",
    "1990s": "nineteen nineties",
    "1990’s": "nineteen nineties",
    "1800s": "eighteen hundreds",
    "2000s": "two thousands",
    "90s": "nineties",
    "100s": "hundreds",
    "3s": "three s",
    "10am": "ten ay m",
    "10pm": "ten p m",
    "-5": "minus five",
    "\u22125°": "minus five degrees",
    "-£2": "minus two pounds",
    "3–4": "three to four",
    "£2–£3": "two pounds to three pounds",
    "1990–91": "nineteen ninety to ninety one",
    "£0.05": "five pence",
    "II": "two",
    "IX": "nine",
    "XXXIX": "thirty nine",
    "ETC": "etcetera",
    "St": "saint",
    "٤٢": "forty two",
    "²": "two",
}


@pytest.mark.parametrize("token", SAID)
def test_what_is_said(token: str) -> None:
    assert needs_words(token)
    assert " ".join(spoken_words(token)) == SAID[token]


@pytest.mark.parametrize("token", ["lantern", "o'clock", "stand", "smr", "lan-tern", "don’t"])
def test_what_is_plain(token: str) -> None:
    assert not needs_words(token)


def test_figures_have_one_place_in_the_line() -> None:
    words = "Hop 2½ times, 10cm up."
    said = read_line(words)
    assert [syllable.text for syllable in said] == [
        *("Hop", "two", "and", "a", "half", "times", "ten", "cen", "ti", "me", "tres", "up"),
    ]
    assert {words[s.start : s.end] for s in said if s.word == 1} == {"2½"}
    assert {words[s.start : s.end] for s in said if s.word == 3} == {"10cm"}
    assert [s.text for s in said if s.pause] == ["times"]


@pytest.mark.parametrize("kisses", ["X", "XX", "XXX", "I", "MIX", "IIII", "ix", "VV"])
def test_what_is_no_roman_number(kisses: str) -> None:
    assert not needs_words(kisses)
    assert spoken_words(kisses) == (kisses,)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("No. 3 is here", "number three is here"),
        ("bus no.3", "bus number three"),
        ("Nos. 3, 4", "numbers three, four"),
        ("No 3 bears", "No three bears"),
        ("Oh no. 3 have gone", "Oh no. three have gone"),
        ("No. Three", "No. Three"),
        ("We go at 10.30.", "We go at ten thirty."),
        ("10.30 at", "ten point three oh at"),
        ("at 10.75", "at ten point seven five"),
        ("Hen-ry VIII", "Hen-ry the eighth"),
        ("Henry, VIII", "Henry, eight"),
        ("Part II: Mr. Fox", "Part two: mister Fox"),
        ("5°C&up", "five degrees C and up"),
        ("1 1/2 cups, 2 ½ pots", "one and a half cups, two and a half pots"),
        ("3 2/3 of 1/3", "three and two thirds of a third"),
        ("it is -5", "it is minus five"),
        ("ten -4", "ten minus four"),
        ("ten-4", "ten-four"),
        ("1-2-3", "one-two-three"),
        ("10\u20139\u20138", "ten nine eight"),
    ],
)
def test_beside_other_words(written: str, said: str) -> None:
    assert written_out(written) == said
