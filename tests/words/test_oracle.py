"""espeak-ng's British voice as an independent judge of syllable counts and stress."""

import re
import shutil
import subprocess

import pytest

from tapscore.words.pronounce import pronounce
from tapscore.words.weak_words import weak_words
from tests.words.rhymes import UNSEEN, read_rhymes

_NUCLEUS = re.compile(
    "[aeiouɐɑɒɔəɛɜɪʊʌæᵻ]ː?(?:ɪ|ʊ|ə)?|n̩|l̩|əl"  # vowels, long ones and diphthongs
)

pytestmark = pytest.mark.skipif(
    shutil.which("espeak-ng") is None, reason="espeak-ng is not installed"
)


def spoken(words: list[str]) -> list[str]:
    """IPA of words as the British voice says them, one at a time."""
    result = subprocess.run(
        ["espeak-ng", "-q", "--ipa", "-v", "en-gb"],
        input="\n\n".join(words),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return [line.strip() for line in result.stdout.splitlines() if line.strip()]


def shape(ipa: str) -> tuple[int, int]:
    """Syllables, and which of them follows the primary stress mark."""
    places = [match.start() for match in _NUCLEUS.finditer(ipa.replace("iə", "i.ə"))]
    mark = ipa.find("ˈ")
    stressed = next((at for at, place in enumerate(places) if place > mark), 0)
    return len(places), stressed


def test_counts_and_stress_agree_with_the_british_voice() -> None:
    """Words of the rhymes; language notes: the voice itself is .949 right on counts."""
    rhymes = (*read_rhymes(), *read_rhymes(UNSEEN))
    text = " ".join(line.words for rhyme in rhymes for line in rhyme.lines).lower()
    words = sorted({word for word in re.findall(r"[a-z]+", text) if word not in weak_words()})
    voices = spoken(words)
    assert len(voices) == len(words) > 300
    counts = stresses = several = 0
    for word, ipa in zip(words, voices, strict=True):
        said = pronounce(word)
        count, stressed = shape(ipa)
        counts += count == len(said.syllables)
        if count == len(said.syllables) > 1:
            several += 1
            stresses += said.stresses.index(1) == stressed
    assert counts / len(words) > 0.97
    assert stresses / several > 0.97
