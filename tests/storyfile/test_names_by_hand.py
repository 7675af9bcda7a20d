"""Names that point to nothing, wherever a story names something; and day files, word by word."""

import pytest

from tapscore.model.day import Telling
from tapscore.model.finding import Finding
from tapscore.storyfile.day_file import read_day
from tapscore.storyfile.read import read_text

STORY = """\
tapscore: 2
title: T
by: HERE
roles:
  leader: {seat: HERE}
  helper: {}
board:
  size_cm: [120, 90]
  spots: {middle: [60, 45]}
  seats: {north: [60, 90]}
  places: {A: {at: [30, 30], with: HERE}}
props:
  spoon: {by: HERE, handed by: [leader, HERE]}
refrains:
  again:
    - words: one
      spot: HERE
story:
  - section: S
    says: HERE
    lines:
      - words: two
        by: [everyone, HERE]
        done by: HERE
        warned by: [helper, HERE]
        prop in: {spoon: HERE, HERE: middle}
        prop out: HERE
      - offer: HERE
      - refrain: HERE
        spot: HERE
      - refrain: again
        says: everyone
"""
# the line of each HERE, the column its finding points to, and what it ought to be
WANTED = (
    *((3, 1, "role"), (5, 12, "seat"), (11, 30, "role"), (13, 11, "role"), (13, 20, "role")),
    *((17, 7, "spot"), (20, 5, "role"), (23, 9, "role"), (24, 9, "role"), (25, 9, "role")),
    *((26, 9, "spot"), (26, 9, "prop"), (27, 9, "prop"), (28, 9, "prop"), (29, 9, "refrain")),
    (30, 9, "spot"),
)


def _placed(finding: Finding) -> tuple[int, int]:
    assert finding.span is not None
    return finding.span.line, finding.span.column


def test_every_name_that_points_to_nothing() -> None:
    findings = read_text(STORY.replace("HERE", "zzz")).findings
    assert {each.code for each in findings} == {"unknown-name"}
    assert [(*_placed(each), each.about["what"]) for each in findings] == list(WANTED)
    assert {each.about["name"] for each in findings} == {"zzz"}
    known = {each.about["what"]: (each.about["case"], each.about["known"]) for each in findings}
    assert known == {
        "role": ("others", ("leader", "helper")),
        "seat": ("others", ("north",)),
        "spot": ("others", ("middle",)),
        "prop": ("others", ("spoon",)),
        "refrain": ("others", ("again",)),
    }


@pytest.mark.parametrize(("count", "more"), [(12, "no"), (13, "yes")])
def test_so_many_names_are_listed(count: int, more: str) -> None:
    roles = ", ".join(f"r{number}: " for number in range(count))
    text = f"tapscore: 2\ntitle: T\nroles: {{{roles}}}\nby: zzz\nstory: []\n"
    (found,) = read_text(text).findings
    assert found.about["more"] == more
    assert found.about["known"] == tuple(f"r{number}" for number in range(12))


CLASHES = (
    *(("a;b", "marks"), ("a,b", "marks"), ("a(b", "marks"), ("a)b", "marks"), ("a|b", "marks")),
    *((" ", "spaces"), ("a  b", "spaces"), (" a", "spaces"), ("a" * 61, "long")),
    *(("everyone", "taken"), ("loud", "taken"), ("flat hand", "taken"), ("mf", "taken")),
    ("middle", "both"),
)


@pytest.mark.parametrize(("name", "why"), CLASHES)
def test_names_that_nothing_can_have(name: str, why: str) -> None:
    board = "board: {size_cm: [120, 90], spots: {middle: [1, 1], edge: [2, 2]}}\n"
    text = f'tapscore: 2\ntitle: T\n{board}roles: {{"{name}": }}\nstory: []\n'
    (found,) = read_text(text).findings
    assert (found.code, found.about["why"], *_placed(found)) == ("name-clash", why, 4, 9)
    assert found.about["name"] == name[:60]
    if why == "both":
        return
    spot = f'board: {{size_cm: [120, 90], spots: {{"{name}": [1, 1]}}}}\n'
    (found,) = read_text(f"tapscore: 2\ntitle: T\n{spot}story: []\n").findings
    assert (found.about["why"], *_placed(found)) == (why, 3, 37)
    assert read_text(text.replace(f'"{name}"', "a" * 60)).findings == ()


@pytest.mark.parametrize("letter", ["a", "AB", "1", "-"])
def test_places_are_capital_letters(letter: str) -> None:
    places = (
        f"board: {{size_cm: [120, 90], places: {{Ł: {{at: [1, 1]}}, {letter}: {{at: [2, 2]}}}}}}\n"
    )
    (found,) = read_text(f"tapscore: 2\ntitle: T\n{places}story: []\n").findings
    assert (found.code, found.about["name"], *_placed(found)) == ("place-letter", letter, 3, 55)


SMALL = read_text(
    "tapscore: 2\ntitle: T\nroles: {leader: , helper: }\n"
    "board: {size_cm: [90, 60], places: {A: {at: [1, 1]}, B: {at: [2, 2]}}}\nstory: []\n"
).story

# a day's text, then each finding: line, column, code, case
DAYS = (
    ("here: AB\nrols: x", (2, 1, "unknown-key", "day")),
    ("here: {AB: x}", (1, 7, "day-shape", "list")),
    ("here: [AB, [CD]]", (1, 12, "day-shape", "adult")),
    (f"here: [{'a' * 40}, {'b' * 41}]", (1, 50, "day-shape", "long")),
    ("here: [AB, A]", (1, 12, "pupil-in-day", None)),
    ("roles: leader", (1, 8, "day-shape", "roles")),
    ("roles:\n  leadr: AB", (2, 3, "unknown-role", None)),
    ("roles: {leader: [AB, CD]}", (1, 17, "day-shape", "one-adult")),
    ("pupils: 100", (1, 9, "day-shape", "pupils")),
    ("pupils: 1000000", (1, 9, "day-shape", "pupils")),
    ("pupils: {A: B}", (1, 9, "day-shape", "pupils")),
    ("pupils: [A, [B]]", (1, 9, "day-shape", "pupils")),
    ("pupils: [A, C, D]", (1, 13, "no-such-place", None), (1, 16, "no-such-place", None)),
    ("tell: not today", (1, 7, "day-shape", "tell")),
    ("tell: [short]", (1, 7, "day-shape", "tell")),
    ("here: [AB", (1, 7, "yaml", "bracket")),
    ("", (None, None, "no-day", None)),
    (" \n", (None, None, "no-day", None)),
    ("- AB", (None, None, "no-day", None)),
    ("here: &x AB", (1, 7, "shared-part", "names")),
)


@pytest.mark.parametrize("case", DAYS, ids=lambda case: str(case[0])[:20])
def test_mistakes_in_a_day(
    case: tuple[str, *tuple[tuple[int | None, int | None, str, str | None], ...]],
) -> None:
    text, *wanted = case
    assert SMALL is not None
    read = read_day(text, SMALL)
    found = [
        (
            each.span.line if each.span else None,
            each.span.column if each.span else None,
            each.code,
            each.about.get("case"),
        )
        for each in read.findings
    ]
    assert found == list(wanted)
    assert all(each.must_mend for each in read.findings)
    assert (read.day is None) == (wanted[0][2] in ("no-day", "yaml"))


def test_what_a_day_says() -> None:
    assert SMALL is not None
    day = read_day(
        f"\ufeffhere: [CD,  two   words , CD, '', A, [x], {'b' * 41}]\n"
        "roles: {helper: AB, leader: [CD, EF], nobody: GH}\npupils: [B, A, B, Z]\ntell: refrain\n",
        SMALL,
    ).day
    assert day is not None
    assert day.here == ("CD", "two words", "AB")
    assert day.takes == (("helper", "AB"), ("leader", "CD"))
    assert (day.places, day.pupils, day.tell) == (("B", "A"), None, Telling.REFRAIN)
    for text, places, pupils in (
        ("pupils: 99", None, 99),
        ("pupils: 0", None, 0),
        ("pupils: B", ("B",), None),
        ("pupils: Z", (), None),
        ("pupils: [3]", (), None),
        ("pupils: {A: B}", None, None),
    ):
        day = read_day(text, SMALL).day
        assert day is not None
        assert (day.here, day.takes, day.places, day.pupils, day.tell) == (
            (),
            (),
            places,
            pupils,
            None,
        )
    for telling in ("whole", "short", "lighter", "refrain"):
        day = read_day(f"tell: {telling}", SMALL).day
        assert day is not None
        assert day.tell is Telling(telling)
