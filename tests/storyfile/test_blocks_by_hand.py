"""Where things stand in a text: lines, columns, blocks, and what a thing's origin points to."""

from fractions import Fraction

import pytest
from attrs import evolve

from tapscore.model.finding import Finding, Severity, Span, StoryPath
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Story
from tapscore.model.tempo import Tempo
from tapscore.storyfile.blocks import Blocks
from tapscore.storyfile.nodes import Mapping, Scalar, Sequence, innermost, locate, parse_yaml
from tapscore.storyfile.origins import Source, block_origin
from tapscore.storyfile.places import Places
from tapscore.storyfile.read import read_text
from tapscore.storyfile.story_findings import located, story_findings

TEXT = "\na: b\r\n\n  c: d # e\n# f\ng: [h,  i]"


@pytest.mark.parametrize(
    ("at", "start", "end", "following", "column"),
    [
        (0, 0, 0, 1, 0),
        (1, 1, 5, 7, 0),
        (4, 1, 5, 7, 3),
        (7, 7, 7, 8, 0),
        (10, 8, 18, 19, 2),
        (18, 8, 18, 19, 10),
        (24, 23, 33, 33, 1),
        (33, 23, 33, 33, 10),
    ],
)
def test_lines_and_columns(at: int, start: int, end: int, following: int, column: int) -> None:
    blocks = Blocks(TEXT)
    assert (blocks.line_start(at), blocks.line_end(at)) == (start, end)
    assert (blocks.next_line(at), blocks.column(at)) == (following, column)


def test_columns_after_rarer_line_ends_are_those_of_yaml() -> None:
    assert Blocks("ab\u2028cd").column(4) == 1
    assert Blocks("ab\x85cd\u2029e").column(6) == 0


def test_places_count_from_one() -> None:
    places = Places("ab\r\nc\rd\n")
    spans = [(places.span(at, at + 1).line, places.span(at, at + 1).column) for at in range(9)]
    assert spans == [(1, 1), (1, 2), (1, 3), (1, 4), (2, 1), (2, 2), (3, 1), (3, 2), (4, 1)]
    assert [places.line(number) for number in range(6)] == ["", "ab", "c", "d", "", ""]


# A list's items and a mapping's entries: text, where the first line begins, the next line, alone
BLOCKS = """\
# above
- a  # beside

# b's
# own
- b:
    c
# below

- [d]
"""


def test_blocks_take_their_comments_along() -> None:
    root = parse_yaml(f"x:\n{BLOCKS}").root
    assert root is not None
    node = root.get("x")
    assert isinstance(node, Sequence)
    text = f"x:\n{BLOCKS}"
    found = Blocks(text).of(node)
    assert [text[b.start : b.end] for b in found] == ["- a", "- b:\n    c", "- [d]"]
    assert [text[b.first_line : b.next_line] for b in found] == [
        "# above\n- a  # beside\n",
        "# b's\n# own\n- b:\n    c\n",
        "- [d]\n",
    ]
    assert all(block.own_lines for block in found)
    flow = parse_yaml("x: [a,  {b: , c}]\ny: {}").root
    assert flow is not None
    text = "x: [a,  {b: , c}]\ny: {}"
    inner = flow.get("x")
    assert isinstance(inner, Sequence)
    items = Blocks(text).of(inner)
    assert [(text[b.start : b.end], b.own_lines) for b in items] == [
        ("a", False),
        ("{b: , c}", False),
    ]
    assert isinstance(inner.items[1], Mapping)
    entries = Blocks(text).of(inner.items[1])
    assert [text[b.start : b.end] for b in entries] == ["b: ", "c"]


def test_the_innermost_node_and_its_path() -> None:
    root = parse_yaml("a:\n  - b: c\n    d: [e, f]\ng: h\n").root
    assert root is not None
    for at, path, value in (
        (0, ("a",), None),
        (5, ("a",), None),
        (7, ("a", 0, "b"), "c"),
        (10, ("a", 0, "b"), "c"),
        (20, ("a", 0, "d", 0), "e"),
        (23, ("a", 0, "d", 1), "f"),
        (26, ("g",), "h"),
        (40, (), None),
    ):
        found, node = innermost(root, at)
        assert found == path, at
        assert getattr(node, "value", None) == value
    assert isinstance(root.get("g"), Scalar)
    places: tuple[tuple[StoryPath, int, int], ...] = (
        ((), 1, 1),
        (("a", 0), 2, 5),
        (("a", 0, "d"), 3, 5),
        (("a", 0, "d", 1), 3, 12),
        (("a", 0, "d", 2), 3, 5),  # nothing there: what it would stand in
        (("a", 7), 1, 1),
        (("z",), 1, 1),
        (("g", "x"), 4, 1),
    )
    for where, line, column in places:
        span = locate(root, where)
        assert span is not None
        assert (span.line, span.column) == (line, column), where
    assert locate(None, ("a",)) is None


STORY = """\
tapscore: 2
title: T
tempo: 54
board:
  size_cm: [120, 90]
  spots: {middle: [60, 45], edge: [60, 5]}
  seats: {north: [60, 90]}
  places: {A: {at: [30, 30]}}
roles: {leader: {seat: north}, helper: {}}
props:
  spoon: {what: a spoon}
refrains:
  again:
    - words: one
      do: nod
story:
  - section: S
    lines:
      - words: two
        spot: middle
      - wait: 5
"""
# In the order that findings come in, with their places: by hand from the text above.
PLACES: tuple[tuple[StoryPath, tuple[int, int]], ...] = (
    ((), (1, 1)),
    (("title",), (2, 1)),
    (("tempo",), (3, 1)),
    (("board",), (4, 1)),
    (("board", "spots", "edge"), (6, 29)),
    (("board", "seats", "north"), (7, 11)),
    (("board", "places", "A", "at"), (8, 16)),
    (("roles", "leader", "seat"), (9, 18)),
    (("roles", "helper"), (9, 32)),
    (("props", "spoon", "what"), (11, 11)),
    (("refrains", "again", 0, "words"), (14, 7)),
    (("refrains", "again", 0, "do"), (15, 7)),
    (("story", 0, "section"), (17, 5)),
    (("story", 0, "lines", 0, "words"), (19, 9)),
    (("story", 0, "lines", 0, "spot"), (20, 9)),
    (("story", 0, "lines", 1), (21, 9)),
)


@pytest.mark.parametrize("turned", [1, -1])
def test_findings_come_in_the_story_s_order_with_their_places(turned: int) -> None:
    story = read_text(STORY).story
    assert story is not None
    given = tuple(Finding("some", Severity.ADVICE, path) for path, _ in (*PLACES[5:], *PLACES[:5]))[
        ::turned
    ]
    found = located(story, given)
    assert [each.path for each in found] == [path for path, _ in PLACES]
    assert [(f.span.line, f.span.column) for f in found if f.span] == [at for _, at in PLACES]
    kept = Finding("some", Severity.ADVICE, ("title",), Span(9, 9, 0, 0))
    assert located(story, (kept,))[0].span == kept.span


def test_a_thing_s_own_place_is_its_name_or_its_dash() -> None:
    story = read_text(STORY).story
    assert story is not None
    for thing, path, place in (
        (story.roles[1], (), (9, 32)),
        (story.roles[0], ("seat",), (9, 18)),
        (story.props[0], (), (11, 3)),
        (story.sections[0], (), (17, 5)),
        (story.sections[0].items[1], (), (21, 9)),
        (story.sections[0].items[0], ("spot",), (20, 9)),
        (story, (), (1, 1)),
    ):
        origin = block_origin(thing)
        assert origin is not None
        span = origin.locate(path)
        assert span is not None
        assert (span.line, span.column) == place, thing
    assert block_origin("no thing") is None


def test_comments_between_two_places() -> None:
    text = "a: 'x # no' # one\n# two\nb: c#no # three\n"
    root = parse_yaml(text).root
    assert root is not None
    source = Source(text, root)
    assert [comment for _, comment in source.comments] == ["# one", "# two", "# three"]
    assert source.comments_in(0, 13) == ("# one",)
    assert source.comments_in(0, 12) == ()
    assert source.comments_in(13, len(text)) == ("# two", "# three")
    assert (source.newline, Source(text.replace("\n", "\r\n"), root).newline) == ("\n", "\r\n")


def test_a_block_ends_behind_what_was_left_out_of_it() -> None:
    text = "x:\n  a: b\n  a: ccc  # twice\n\nz: {a: b, a: ccc}\ny: 1\n"
    root = parse_yaml(text).root
    assert root is not None
    ends = [text[block.start : block.end] for block in Blocks(text).of(root)]
    assert ends == ["x:\n  a: b\n  a: ccc", "z: {a: b, a: ccc}", "y: 1"]


WRONG = """\
tapscore: 2
title: T
tempo: fast
board: {size_cm: [120, 90], gap_mm: wide, spots: {middle: [60]}}
props: {spoon: {sets: many}}
story:
  - section: S
    stroke: tickle
    lines:
      - {words: two, loudness: booming}
"""


def _codes(story: Story) -> list[StoryPath]:
    return [found.path for found in story_findings(story)]


def test_what_was_found_stays_until_it_is_written_over() -> None:
    story = read_text(WRONG).story
    assert story is not None
    assert story.board is not None
    tempo: StoryPath = ("tempo",)
    gap: StoryPath = ("board", "gap_mm")
    spot: StoryPath = ("board", "spots", "middle")
    sets: StoryPath = ("props", "spoon", "sets")
    stroke: StoryPath = ("story", 0, "stroke")
    loudness: StoryPath = ("story", 0, "lines", 0, "loudness")
    every = [tempo, gap, spot, sets, stroke, loudness]
    assert sorted(map(str, _codes(story))) == sorted(map(str, every))
    section, *_ = story.sections
    line = section.items[0]
    assert isinstance(line, Line)
    steady = evolve(line.manner, loudness=(Loudness.QUIET,))
    for changed, gone in (
        (evolve(story, title="U"), None),
        (evolve(story, manner=evolve(story.manner, tempo=Tempo(Fraction(60)))), tempo),
        (evolve(story, board=evolve(story.board, gap_mm=Fraction(20))), gap),
        (evolve(story, board=evolve(story.board, depth_mm=Fraction(800))), None),
        (evolve(story, props=(evolve(story.props[0], sets=2),)), sets),
        (
            evolve(story, sections=(evolve(section, items=(evolve(line, manner=steady),)),)),
            loudness,
        ),
    ):
        left = [path for path in every if path != gone]
        assert sorted(map(str, _codes(changed))) == sorted(map(str, left)), gone


def test_a_node_knows_lines_and_columns_and_shares_its_text() -> None:
    root = parse_yaml("a:\r\n  - {words: Splash}\n  - words: Splash\n").root
    assert root is not None
    items = root.get("a")
    assert isinstance(items, Sequence)
    first, second = items.items
    assert isinstance(first, Mapping)
    assert isinstance(second, Mapping)
    assert (second.span.line, second.span.column) == (3, 5)
    assert (first.span.start, first.span.end) == (8, 23)
    said = [each.entries[0].value for each in (first, second)]
    assert [(each.span.line, each.span.column) for each in said] == [(2, 13), (3, 12)]
    assert all(isinstance(each, Scalar) for each in said)
    assert first.entries[0].key.value is second.entries[0].key.value
