"""What each key takes and refuses at its very limits, worked by hand from the page on stories."""

from fractions import Fraction
from typing import Any

import pytest

from tapscore.model.board import Point
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Story
from tapscore.storyfile.languages import is_language
from tapscore.storyfile.near import did_you_mean, listed, nearest
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story

HEAD = "tapscore: 2\ntitle: T\n"
EMPTY = "story: []\n"


def _of(attribute: str, thing: Any) -> Any:
    for name in attribute.split("."):
        thing = thing[int(name)] if name.isdecimal() else getattr(thing, name)
    return thing


def _read(text: str) -> Story:
    read = read_text(text)
    assert read.findings == (), text
    assert read.story is not None
    return read.story


LINES = "story:\n  - section: S\n    lines:\n      - {}\n"
IN_BOARD = {
    "gap_mm": ("board.gap_mm", ("0", "500", "12.5"), ("-1", "501", "500.1", "a", "1e2")),
    "oldest pupil": ("board.oldest_years", ("3", "7"), ("2", "8", "4.5", "+5")),
    "sheet.thickness_mm": ("board.sheet.thickness_mm", ("0.5", "30"), ("0.4", "30.1")),
    "sheet.plies": ("board.sheet.plies", ("1", "25"), ("0", "26")),
    "sheet.mass_kg": ("board.sheet.mass_kg", ("0.1", "200"), ("0.09", "201")),
    "sheet.stiffness_long_nm": (
        *("board.sheet.stiffness_long_nm", ("0.01", "100000")),
        ("0.009", "100000.1", "0.0100001"),
    ),
    "sheet.stiffness_short_nm": ("board.sheet.stiffness_short_nm", ("0.01",), ("0.009",)),
}
IN_STORY = {
    "pupils": ("pupils", ("1", "30"), ("0", "31", "1.0", "٣", "0000000001", "six")),
    "tempo": ("manner.tempo.start", ("20", "300", "54.5"), ("19", "301", "19.9", "fast")),
    "comfort.largest jump": ("comfort.largest_jump", ("1", "4"), ("0", "5")),
    "comfort.least wait": ("comfort.least_wait_sec", ("1", "600", "7.5"), ("0", "0.9", "601")),
    "props.spoon.sets": ("props.0.sets", ("1", "30"), ("0", "31")),
}


def _nested(key: str, value: str) -> str:
    *above, last = key.split(".")
    return "".join(f"{each}: {{" for each in above) + f"{last}: {value}" + "}" * len(above)


@pytest.mark.parametrize("key", [*IN_BOARD, *IN_STORY])
def test_numbers_at_their_limits(key: str) -> None:
    attribute, taken, refused = {**IN_BOARD, **IN_STORY}[key]
    in_board = "board: {size_cm: [120, 90], VALUE}\n"
    frame = HEAD + (in_board if key in IN_BOARD else "VALUE\n") + EMPTY
    for value in taken:
        story = _read(frame.replace("VALUE", _nested(key, value)))
        assert _of(attribute, story) == Fraction(value)
        assert _of(attribute, _read(write_story(story))) == Fraction(value)
    for value in refused:
        text = frame.replace("VALUE", _nested(key, value))
        (found,) = read_text(text).findings
        assert (found.code, found.path[-1]) == ("wrong-value", key.rsplit(".", 1)[-1])
        assert found.span is not None
        assert text[found.span.start : found.span.end] == value
        assert (found.span.line, found.span.column) == (3, found.span.start - len(HEAD) + 1)


@pytest.mark.parametrize(
    ("line", "refused"),
    [("wait: VALUE", ("0", "0.5", "601")), ("{offer: spoon, turn: VALUE}", ("0", "601"))],
)
def test_seconds_at_their_limits(line: str, refused: tuple[str, ...]) -> None:
    frame = HEAD + "props: {spoon: }\n" + LINES.format(line)
    for value in ("1", "600", "2.5"):
        (item,) = _read(frame.replace("VALUE", value)).sections[0].items
        assert getattr(item, "least_sec", getattr(item, "turn_sec", None)) == Fraction(value)
    for value in refused:
        found = read_text(frame.replace("VALUE", value)).findings
        assert [f.code for f in found] == ["wrong-value"]


def test_points_in_centimetres_are_millimetres_within() -> None:
    story = _read(
        f"{HEAD}board:\n  size_cm: [10, 500]\n  spots: {{m: [0, 12.5]}}\n  way out: [500, 0]\n"
        "  seats: {n: [3, 4]}\n  sides: {north: door, east: sink, south: window, west: wall}\n"
        "  strips: {north: elastic, west: free}\n  places:\n    A: {at: [1, 2], with: leader}\n"
        f"    B: {{at: [3, 4], lying: yes, head: west}}\n{EMPTY}".replace(
            "clamped", "simple"
        ).replace("west: none, ", "")
    )
    board = story.board
    assert board is not None
    assert [board.width_mm, board.depth_mm] == [100, 5000]
    assert board.spots[0].at == Point(Fraction(0), Fraction(125))
    assert board.way_out == Point(Fraction(5000), Fraction(0))
    assert board.seats[0].at == Point(Fraction(30), Fraction(40))
    sides = board.sides
    assert sides is not None
    assert (sides.north, sides.east, sides.south, sides.west) == ("door", "sink", "window", "wall")
    strips = board.strips
    assert strips is not None
    assert (strips.west, strips.east, strips.south, strips.north) == (
        *("free", "simple", "simple", "elastic"),
    )
    sitting, lying = board.places
    assert (sitting.name, sitting.partner, sitting.lying, sitting.head) == (
        "A",
        "leader",
        False,
        None,
    )
    assert (lying.lying, lying.head, lying.partner, lying.at) == (
        *(True, "west", None),
        Point(Fraction(30), Fraction(40)),
    )
    for size, where in (("[9, 90]", "size_cm"), ("[90, 501]", "size_cm"), ("[1, 2, 3]", "size_cm")):
        (found,) = read_text(f"{HEAD}board: {{size_cm: {size}}}\n{EMPTY}").findings
        assert where in found.path
    for line in ("spots: {m: [-1, 0]}", "way out: [0, 501]", "seats: {m: [0]}"):
        text = f"{HEAD}board: {{size_cm: [90, 60], {line}}}\n{EMPTY}"
        assert [f.code for f in read_text(text).findings] in (["wrong-value"], ["wrong-kind"])


def test_words_at_their_limits() -> None:
    """20,000 letters of a remark, 60 that are said back, 200 names, 500 mistakes of one kind."""
    assert _read(f"{HEAD}term: {'a' * 20_000}\n{EMPTY}").term == "a" * 20_000
    (found,) = read_text(f"{HEAD}term: {'a' * 20_001}\n{EMPTY}").findings
    assert found.code == "text-too-long"
    assert "20001" in found.message.replace(",", "")
    for count, said in ((60, "b" * 60), (61, "b" * 59 + "…")):
        (found,) = read_text(f"{HEAD}pupils: {'b' * count}\n{EMPTY}").findings
        assert f"`{said}`" in found.message
    many = "".join(f"  p{number}: {{}}\n" for number in range(200))
    assert len(_read(f"{HEAD}props:\n{many}{EMPTY}").props) == 200
    more = read_text(f"{HEAD}props:\n{many}  last: {{}}\n{EMPTY}")
    assert [(f.code, f.span.line) for f in more.findings if f.span] == [("too-many", 204)]
    assert more.story is not None
    assert len(more.story.props) == 200
    long_line = "la " * 666 + "la"  # 2,000 letters
    for words, codes in ((long_line, []), (f"{long_line}a", ["line-too-long"])):
        assert [f.code for f in read_text(HEAD + LINES.format(f"words: {words}")).findings] == codes
    for key, letters in (("k" * 60, "k" * 60), ("k" * 61, "k" * 60)):
        (found,) = read_text(f"{HEAD}{key}: 1\n{EMPTY}").findings
        assert f"`{letters}:`" in found.message


def test_as_many_findings_as_anybody_mends() -> None:
    for count, told in ((200, 200), (201, 201), (202, 201)):
        keys = "".join(f"key{number}: 1\n" for number in range(count))
        findings = read_text(HEAD + keys + EMPTY).findings
        assert len(findings) == told
        assert (findings[-1].code == "many-more") == (count > 200)
        assert findings[-1].span is not None
        assert findings[-1].span.line == told + 2


def test_words_may_be_written_as_they_come() -> None:
    """Case, spaces, short forms; one thing alone where a list may stand."""
    story = _read(
        f"{HEAD}metre: 6/8\nloudness: pp to ff\nstroke: Flat  Hand\n"
        "comfort: {stage: On A  Table,\n"
        "  ceiling: QUIET, introduce gently: No}\nnext year: fewer waves\nlanguage: cy-GB\n"
        "glossary: {higgledy: HIG-gle-dy}\nclass: Willow\noutdoors: a table\nweather: porch\n"
        "picture: a.jpg\nprops: {spoon: {cautions: cord, handed by: leader, by: leader}}\n"
        'story:\n  - section: S\n    lines:\n      - words: "  Row   the\n\n          boat "\n'
        "        warned through: Voice\n        prop in: spoon\n        areas: literacy\n"
    )
    assert story.comfort == Comfort(Loudness.QUIET, stage=Stage.ON_A_TABLE)
    assert story.next_year == ("fewer waves",)
    assert (story.class_name, story.outdoors, story.weather) == ("Willow", "a table", "porch")
    assert (story.language, story.picture) == ("cy-GB", "a.jpg")
    assert [(each.word, each.syllables) for each in story.glossary] == [("higgledy", "HIG-gle-dy")]
    (prop,) = story.props
    assert (prop.cautions, prop.handed_by, prop.by) == (("cord",), ("leader",), "leader")
    assert (prop.sets, prop.what) == (1, "")
    (line,) = story.sections[0].items
    assert isinstance(line, Line)
    assert line.words == "Row the boat"
    assert line.warned_through == ("voice",)
    assert [(each.prop, each.at) for each in line.props_in] == [("spoon", None)]


@pytest.mark.parametrize(
    ("word", "known", "near"),
    [
        ("Soft", ("quiet", "loud"), "quiet"),
        (" whisper ", ("Very Quiet", "quiet"), "Very Quiet"),
        ("soft", ("sofa", "loud"), "sofa"),  # what is meant is no name here, so what is spelt alike
        ("both", ("leader", "everyone"), "everyone"),
        ("MIDLE", ("Middle", "edge"), "Middle"),
        ("fist", ("knuckles", "fist bump"), "knuckles"),
        ("palm", ("flat hand",), "flat hand"),
        ("nail", ("scratch",), "scratch"),
        ("rub", ("sweep",), "sweep"),
        ("tips", ("fingertips",), "fingertips"),
        ("thump", ("heel of hand",), "heel of hand"),
        ("normal", ("medium",), "medium"),
        ("forte", ("loud", "very loud"), "loud"),
        ("loudest", ("loud", "very loud"), "very loud"),
        ("xyz", ("quiet", "loud"), None),
        ("abcde", ("abcxy", "q"), "abcxy"),  # 6 of 10 letters alike is near enough
        ("abcde", ("abxyz", "q"), None),  # 4 of 10 are not
        ("a" * 500, ("a" * 80,), "a" * 80),
    ],
)
def test_what_is_meant(word: str, known: tuple[str, ...], near: str | None) -> None:
    assert nearest(word, known) == near
    assert did_you_mean(word, known) == (f" Did you mean `{near}`?" if near else "")


def test_lists_of_words_and_the_longest_tag() -> None:
    assert listed(("quiet", "loud")) == "`quiet`, `loud`"
    longest = "de-x-" + "-".join(["abcdefgh"] * 3) + "-abc"  # private use: RFC 5646, 2.2.7
    assert len(longest) == 35
    assert is_language(longest)
    assert not is_language(longest + "d")
