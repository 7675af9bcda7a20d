"""A name said otherwise, or taken out, in every place where a story can say it."""

import pytest

from tapscore.model.naming import rename, take_out, uses
from tapscore.model.story import Line, Story
from tapscore.model.walk import edit_line, said_before, things
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story

# Every name stands wherever it may; each is called NAMEn.
TEXT = """\
tapscore: 2
title: Names
by: ROLEn
says: ROLEn
spot: SPOTn
board:
  size_cm: [90, 90]
  spots: {SPOTn: [45, 45], door: [10, 10]}
  seats: {SEATn: [45, 90], south: [45, 0]}
  places: {PLACEn: {at: [30, 30], with: ROLEn}, B: {at: [60, 30]}}
roles: {ROLEn: {seat: SEATn}, other: {seat: south}}
props:
  PROPn: {what: beads, by: ROLEn, handed by: [other, ROLEn]}
  cup: {what: cup}
refrains:
  home:
    - {words: row, by: ROLEn, prop in: {PROPn: SPOTn}}
    - {offer: PROPn}
story:
  - section: One
    spot: SPOTn
    by: [other, ROLEn]
    says: [ROLEn, other]
    lines:
      - words: la la
        lane: "x(ROLEn) | x(SPOTn, loud) x(ROLEn: SPOTn; other: knuckles) . . . . . . |"
        by: [ROLEn, other]
        says: ROLEn
        spot: SPOTn
        do: lift
        done by: [ROLEn]
        warn first: ready
        warned by: [other, ROLEn]
        prop in: {PROPn: SPOTn, cup: SPOTn}
        prop out: [PROPn, cup]
      - {refrain: home, by: ROLEn, spot: SPOTn, says: [ROLEn]}
      - {wait: 20}
      - {offer: PROPn}
"""
NAMES = {"role": "ROLEn", "spot": "SPOTn", "seat": "SEATn", "place": "PLACEn", "prop": "PROPn"}
OTHERS = {"role": "other", "spot": "door", "seat": "south", "place": "B", "prop": "cup"}


def story(text: str = TEXT) -> Story:
    source = read_text(text)
    assert source.story is not None
    return source.story


@pytest.mark.parametrize("kind", NAMES)
def test_a_name_is_said_otherwise_everywhere(kind: str) -> None:
    """As if the file had been written with the other name; nothing else changes."""
    new = {"place": "Z"}.get(kind, "new one")
    assert rename(story(), kind, NAMES[kind], new) == story(TEXT.replace(NAMES[kind], new))
    assert rename(story(), kind, "nobody", new) == story()


@pytest.mark.parametrize("kind", NAMES)
def test_a_name_taken_out_is_said_nowhere(kind: str) -> None:
    gone = take_out(story(), kind, NAMES[kind])
    text = write_story(gone)
    assert NAMES[kind] not in text
    for other, name in {**NAMES, **OTHERS}.items():
        if name != NAMES[kind]:
            assert (name in text) or other == kind
    assert read_text(text).story == gone
    instead = take_out(story(), kind, NAMES[kind], OTHERS[kind])
    assert NAMES[kind] not in write_story(instead)


USES = {
    "role": [
        *((), ("story", 0), ("props", "PROPn"), ("board", "places", "PLACEn")),
        *(("refrains", "home", 0), ("story", 0, "lines", 0), ("story", 0, "lines", 1)),
    ],
    "spot": [
        *((), ("story", 0), ("refrains", "home", 0)),
        *(("story", 0, "lines", 0), ("story", 0, "lines", 1)),
    ],
    "seat": [("roles", "ROLEn")],
    "place": [],
    "prop": [
        *(("refrains", "home", 0), ("refrains", "home", 1)),
        *(("story", 0, "lines", 0), ("story", 0, "lines", 3)),
    ],
}


@pytest.mark.parametrize("kind", NAMES)
def test_where_a_name_is_used(kind: str) -> None:
    assert list(uses(story(), kind, NAMES[kind])) == USES[kind]
    assert uses(story(), kind, "nobody") == ()


def test_who_did_one_tap_otherwise_still_taps_it() -> None:
    """Without the spot that was hers alone she is among all who tap."""
    line = take_out(story(), "spot", "SPOTn").sections[0].items[0]
    assert isinstance(line, Line)
    assert line.lane is not None
    second = line.lane.bars[0][1][0].detail
    assert second is not None
    assert second.adults == ("ROLEn", "other")
    assert [role for role, _ in second.single] == ["other"]
    alone = take_out(story(), "role", "ROLEn").sections[0].items[0]
    assert isinstance(alone, Line)
    assert alone.lane is not None
    left = alone.lane.bars[0][1][0].detail
    assert left is not None
    assert left.adults == ("other",)


def test_walking_through_a_story() -> None:
    found = [path for path, _ in things(story())]
    assert found == [
        *(("board", "spots", "SPOTn"), ("board", "spots", "door")),
        *(("board", "seats", "SEATn"), ("board", "seats", "south")),
        *(("board", "places", "PLACEn"), ("board", "places", "B")),
        *(("roles", "ROLEn"), ("roles", "other"), ("props", "PROPn"), ("props", "cup")),
        *(("refrains", "home"), ("refrains", "home", 0), ("refrains", "home", 1)),
        *[("story", 0), *(("story", 0, "lines", n) for n in range(4))],
    ]
    assert [said_before(story(), ("story", 0, "lines", n)) for n in range(4)] == [
        *(None, "la la", "home", "home"),
    ]
    told = edit_line(story(), ("story", 0, "lines", 0, "lane"), lambda line: Line(f"{line.words}!"))
    assert told is not None
    assert told.sections[0].items[0] == Line("la la!")
    for path in (("story", 0, "lines", 2), ("story", 0), ("story", 9, "lines", 0)):
        assert edit_line(story(), path, lambda line: line) is None
