"""Figures as a teacher writes them: what is tapped, counted, printed and spoken agrees."""

import re

import pytest

from tapscore.exports.audio.voice.clean import cleaned
from tapscore.model.lane import Mark
from tapscore.model.metre import Metre
from tapscore.model.words import printed, split_words
from tapscore.words.line import read_line
from tapscore.workflow.fitting import hyphenated, rhythms, spaced

WRITTEN = (
    "in the 1990s we sang",
    "the '90s were loud",
    "it is -5 outside",
    "(-5°C) and snow",
    "3-4 frogs",
    "1-2-3 lift off",
    "10, 9, 8, go",
    "10...9...8 go",
    "10—9—8 go",
    "the 2nd boat",
    "at 3 o'clock we stop",
    "up at 10:30",
    "up at 10.30, and out",
    "up at 10am",
    "up at 10 a.m. again",
    "it costs £2.50!",
    "£2–£3 for a bun",
    "25p please",
    "1/2 a cake",
    "1 1/2 cakes and 2 ½ cups",
    "1½ cakes",
    "¾ of it",
    "No. 3 bus",
    "No.3 bus",
    "Part II begins",
    "King Henry VIII danced",
    "100,000 stars",
    "1.5 spoons",
    "1.5kg of peas",
    "ages 3–4",
    "a 2-year=old",
    "half=past=3",
    "Jack & Jill went up",
    "& off we go",
    "play @home",
    "5 + 3 = 8",
    "5+3 = 8",
    "3×2 steps",
    "24/7 it rains",
    "Q&A with Mr. Fox",
    "3--4",
)


@pytest.mark.parametrize("written", WRITTEN)
def test_what_is_said_has_as_many_cells_as_syllables(written: str) -> None:
    words = hyphenated(spaced(written))
    said = read_line(words)
    first, *_ = rhythms(words, Metre(4, 4))
    marks = [cell.mark for bar in first.all_bars for step in bar for cell in step]
    sounding = [mark for mark in marks if mark in (Mark.SYLLABLE_TAPPED, Mark.TAP_ALONE)]
    assert len(sounding) == len(said)
    assert sounding.count(Mark.SYLLABLE_TAPPED) == len(split_words(words))


@pytest.mark.parametrize("written", WRITTEN)
def test_the_voice_says_what_was_counted(written: str) -> None:
    words = hyphenated(spaced(written))
    counted = "".join(syllable.text for syllable in read_line(words))
    letters = ["".join(filter(str.isalpha, text)).casefold() for text in (counted, cleaned(words))]
    assert letters[0] == letters[1]


@pytest.mark.parametrize("written", WRITTEN)
def test_print_keeps_what_was_written(written: str) -> None:
    shown = re.sub(r"(?<=\S)=(?=\S)", "-", written)
    assert printed(hyphenated(written)) == printed(written) == shown
