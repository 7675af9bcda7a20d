"""Only entries that may be in a text are tried; what is found is what all of them would find."""

from pathlib import Path
from random import Random

import pytest

from tapscore.checks import hazard_words
from tapscore.checks.hazard_words import hazards_in, words_of_hazards

DATA = Path(__file__).parents[2] / "data"


def _all_entries(_: str) -> dict[tuple[str, int], list[str]]:
    return {
        (name, kind): list(lists[kind])
        for name, lists in words_of_hazards().items()
        for kind in range(2)
    }


def _texts() -> list[str]:
    random = Random(4)
    entries = [e for lists in words_of_hazards().values() for kind in lists for e in kind]
    said = [e.replace("*", "ing").replace("~", "big").replace("#", "red") for e in entries]
    words = " ".join(said).split()
    before = ("wooden", "paper", "toy", "no", "without", "picture of", "")
    return [
        " ".join(
            (
                random.choice(before),
                *(random.choice(random.choice((said, words))) for _ in range(random.randint(1, 7))),
            )
        )
        for _ in range(300)
    ]


def test_the_same_is_found_as_with_every_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    texts = _texts()
    found = [hazards_in.__wrapped__(text) for text in texts]
    monkeypatch.setattr(hazard_words, "_near", _all_entries)
    assert found == [hazards_in.__wrapped__(text) for text in texts]
    assert sum(map(bool, found)) > 200


def test_a_hazard_of_several_that_end_in_es() -> None:
    for words, hazard in (("three compasses", "magnet"), ("two eye patches", "face")):
        assert hazard in dict(hazards_in(words))
