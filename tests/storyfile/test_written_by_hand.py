"""What a writer writes, byte for byte: new text, and changes spliced into a text that was there."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from attrs import evolve

from tapscore.model.edits import change_line
from tapscore.model.loudness import Loudness, Swell
from tapscore.model.story import Line, Prop, Refrain, Role, Section, Story, Wait
from tapscore.model.tempo import Tempo
from tapscore.storyfile import emit
from tapscore.storyfile.kinds import Bare, Doc
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import spliced_text, write_story

# Plain and quoted text: what YAML 1.1 and 1.2 readers may take for something else has quotes
# (yaml.org/type; YAML 1.2.2, sections 5.3 and 7.3.3).
SCALARS = (
    *(("Row", "Row"), ("Row the lan-tern", "Row the lan-tern"), ("it’s", "it’s"), ("a b!", "a b!")),
    *(("Who? You.", "Who? You."), ("(low)", '"(low)"'), ("a (low)", "a (low)"), ("6/8", "6/8")),
    *(
        ("yes", '"yes"'),
        ("No", '"No"'),
        ("ON", '"ON"'),
        ("off", '"off"'),
        ("y", '"y"'),
        ("N", '"N"'),
    ),
    *(("true", '"true"'), ("null", '"null"'), ("~", '"~"'), ("12", '"12"'), ("1.5", '"1.5"')),
    *(("1_000", '"1_000"'), ("0x1F", '"0x1F"'), ("1e3", '"1e3"'), ("12 ducks", "12 ducks")),
    *(("a, b", "a, b"), ("a: b", '"a: b"'), ("a #b", '"a #b"'), ("- a", '"- a"'), ("", '""')),
    *((" a", '" a"'), ("a ", '"a "'), ("a  b", '"a  b"'), ("_a", '"_a"'), ("a,", '"a,"')),
    *(("[a]", '"[a]"'), ("*", '"*"'), ('say "a"', '"say \\"a\\""'), ("a\\b", '"a\\\\b"')),
    *(
        ("a\nb", '"a\\nb"'),
        ("a\tb", '"a\\tb"'),
        ("a\u00adb", '"a\\u00adb"'),
        ("a\x07", '"a\\u0007"'),
    ),
    *(("\ud800", '"\\ud800"'), ("Łódź 日", "Łódź 日"), ("🙂", '"🙂"'), ("wait…", "wait…")),
)


@pytest.mark.parametrize(("text", "written"), SCALARS)
def test_text_is_quoted_where_it_must_be(text: str, written: str) -> None:
    assert emit.scalar(text) == written
    assert emit.scalar(Bare(text)) == text


def test_in_brackets_and_on_lines() -> None:
    assert emit.scalar("a, b", flow=True) == '"a, b"'
    assert emit.scalar("Who? You", flow=True) == '"Who? You"'
    assert emit.inline({"a": ["b", "c, d"], "e: f": Bare(""), "g": {}, "h": []}) == (
        '{a: [b, "c, d"], "e: f": , g: {}, h: []}'
    )
    assert emit.entry("a", Bare(""), 0) == "a:"
    fits: list[Doc] = ["a" * 70]
    assert emit.entry("a", fits, 2) == f"a: [{'a' * 70}]"  # 2 + 72 is less than 76
    assert emit.entry("a", fits, 4) == f"a:\n      - {'a' * 70}"
    depths: tuple[tuple[Any, bool], ...] = (
        *(("a", True), ([], True), ({}, True), (["a"], True), ([["a"]], True), ([[["a"]]], False)),
        *(([[[]]], True), ([{"a": "b"}], False), ({"a": ["b"]}, True), ({"a": {"b": "c"}}, True)),
        *(({"a": {"b": ["c"]}}, False), ({"a": [{"b": "c"}]}, False), ([{}], False)),
    )
    for doc, one_line in depths:
        assert emit.fits_one_line(doc) is one_line, doc
    assert (
        emit.item({"": "  odd: a\n      b: c\n\n        d: e\n"}, 2)
        == "-   odd: a\n    b: c\n    \n      d: e"
    )
    assert emit.item({"a": "b", "c": "d"}, 2) == "- a: b\n    c: d"
    assert emit.item({}, 2) == "- {}"
    assert emit.block({"a": "b", "c": [["d"], "e"]}, 2) == "  a: b\n  c: [[d], e]"


def test_a_new_file_says_everything_in_its_order() -> None:
    """Every key of a line and a head; the text was laid out by hand after the page on stories."""
    text = """\
tapscore: 2
title: The Mill
term: Autumn 2026
class: Willow
next year: [fewer waves, more flour]
outdoors: a table
weather: under the porch
language: en-GB
glossary: {higgledy: HIG-gle-dy}
metre: 6/8
tempo: 54 to 40
loudness: quiet to loud
stroke: flat hand
spot: middle
by: [leader, helper]
says: leader
picture: cover.jpg
pupils: 6

board:
  size_cm: [120, 90.5]
  sheet:
    wood: birch
    thickness_mm: 4
    plies: 3
    grain: long
    stiffness_long_nm: 64
    mass_kg: 3.2
  strips: {west: free, north: elastic}
  gap_mm: 20
  spots: {middle: [60, 45], edge: [60, 12]}
  seats: {north: [60, 90], south: [60, 0]}
  places:
    A: {at: [30, 40]}
    B: {at: [90, 40], lying: true, head: east, with: helper}
  sides: {north: door, east: sink}
  way out: [0, 45]
  oldest pupil: 6
  picture: room.jpg
comfort: {ceiling: loud, largest jump: 2, least wait: 12.5, stage: on a table}
roles: {leader: {seat: north}, helper: {}}

props:
  beads:
    what: wooden beads
    sets: 2
    instead: rings
    cautions: [cord, small parts]
    by: helper
  spoon: {handed by: [leader, helper]}

refrains:
  again:
    - words: Round it goes
      lane: "| X x x |"

story:
  - section: One
    tempo: 60
    lines:
      - words: Row the lan-tern
        lane: "x | X . x X(loud) _ t |"
        loudness: loud
        by: everyone
        says: helper
        warn first: a raised hand
        warned by: helper
        warned through: [voice, touch]
        do: turn the wheel
        done by: leader
        prop in: {beads: middle, spoon: }
        prop out: spoon
        look for: a look, a reach
        areas: [exploration, Literacy]
        in: {pl: Wiosłuj, cy: Rhwyfo}
        picture: moon.jpg
      - refrain: again
        loudness: very quiet
      - wait: 10
        look for: a still body
      - offer: beads
      - offer: spoon
        turn: 45.5
        look for: a reach
      - words: ""
        prop in: [beads, spoon]
  - section: Two

accepted:
  - finding: one-breath
    where: Row
    why: meant so
"""
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    fresh = write_story(
        evolve(read.story, origin=None, sections=tuple(map(_new, read.story.sections)))
    )
    assert fresh == text


def _new(section: Section) -> Section:
    items = tuple(evolve(item, origin=None) for item in section.items)
    return evolve(section, origin=None, items=items)


FILE = """\
# the head
tapscore: 2
title: T   # a title

# of roles
roles: {leader: , helper: {seat: north}, third: }
next year: [one, two, three]
by:
  - leader   # first
  - third   # why
  - helper
mine: kept   # unknown
props:
  # the spoon
  spoon:
    what: wooden spoon   # of wood

  # the drum
  drum: {sets: 2}
story:
  # part one
  - section: One
    lines:
      # first
      - words: aa   # said
        do: nod
      - wait: 10

      # last
      - {words: cc, do: look}
  # part two
  - section: Two
# the end
"""
PARTS = FILE.partition("story:\n")[2].partition("# the end")[0]
Change = Callable[[Story], Story]


def _items(number: int, change: Callable[..., Any]) -> Change:
    def changed(story: Story) -> Story:
        sections = list(story.sections)
        items = change(*sections[number].items)
        sections[number] = evolve(sections[number], items=items)
        return evolve(story, sections=tuple(sections))

    return changed


def _line(at: int, **values: Any) -> Change:
    return lambda story: change_line(
        story, ("story", 0, "lines", at), lambda line: evolve(line, **values)
    )


NEW = Line("new", do="clap")
FIRST = "      # first\n      - words: aa   # said\n        do: nod\n"
WAIT = "      - wait: 10\n"
LAST = "      # last\n      - {words: cc, do: look}\n"
ADDED = "      - words: new\n        do: clap\n"
SPOON = "  # the spoon\n  spoon:\n    what: wooden spoon   # of wood\n"
DRUM = "  # the drum\n  drum: {sets: 2}\n"
# what is done to the story, then pairs of what goes and what stands there instead
SPLICES: dict[str, tuple[Change, *tuple[tuple[str, str], ...]]] = {
    "nothing": (lambda s: s,),
    "title": (lambda s: evolve(s, title="U"), ("title: T ", "title: U ")),
    "a key before others": (
        lambda s: evolve(s, term="Spring"),
        ("# a title\n", "# a title\nterm: Spring\n"),
    ),
    "a key behind others": (
        lambda s: evolve(s, pupils=5),
        ("  - helper\n", "  - helper\npupils: 5\n"),
    ),
    "words": (_line(0, words="bb: c"), ("words: aa ", 'words: "bb: c" ')),
    "words in brackets": (_line(2, words="d, e"), ("words: cc", 'words: "d, e"')),
    "a key of a line": (
        _line(0, look_for="a look"),
        ("do: nod\n", "do: nod\n        look for: a look\n"),
    ),
    "a key in brackets": (_line(2, look_for="a"), ("do: look}", "do: look, look for: a}")),
    "a key less": (_line(0, do=None), ("        do: nod\n", "")),
    "a key less in brackets": (_line(2, do=None), (", do: look", "")),
    "a line in front": (_items(0, lambda a, b, c: (NEW, a, b, c)), (FIRST, ADDED + FIRST)),
    "a line between": (_items(0, lambda a, b, c: (a, NEW, b, c)), (FIRST, FIRST + ADDED)),
    "a line at the end": (_items(0, lambda a, b, c: (a, b, c, NEW)), (LAST, LAST + ADDED)),
    "two lines": (
        _items(0, lambda a, b, c: (a, b, NEW, Wait(Fraction(5)), c)),
        (WAIT, f"{WAIT}{ADDED}      - wait: 5\n"),
    ),
    "no first": (_items(0, lambda a, b, c: (b, c)), (FIRST, "")),
    "no second": (_items(0, lambda a, b, c: (a, c)), (WAIT, "")),
    "no last": (_items(0, lambda a, b, c: (a, b)), (LAST, "")),
    "last first": (_items(0, lambda a, b, c: (c, a, b)), (LAST, ""), (FIRST, LAST + FIRST)),
    "first last": (_items(0, lambda a, b, c: (b, c, a)), (FIRST, ""), (LAST, LAST + FIRST)),
    "a copy": (_items(0, lambda a, b, c: (a, b, c, a)), (LAST, LAST + FIRST)),
    "a copy that is changed": (
        _items(0, lambda a, b, c: (evolve(a, words="zz"), a, b, c)),
        (FIRST, FIRST.replace("aa", "zz") + FIRST),
    ),
    "one for all": (
        _items(0, lambda a, b, c: (NEW,)),
        (FIRST, ADDED),
        *((WAIT, ""), (LAST, "")),
    ),
    "lines where there were none": (
        _items(1, lambda: (NEW,)),
        ("section: Two\n", f"section: Two\n    lines:\n{ADDED}"),
    ),
    "none of the lines": (
        _items(0, lambda a, b, c: ()),
        ("    lines:\n", ""),
        (FIRST, ""),
        (WAIT, ""),
        ("\n" + LAST, ""),
    ),
    "a section": (
        lambda s: evolve(s, sections=(*s.sections, Section("Three", (NEW,)))),
        ("section: Two\n", f"section: Two\n  - section: Three\n    lines:\n{ADDED}"),
    ),
    "sections changed round": (
        lambda s: evolve(s, sections=s.sections[::-1]),
        ("  # part two\n  - section: Two\n", ""),
        ("  # part one\n", "  # part two\n  - section: Two\n  # part one\n"),
    ),
    "a role in front": (
        lambda s: evolve(s, roles=(Role("new"), *s.roles)),
        ("{leader: ,", "{new: {}, leader: ,"),
    ),
    "a role at the end": (
        lambda s: evolve(s, roles=(*s.roles, Role("new", "far"))),
        ("third: }", "third: , new: {seat: far}}"),
    ),
    "no first role": (lambda s: evolve(s, roles=s.roles[1:]), ("leader: , ", "")),
    "no middle role": (lambda s: evolve(s, roles=s.roles[::2]), ("helper: {seat: north}, ", "")),
    "no last role": (lambda s: evolve(s, roles=s.roles[:2]), (", third: ", "")),
    "one role": (lambda s: evolve(s, roles=s.roles[:1]), (", helper: {seat: north}, third: ", "")),
    "a role called otherwise": (
        lambda s: evolve(s, roles=(s.roles[0], evolve(s.roles[1], name="a: b"), s.roles[2])),
        ("helper: {", '"a: b": {'),
    ),
    "a seat less": (
        lambda s: evolve(s, roles=(s.roles[0], evolve(s.roles[1], seat=None), s.roles[2])),
        ("{seat: north}", "{}"),
    ),
    "a seat": (
        lambda s: evolve(s, roles=(evolve(s.roles[0], seat="far"), *s.roles[1:])),
        ("{leader: ,", "{leader: {seat: far},"),
    ),
    "words of a list": (
        lambda s: evolve(s, next_year=("one", "2, 3", "three")),
        ("one, two,", 'one, "2, 3",'),
    ),
    "a list shorter": (lambda s: evolve(s, next_year=("one", "three")), ("one, two,", "one,")),
    "a list longer": (
        lambda s: evolve(s, next_year=("zero", "one", "two", "three")),
        ("[one", "[zero, one"),
    ),
    "a list in lines shorter": (
        lambda s: evolve(s, manner=evolve(s.manner, by=("leader", "helper"))),
        ("  - third   # why\n", ""),
    ),
    "a list in lines longer": (
        lambda s: evolve(s, manner=evolve(s.manner, by=("everyone", *s.manner.by))),
        ("by:\n", "by:\n  - everyone\n"),
    ),
    "no sections": (
        lambda s: evolve(s, sections=()),
        ("story:\n" + PARTS, "story: []\n"),
    ),
    "a list of one": (lambda s: evolve(s, next_year=("four",)), ("[one, two, three]", "four")),
    "a list gone": (lambda s: evolve(s, next_year=()), ("next year: [one, two, three]\n", "")),
    "a prop's key": (
        lambda s: evolve(s, props=(evolve(s.props[0], sets=3), s.props[1])),
        ("# of wood\n", "# of wood\n    sets: 3\n"),
    ),
    "a prop's key less": (
        lambda s: evolve(s, props=(s.props[0], evolve(s.props[1], sets=1))),
        ("{sets: 2}", "{}"),
    ),
    "no first prop": (lambda s: evolve(s, props=s.props[1:]), (SPOON, "")),
    "no last prop": (lambda s: evolve(s, props=s.props[:1]), (DRUM, "")),
    "props changed round": (
        lambda s: evolve(s, props=s.props[::-1]),
        ("\n" + DRUM, "\n"),
        (SPOON, DRUM + SPOON),
    ),
    "a prop at the end": (
        lambda s: evolve(s, props=(*s.props, Prop("cloth", "sack"))),
        (DRUM, f"{DRUM}  cloth: {{what: sack}}\n"),
    ),
    "no props": (lambda s: evolve(s, props=()), (f"props:\n{SPOON}\n{DRUM}", "")),
    "refrains": (
        lambda s: evolve(s, refrains=(Refrain("again", (NEW,)),)),
        (DRUM, f"{DRUM}refrains:\n  again:\n    - words: new\n      do: clap\n"),
    ),
    "a manner": (
        lambda s: evolve(
            s, manner=evolve(s.manner, loudness=Swell((Loudness.QUIET, Loudness.LOUD)))
        ),
        ("two, three]\n", "two, three]\nloudness: quiet to loud\n"),
    ),
}


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("what", SPLICES)
def test_a_change_spliced_in(what: str, newline: str) -> None:
    change, *pairs = SPLICES[what]
    wanted = FILE
    for old, new in pairs:
        assert wanted.count(old) == 1, old
        wanted = wanted.replace(old, new)
    story = read_text(FILE.replace("\n", newline)).story
    assert story is not None
    assert spliced_text(change(story)) == wanted.replace("\n", newline)


ADULTS = "tapscore: 2\ntitle: T\nroles: {leader: {}, drum: {}}\n"
PART = "story:\n  - section: One\n    lines:\n      - words: Row\n"


@pytest.mark.parametrize(
    ("text", "change", "wanted"),
    [
        (  # in what is written anew
            f"{ADULTS}by:\n  # Mondays\n  - leader # she\n  - drum\n{PART}",
            lambda s: evolve(s, manner=evolve(s.manner, by=("leader",))),
            f"{ADULTS}# Mondays\n# she\nby: leader\n{PART}",
        ),
        (  # where something else stood that could not be understood
            f"tapscore: 2\ntitle: T\ntempo: [fast, slow]\n{PART}",
            lambda s: evolve(s, manner=evolve(s.manner, tempo=Tempo(Fraction(60)))),
            f"tapscore: 2\ntitle: T\n# tempo: [fast, slow]\ntempo: 60\n{PART}",
        ),
        (  # above what follows on what goes, in brackets
            "tapscore: 2\ntitle: T\nprops: {\n  cup: {what: c},\n  # of the bell\n"
            f"  bell: {{what: b}}\n}}\n{PART}",
            lambda s: evolve(s, props=s.props[1:]),
            "tapscore: 2\ntitle: T\nprops: {\n  \n  # of the bell\n"
            f"  bell: {{what: b}}\n}}\n{PART}",
        ),
    ],
)
def test_nothing_that_somebody_wrote_is_lost(
    text: str, change: Callable[[Story], Story], wanted: str
) -> None:
    story = read_text(text).story
    assert story is not None
    assert spliced_text(change(story)) == wanted
