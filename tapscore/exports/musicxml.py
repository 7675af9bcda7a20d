"""The rhythm in musical notation, for those who read it: MusicXML by music21."""

import re
from importlib import import_module

from tapscore.model.story import Story
from tapscore.rhythm.notation import bars_not_full, score_pieces

PIECE_BARS = 24
"""So many bars are given to music21 at a time."""
_FIRST_BAR = re.compile(rb"    <!--=+ Measure ")
_ATTRIBUTES = re.compile(rb" *<attributes>.*?</attributes>\n", re.DOTALL)
"""What stands in the first bar of a piece, and in a whole score only where it changes."""
_DIVISIONS = re.compile(rb" *<divisions>\d+</divisions>\n")
_LEFT_OUT = re.compile(
    rb"\s*<encoding-date>[^<]*</encoding-date>|\s*<creator type=\"composer\">[^<]*</creator>"
)
_RANDOM_ID = re.compile(rb'(id=")([PI])[0-9a-f]{32}(?=")')


def score_file(story: Story) -> bytes:
    """The story as MusicXML (partwise), the same bytes each time.

    Raises ValueError if a bar is not full: music21 would pad it without a word.
    """
    exporter = import_module("music21.musicxml.m21ToXml").GeneralObjectExporter
    written: list[bytes] = []
    for piece in score_pieces(story, PIECE_BARS):
        wrong = bars_not_full(piece.score)
        if wrong:
            raise ValueError(f"bars {wrong} of the score are not full")
        # what its ``parse`` does but for the copy, with rests in bars that are full already
        whole = exporter(piece.score)
        made: bytes = whole.parseWellformedObject(whole.fromScore(piece.score))
        xml = _RANDOM_ID.sub(rb"\1\g<2>1", made)
        if written:
            xml = xml[_FIRST_BAR.search(xml).start() :]  # type: ignore[union-attr]
            xml = (_ATTRIBUTES if piece.borrowed_metre else _DIVISIONS).sub(b"", xml, count=1)
            written[-1] = written[-1][: written[-1].rindex(b"  </part>")]
        written.append(xml)
    return _LEFT_OUT.sub(b"", b"".join(written))
