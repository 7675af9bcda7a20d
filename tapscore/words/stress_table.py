"""The compact dictionary: syllables and stress of some 117,000 words.

Made from CMUdict by ``tests.training.stress_table``; licence notice in
``resources/words/NOTICE.txt``.  Words lie sorted in one block of bytes, grouped by their
first three letters; each record is the rest of the word, a tab, and one character for
every syllable that packs its length in letters and its stress.  It is not deflated: a megabyte
is read in a tenth of the time that a half of it takes to be made again, at every start.
"""

from functools import cache
from itertools import accumulate, pairwise

from attrs import frozen

from tapscore.resources import resource_path

GROUP = 3
FIRST = 48


@frozen
class StressTable:
    """Groups by first letters, and the bytes that they point into: each before its first record."""

    groups: dict[bytes, tuple[int, int]]
    block: bytes

    def find(self, word: str) -> tuple[tuple[int, int], ...] | None:
        """Letters and stress of every syllable of a word in small letters a-z, or None."""
        try:
            key = word.encode("ascii")
        except UnicodeEncodeError:
            return None
        span = self.groups.get(key[:GROUP])
        if span is None:
            return None
        needle = b"\n" + key[GROUP:] + b"\t"
        at = self.block.find(needle, span[0], span[1] + 1)
        if at < 0:
            return None
        start = at + len(needle)
        codes = self.block[start : self.block.index(b"\n", start)]
        return tuple(divmod(code - FIRST, 3) for code in codes)


def parse_table(data: bytes) -> StressTable:
    """Read a table: a header of groups and sizes, an empty line, the block."""
    end = data.index(b"\n\n")
    fields = data[:end].split()
    edges = accumulate(map(int, fields[1::2]), initial=end + 1)
    return StressTable(dict(zip(fields[::2], pairwise(edges), strict=True)), data)


@cache
def shipped_table() -> StressTable:
    """The table in ``resources/words``, read once."""
    return parse_table(resource_path("words/stress_table.txt").read_bytes())
