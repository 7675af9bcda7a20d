"""Syllables as the teacher divides them; the ways of writing are our own."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.words import printed, printed_words, split_words
from tests.strategies import texts


def _said(written: str) -> list[str]:
    return [syllable.text for syllable in split_words(written)]


@pytest.mark.parametrize(
    ("written", "said", "print_as"),
    [
        ("Row the lan-tern", ["Row", "the", "lan", "tern"], "Row the lantern"),
        ("merry=go=round", ["merry-", "go-", "round"], "merry-go-round"),
        ("ev-’ry-one.", ["ev", "’ry", "one."], "ev’ryone."),
        ("oh – my!", ["oh –", "my!"], "oh – my!"),
        ("– oh", ["oh"], "– oh"),
        ("“Splash!”", ["“Splash!”"], "“Splash!”"),
        ("-a-way-", ["a", "way"], "-away-"),
        ("one=, =two", ["one=,", "two"], "one=, =two"),
        ("wait--what", ["wait--", "what"], "wait--what"),
        ("two=-three", ["two-", "three"], "two-three"),
        ("1 + 1 = 2", ["1 +", "1 =", "2"], "1 + 1 = 2"),
        ("1-2-3 lift", ["1-", "2-", "3", "lift"], "1-2-3 lift"),
        ("12th-cen-tu-ry", ["12th-", "cen", "tu", "ry"], "12th-century"),
        ("half-past-3", ["half", "past-", "3"], "halfpast-3"),
        ("is -5, (-£2)", ["is", "-5,", "(-£2)"], "is -5, (-£2)"),
        ("(-a-way 3-", ["(a", "way", "3"], "(away 3-"),
        ("🙂 hi", ["hi"], "🙂 hi"),
        ("磨坊", ["磨坊"], "磨坊"),
        ("", [], ""),
        ("– … –", [], "– … –"),
    ],
)
def test_by_hand(written: str, said: list[str], print_as: str) -> None:
    assert _said(written) == said
    assert printed(written) == print_as


@given(texts)
def test_each_syllable_stands_in_the_written_line(written: str) -> None:
    for syllable in split_words(written):
        first = syllable.text.split(" ")[0]
        assert written[syllable.start :].replace("-", "").startswith(first.replace("-", "")[:1])
        assert any(character.isalnum() for character in syllable.text)


@given(texts)
def test_words_gather_their_syllables(written: str) -> None:
    syllables = split_words(written)
    words = printed_words(syllables)
    assert tuple(s for word in words for s in word) == syllables
    assert all(word[-1].ends_word for word in words)
    assert all(not s.ends_word for word in words for s in word[:-1])
    said = [part for part in written.split() if any(c.isalnum() for c in part)]
    assert len(words) == len(said)


@given(st.lists(st.text("abcdé", min_size=1), min_size=1, max_size=5))
def test_hyphens_divide(parts: list[str]) -> None:
    assert _said("-".join(parts)) == parts
    assert printed("-".join(parts)) == "".join(parts)


def test_where_each_syllable_begins_in_what_was_typed() -> None:
    typed = "“Row the lan-tern”, (all) merry=go"
    found = split_words(typed)
    assert [(typed[each.start :][:3], each.word) for each in found] == [
        *(("“Ro", 0), ("the", 1), ("lan", 2), ("ter", 2), ("(al", 3), ("mer", 4), ("go", 4)),
    ]
