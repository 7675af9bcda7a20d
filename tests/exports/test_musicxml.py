"""MusicXML, read back by music21, the library whose reading is independent of our story."""

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from importlib import import_module
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings

from tapscore.exports import musicxml
from tapscore.exports.musicxml import score_file
from tapscore.model.story import Line, Story
from tapscore.resources import demo_stories
from tapscore.rhythm.bars import Bar
from tapscore.rhythm.notation import score_of, story_bars
from tapscore.rhythm.unroll import unroll
from tapscore.storyfile.read import read_file, read_text
from tests.strategies import NAMES, WORDS, Maker, plain_stories

DATA = Path(__file__).parent.parent / "data"
FILES = (*demo_stories(), *sorted((DATA / "rhymes").glob("*.yaml")))


def _read_back(data: bytes) -> Any:
    return import_module("music21").converter.parse(data, format="musicxml")


def _story(text: str) -> Story:
    story = read_text(text).story
    assert story is not None
    return story


def _small(lines: str, metre: str = "6/8") -> Story:
    body = "".join(f"      {line}\n" for line in lines.split("\n"))
    return _story(
        f"tapscore: 2\ntitle: T\nmetre: {metre}\ntempo: 72\n"
        f"story:\n  - section: One\n    lines:\n{body}"
    )


def _sung(score: Any) -> Iterator[tuple[str, str]]:
    for note in score.recurse().notes:
        for lyric in note.lyrics:
            yield lyric.text, lyric.syllabic


def _wanted(story: Story) -> Iterator[tuple[str, str]]:
    for placed in unroll(story):
        if isinstance(placed.item, Line):
            starts = True
            for syllable in placed.item.syllables:
                kind = (
                    ("single" if syllable.ends_word else "begin")
                    if starts
                    else ("end" if syllable.ends_word else "middle")
                )
                starts = syllable.ends_word
                yield syllable.text, kind


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_words_and_bars_come_back(path: Path) -> None:
    story = read_file(path).story
    assert story is not None
    score = _read_back(score_file(story))
    assert score.metadata.bestTitle == story.title
    assert list(_sung(score)) == list(_wanted(story))
    measures = list(score.parts[0].getElementsByClass("Measure"))
    for measure in measures:
        length = sum((Fraction(e.quarterLength) for e in measure.notesAndRests), start=Fraction(0))
        bar = Fraction(measure.barDuration.quarterLength)
        assert length == bar or (measure.number == 0 and length < bar)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_same_bytes_each_time(path: Path) -> None:
    story = read_file(path).story
    assert story is not None
    first = score_file(story)
    assert first == score_file(story)
    assert not re.search(rb"\d{4}-\d\d-\d\d", first)


def test_the_file_is_partwise_musicxml() -> None:
    """Root element and required children as in the MusicXML 4.0 specification."""
    root = ElementTree.fromstring(score_file(_small('- words: a\n  lane: "| x . . . . . |"')))
    assert root.tag == "score-partwise"
    assert [child.tag for child in root][-2:] == ["part-list", "part"]
    (name,) = root.iter("part-name")
    assert name.text == "Words and taps"
    time = next(root.iter("time"))
    assert [child.text for child in time] == ["6", "8"]


def test_notes_of_a_line_by_hand() -> None:
    score = _read_back(score_file(_small('- words: Row the lan-tern\n  lane: "| X . s T _ x |"')))
    notes = [
        (float(n.offset), float(n.quarterLength), n.notehead, bool(n.articulations))
        for n in score.recurse().notes
    ]
    assert notes == [
        (0.0, 0.5, "normal", True),
        (1.0, 0.5, "x", False),
        (1.5, 1.0, "normal", True),
        (2.5, 0.5, "normal", False),
    ]


def test_tempo_is_of_the_felt_beat() -> None:
    score = _read_back(score_file(_small('- words: a\n  lane: "| x . . . . . |"')))
    (mark,) = score.recurse().getElementsByClass("MetronomeMark")
    assert (mark.number, mark.referent.quarterLength) == (72, 1.5)


def test_pickup_and_last_bar() -> None:
    score = _read_back(
        score_file(
            _small(
                '- words: a-way\n  lane: "x | X . . . . |"\n'
                '- words: we\n  lane: "x | . . . . . . |"'
            )
        )
    )
    measures = list(score.parts[0].getElementsByClass("Measure"))
    lengths = [sum(e.quarterLength for e in m.notesAndRests) for m in measures]
    assert lengths == [0.5, 3.0, 3.0]
    assert measures[0].number == 0


@given(plain_stories)
@settings(max_examples=15)
def test_lyrics_of_any_story(story: Story) -> None:
    score = _read_back(score_file(story))
    said = [text for text, _ in _sung(score)]
    placed = [p.item for p in unroll(story) if isinstance(p.item, Line)]
    assert said == [s.text for line in placed for s in line.syllables]


def test_a_long_story_of_every_metre() -> None:
    story = Maker(7, WORDS).story(NAMES)
    assert score_file(story).count(b"<measure") >= 1


def _all_by_music21(story: Story) -> bytes:
    """Every bar written by music21's own ``parse``, in one go and with its copy."""
    score = score_of(story.title, story_bars(story))
    xml = import_module("music21.musicxml.m21ToXml").GeneralObjectExporter(score).parse()
    xml = re.sub(rb'(?<=id=")([PI])[0-9a-f]{32}(?=")', rb"\g<1>1", xml)
    xml = re.sub(rb'\s*<creator type="composer">[^<]*</creator>', b"", xml)
    return re.sub(rb"\s*<encoding-date>[^<]*</encoding-date>", b"", xml)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_kinds_of_bars_filled_in_are_what_music21_writes_bar_by_bar(file: Path) -> None:
    story = read_file(file).story
    assert story is not None
    assert score_file(story) == _all_by_music21(story)


@given(plain_stories)
@settings(max_examples=25)
def test_any_story_is_written_as_music21_writes_it(story: Story) -> None:
    assert score_file(story) == _all_by_music21(story)


ODD = """\
tapscore: 2
title: "Tip & tap <!--== Measure 1 ==--> \ue0000\ue001"
metre: 6/8
story:
  - section: "A < B & \ue0001\ue001"
    lines:
      - words: "a-way \ue0001\ue001 <b>"
        lane: "x | X x . x . . |"
        warn first: 'say "now" & </part>'
      - {words: "a-way \ue0001\ue001 <b>", lane: "| X x . x . x |"}
      - {words: "5 &amp; 7 single", lane: "| X x . x . x |"}
  - section: "A < B & \ue0001\ue001"
    metre: 2/4
    lines:
      - {words: "go", lane: "| X . . . |"}
      - {words: "go", lane: "| X . . . |"}
      - wait: 9
"""


@pytest.mark.parametrize("bars", [1, 2, 10_000])
def test_words_are_filled_in_as_they_are(bars: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(musicxml, "PIECE_BARS", bars)
    story = _story(ODD)
    made = score_file(story)
    assert made == _all_by_music21(story)
    texts = [text.text for text in ElementTree.fromstring(made).iter("text")]
    assert texts[:4] == ["a", "way", "\ue0001\ue001", "<b>"]


def test_each_kind_of_bar_is_written_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    def counting(title: str, bars: Iterable[Bar]) -> Any:
        given_bars = list(bars)
        asked.append(len(given_bars))
        return score_of(title, given_bars)

    monkeypatch.setattr(musicxml, "score_of", counting)
    lines = "\n".join(f'- {{words: word{n} go, lane: "| X . . x . . |"}}' for n in range(60))
    assert score_file(_small(lines)).count(b"<measure ") == 60
    assert sum(asked) == 2  # with a time signature and marks, and without


def test_a_bar_that_is_not_full_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    line = '- words: a-way\n  lane: "| X . . x . . |"'
    story = _small("\n".join([line] * 5))
    bars = story_bars(story)
    del bars[3].elements[0]
    monkeypatch.setattr(musicxml, "story_bars", lambda _: bars)
    with pytest.raises(ValueError, match=r"bars \(4,\) of the score are not full"):
        score_file(story)


def test_a_story_without_lines_is_a_score_too() -> None:
    assert not list(_read_back(score_file(Story("T"))).recurse().notes)
