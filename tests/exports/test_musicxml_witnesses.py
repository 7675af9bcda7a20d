"""MusicXML by its published schema, and by a reader that shares nothing with its writer.

The schema is W3C's MusicXML 4.0, as the package ``musicxml`` carries it; what it takes in of XML
and XLink are some attributes, stated here.  The reader is partitura, a library for research into
music.
"""

import importlib.util
import re
import warnings
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from lxml import etree  # type: ignore[import-untyped]

from tapscore.exports.musicxml import score_file
from tapscore.model.story import Story
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file
from tests.strategies import plain_stories

DATA = Path(__file__).parent.parent / "data"
FILES = (*demo_stories(), *sorted((DATA / "rhymes").glob("*.yaml")))
_TAKEN_IN = {
    "xml": (
        "http://www.w3.org/XML/1998/namespace",
        {"lang": "xs:language", "space": "xs:NCName"},
    ),
    "xlink": (
        "http://www.w3.org/1999/xlink",
        {
            **{"href": "xs:anyURI", "type": "xs:string", "role": "xs:token"},
            **{"title": "xs:token", "show": "xs:token", "actuate": "xs:token"},
        },
    ),
}


@pytest.fixture(scope="module")
def schema(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """The published schema, with what it takes in beside it instead of on the network."""
    folder = tmp_path_factory.mktemp("schema")
    for name, (space, attributes) in _TAKEN_IN.items():
        lines = "".join(f'<xs:attribute name="{a}" type="{t}"/>' for a, t in attributes.items())
        (folder / f"{name}.xsd").write_text(
            f'<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{space}">'
            f"{lines}</xs:schema>"
        )
    found = importlib.util.find_spec("musicxml")
    assert found is not None
    assert found.submodule_search_locations
    published = Path(found.submodule_search_locations[0]) / "generate_classes/musicxml_4_0.xsd"
    text = re.sub(
        r'"http://www.musicxml.org/xsd/(\w+\.xsd)"', r'"\1"', published.read_text("utf-8")
    )
    (folder / "musicxml.xsd").write_text(text, encoding="utf-8")
    return etree.XMLSchema(etree.parse(str(folder / "musicxml.xsd")))


def _story(path: Path) -> Story:
    story = read_file(path).story
    assert story is not None
    return story


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_schema_allows_it(path: Path, schema: Any) -> None:
    schema.assertValid(etree.fromstring(score_file(_story(path))))


@settings(max_examples=15)
@given(story=plain_stories)
def test_the_schema_allows_any_story(story: Story, schema: Any) -> None:
    schema.assertValid(etree.fromstring(score_file(story)))


def test_the_schema_is_no_rubber_stamp(schema: Any) -> None:
    text = (
        score_file(_story(FILES[0]))
        .replace(b"<beats>", b"<beets>")
        .replace(b"</beats>", b"</beets>")
    )
    assert not schema.validate(etree.fromstring(text))


@cache
def _partitura() -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a library of its own uses a module that is going
        return import_module("partitura")


def _read(story: Story, folder: Path) -> Any:
    path = folder / "score.musicxml"
    path.write_bytes(score_file(story))
    reader = _partitura()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of words over the bars, which it does not know
        return reader.load_musicxml(str(path))[0]


def _tapped(part: Any) -> Iterator[Any]:
    """Notes that are tapped; those with a cross are only said."""
    kind = _partitura().score.UnpitchedNote
    return (note for note in part.iter_all(kind) if note.notehead != "x")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_another_reader_finds_every_tap_where_it_is_performed(path: Path, tmp_path: Path) -> None:
    story = _story(path)
    part = _read(story, tmp_path)
    performance = perform(story)
    taps = {(tap.segment, tap.event): tap.onset_beats for tap in performance.taps}
    wanted = sorted(taps.items())
    quarters = [Fraction(float(part.quarter_map(note.start.t))) for note in _tapped(part)]
    assert len(quarters) == len(wanted)
    for (one, two), (here, there) in zip(pairwise(wanted), pairwise(quarters), strict=True):
        if one[0][0] == two[0][0]:  # between lines there are waits, which are words in a score
            metre = performance.segments[one[0][0]].manner.metre
            beat = Fraction(3, 2) if metre.compound else Fraction(4, metre.unit)
            assert float((two[1] - one[1]) * beat) == pytest.approx(float(there - here), abs=1e-6)
