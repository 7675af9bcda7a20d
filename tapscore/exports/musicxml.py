"""The rhythm in musical notation, for those who read it: MusicXML by music21."""

import re
from importlib import import_module

from tapscore.model.story import Story
from tapscore.rhythm.notation import bars_not_full, story_score

_LEFT_OUT = re.compile(
    rb"\s*<encoding-date>[^<]*</encoding-date>|\s*<creator type=\"composer\">[^<]*</creator>"
)
_RANDOM_ID = re.compile(rb'(id=")([PI])[0-9a-f]{32}(?=")')


def score_file(story: Story) -> bytes:
    """The story as MusicXML (partwise), the same bytes each time.

    Raises ValueError if a bar is not full: music21 would pad it without a word.
    """
    score = story_score(story)
    wrong = bars_not_full(score)
    if wrong:
        raise ValueError(f"bars {wrong} of the score are not full")
    exporter = import_module("music21.musicxml.m21ToXml").GeneralObjectExporter(score)
    written: bytes = exporter.parse()
    return _RANDOM_ID.sub(rb"\1\g<2>1", _LEFT_OUT.sub(b"", written))
