"""Syllables and stress of single words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.words.lookup import british_exceptions
from tapscore.words.pronounce import pronounce


def shown(word: str, glossary: dict[str, str] | None = None) -> str:
    """Syllables joined by hyphens, the primary stress in capitals."""
    said = pronounce(word, glossary or {})
    return "-".join(
        text.upper() if stress == 1 else text.lower()
        for text, stress in zip(said.syllables, said.stresses, strict=True)
    )


# Word divisions as engravers print them under notes; from memory, common practice.
@pytest.mark.parametrize(
    "expected",
    [
        "BUT-ter-fly",
        "HICK-o-ry",
        "CUP-board",
        "LAN-tern",
        "TUM-bling",
        "ba-NA-na",
        "EL-e-phant",
        "to-GETH-er",
        "KITCH-en",
        "ROCK-et",
        "a-ROUND",
        "SING-ing",
        "RUN-ning",
        "FALL-ing",
        "CAN-dle",
        "QUI-et",
        "SOME-thing",
        "LONE-ly",
        "af-ter-NOON",
        "um-BREL-la",
        "SLIP-per-y",
        "SQUIR-rel",
    ],
)
def test_common_words_are_divided_as_engraved(expected: str) -> None:
    assert shown(expected.replace("-", "").lower()) == expected


# British voices differ here from the American dictionary: common practice, from memory.
@pytest.mark.parametrize(
    "expected",
    [
        "MED-icine",
        "GAR-age",
        "FIE-ry",
        "MAYOR",
        "la-BOR-a-tory",
        "SEC-re-tary",
        "THE-atre",
        "EV-ery",
    ],
)
def test_british_exceptions_go_before_the_dictionary(expected: str) -> None:
    word = expected.replace("-", "").lower()
    count = expected.count("-") + 1
    said = pronounce(word)
    assert said.source == "british"
    assert len(said.syllables) == count


def test_hyphens_cut_and_are_not_kept() -> None:
    said = pronounce("Lan-tern's")
    assert said.syllables == ("Lan", "tern's")
    assert said.source == "written"


def test_doubled_hyphens_cut_and_stay() -> None:
    assert pronounce("merry=go=round").syllables == ("mer", "ry-", "go-", "round")


def test_hyphens_go_before_glossary_and_glossary_before_dictionary() -> None:
    glossary = {"lantern": "lan-TERN"}
    assert pronounce("lantern", glossary).stresses == (0, 1)
    assert pronounce("LANTERN", glossary).syllables == ("LAN", "TERN")
    assert pronounce("lant-ern", glossary).syllables == ("lant", "ern")


def test_a_capital_that_begins_a_name_marks_no_stress() -> None:
    assert pronounce("O'-Bri-en").stresses == pronounce("O'Brien").stresses == (0, 1, 0)
    assert pronounce("A-LI-ah").stresses == (0, 1, 0)


def test_glossary_may_respell() -> None:
    said = pronounce("Siobhan", {"siobhan": "shi-VAWN"})
    assert "".join(said.syllables) == "Siobhan"
    assert said.stresses == (0, 1)


def test_capitals_mark_stress_but_a_shouted_word_does_not() -> None:
    assert pronounce("ba-NA-na").stresses == (0, 1, 0)
    assert pronounce("CAN-DLE").stresses == (1, 0)
    assert pronounce("BUT-ter-FLY").stresses == (1, 0, 2)
    assert pronounce("O-ver").stresses == (1, 0)


@pytest.mark.parametrize("word", ["the", "of", "and", "a", "to", "I'm", "'twas", "The"])
def test_function_words_are_unstressed(word: str) -> None:
    assert pronounce(word).stresses == (0,)


@pytest.mark.parametrize("word", ["Shhh", "Mmm", "Brr", "Pssst", "Zzzz", "SHHH", "cwm", "X"])
def test_a_word_without_vowels_is_one_syllable(word: str) -> None:
    assert pronounce(word).syllables == (word,)


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("Jack's", 1),
        ("fox's", 2),
        ("foxes'", 2),
        ("didn't", 2),
        ("o'clock", 2),
        ("Soooo", 1),
        ("Splaaash", 1),
        ("Wheeee", 1),
        ("TV", 2),
        ("BBC", 3),
        ("higgledy", 3),
        ("wellies", 2),
        ("tickling", 2),
        ("wobbly", 2),
        ("moonboat", 2),
        ("splashes", 2),
        ("unbuttoned", 3),
        ("colour", 2),
        ("favourite", 2),
        ("pyjamas", 3),
        ("hippopotamus", 5),
        ("Łódź", 1),
        ("Llanfair", 2),
        ("café", 2),
        ("привет", 2),
        ("καλημέρα", 4),
        ("你好", 2),
    ],
)
def test_counts(word: str, count: int) -> None:
    said = pronounce(word)
    assert len(said.syllables) == count
    assert "".join(said.syllables) == word


def test_a_script_without_written_vowels_stays_whole_and_says_so() -> None:
    said = pronounce("שלום")
    assert said.syllables == ("שלום",)
    assert said.source == "unread"
    assert pronounce("ша-лом").syllables == ("ша", "лом")


def test_right_to_left_words_can_be_cut_by_hand() -> None:
    assert pronounce("של-ום").syllables == ("של", "ום")


def test_every_british_exception_gives_its_word_back() -> None:
    for word, said in british_exceptions().items():
        if "-" not in word:
            assert said.replace("-", "").lower() == word


@given(st.text(min_size=1, max_size=25).filter(lambda word: not {"-", "="} & set(word)))
def test_syllables_give_the_word_back(word: str) -> None:
    said = pronounce(word)
    assert "".join(said.syllables) == word
    assert len(said.syllables) == len(said.stresses)
    assert all(said.syllables)


@given(st.text(alphabet="abcdeiloprstuy'-=é", min_size=1, max_size=18))
def test_written_hyphens_never_fail(word: str) -> None:
    said = pronounce(word)
    marks = {ord("-"): None, ord("="): None}
    assert "".join(said.syllables).translate(marks) == word.translate(marks)
    assert all(stress in (0, 1, 2) for stress in said.stresses)
