"""``tapscore day``, word by word on a story small enough to be shared out by hand."""

from pathlib import Path

import pytest
from attrs import evolve

from tapscore.storyfile.day_file import read_day
from tapscore.storyfile.read import read_file
from tapscore.workflow.product import Choices
from tapscore.workflow.today.outcome import DayWish, work_out
from tests.cli.running import Said, files, run

STORY = """\
tapscore: 2
title: The Mill
metre: 6/8
tempo: 60
pupils: 2
by: beat-keeper
says: leader
board:
  size_cm: [100, 80]
  gap_mm: 40
  spots: {middle: [50, 40]}
  seats: {south: [50, 0], north: [50, 80]}
  places: {A: {at: [30, 100]}, B: {at: [70, 100]}}
spot: middle
roles: {leader: {seat: south}, beat-keeper: {seat: north}, prop handler: {}}
props: {silk: {what: a scarf, by: prop handler}}
refrains:
  turn it:
    - words: Turn it, turn it
      lane: "| X . x X . x |"
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        prop in: {silk: middle}
      - wait: 10
        look for: a look
      - refrain: turn it
  - section: Two
    lines:
      - words: Home to the har-bour
        lane: "| X . . x . x | X . . x . . |"
        prop out: silk
      - refrain: turn it
"""
GIVE = "Give --out DIR to print new sheets, and a sheet for somebody who steps in.\n"
ALL_DONE = "Everything is done by somebody.\nNo sheet changes.\n"
NEAR_BOTH = "AB (beat-keeper) is near A and B: that comes first.\n"
DAYS = {
    "everybody": (
        "here: [leader, beat-keeper, prop handler]\n",
        0,
        "leader: here\nbeat-keeper: here\nprop handler: here\n"
        "prop handler is near A: that comes first.\nbeat-keeper is near B: that comes first.\n"
        + ALL_DONE
        + GIVE,
    ),
    "somebody more": (
        "here: [AB, CD, prop handler, GH, IJ]\nroles: {leader: AB}\n",
        0,
        "leader: AB\nbeat-keeper: CD (takes it whole, with its own cards)\nprop handler: here\n"
        "here without a role: GH, IJ\n"
        "GH is near A: that comes first.\nIJ is near B: that comes first.\n" + ALL_DONE + GIVE,
    ),
    "nobody leads": (
        "here: [AB, CD]\nroles: {beat-keeper: AB, prop handler: CD}\ntell: whole\n",
        0,
        "beat-keeper: AB\nprop handler: CD\naway: leader\n"
        "CD (prop handler) is near A: that comes first.\n"
        "AB (beat-keeper) is near B: that comes first.\n"
        "Everything is done by somebody.\n"
        "  Nobody leads: CD (prop handler) taps least and speaks: give them the cue sheet.\n"
        "new sheets for beat-keeper, 1 side: Sheet 1; 1 stay\n"
        "new sheets for prop handler, 2 sides: Before you start, Sheet 1; 0 stay\n" + GIVE,
    ),
    "one who can't do all": (
        "here: [AB]\nroles: {beat-keeper: AB}\ntell: whole\n",
        1,
        "beat-keeper: AB\naway: leader, prop handler\n" + NEAR_BOTH + "  Nobody brings silk.\n"
        "  Nobody leads: AB (beat-keeper) taps least and speaks: give them the cue sheet.\n"
        "  Left: Nobody brings silk. Beat-keeper taps while it comes or goes.\n"
        "new sheets for beat-keeper, 1 side: Sheet 1; 1 stay\n" + GIVE,
    ),
    "two roles": (
        "here: [AB, CD]\nroles: {leader: AB, prop handler: AB, beat-keeper: CD}\ntell: whole\n",
        0,
        "leader: AB\nbeat-keeper: CD\nprop handler: AB (as well as leader)\n"
        "AB (leader) is near A: that comes first.\nCD (beat-keeper) is near B: that comes first.\n"
        "Everything is done by somebody.\n"
        "new sheets for leader, 2 sides: Before you start, Sheet 1; 0 stay\n"
        "new sheets for beat-keeper, 2 sides: Sheet 1, Sheet 2; 0 stay\n" + GIVE,
    ),
    "the refrain alone": (
        "here: [AB]\nroles: {leader: AB}\n",
        0,
        "leader: AB\naway: beat-keeper, prop handler\n"
        "One adult and 2 pupils. The refrain only, with its waits; nothing else is needed.\n"
        "Everything but the refrain: left out.\n"
        "Told today: turn it; wait 20; turn it; wait 20.\n"
        "AB (leader) is near A and B: that comes first.\n"
        "  Nobody taps the refrain turn it.\nA way to share it:\n"
        "  AB (leader) taps the refrain turn it\n"
        "new sheets for leader, 2 sides: Before you start, Sheet 1; 0 stay\n" + GIVE,
    ),
    "nobody": (
        "here: []\n",
        1,
        "away: leader, beat-keeper, prop handler\n"
        "Nobody is here. Not today. Its best-loved words can be said softly beside the pupils, "
        "without the board. Never fewer than two adults to a hoist; your school's own rules come "
        "first.\n",
    ),
}


@pytest.fixture
def day(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("mill.yaml").write_text(STORY, encoding="utf-8")
    return Path("day.yaml")


@pytest.mark.parametrize("name", DAYS)
def test_who_does_what_today(day: Path, name: str) -> None:
    text, code, told = DAYS[name]
    day.write_text(text, encoding="utf-8")
    assert run("day", "mill.yaml", day) == Said(code, told, "")
    assert files(Path()) == {"mill.yaml", "day.yaml"}


def test_cards_are_told_of_instead_of_sheets(day: Path) -> None:
    day.write_text(DAYS["everybody"][0])
    told = DAYS["everybody"][2].replace("No sheet", "No card").replace("new sheets", "new cards")
    assert run("day", "mill.yaml", day, "--cards") == Said(0, told, "")
    day.write_text(DAYS["nobody leads"][0])
    said = run("day", "mill.yaml", day, "--cards").out
    assert "new cards for prop handler, 2 sides: 1 of 2, 2 of 2; 0 stay\n" in said
    assert "No card changes." not in said


@pytest.mark.parametrize(
    ("data", "code", "says"),
    [
        (
            b"",
            2,
            "day.yaml: There is no day here: a day file says who is here, and who takes which "
            "role. Write `here: [AB, CD]`, and below it `roles:` with a line such as `leader: AB` "
            "for each.\n",
        ),
        (
            b"\xff\x00",
            2,
            "day.yaml can't be read: it is not plain text (UTF-8). "
            "Look at the name and the folder.\n",
        ),
        (
            None,
            2,
            "day.yaml can't be read: there is no such file or folder. "
            "Look at the name and the folder.\n",
        ),
        (
            b"here: [leader, beat-keeper, prop handler]\ntell: half\n",
            1,
            "day.yaml:2: This is not written as a day file needs it. Write `tell: whole`, "
            "`lighter`, `short` or `refrain`, or leave it out.\n",
        ),
    ],
)
def test_a_day_that_is_not_as_it_should_be(
    day: Path, data: bytes | None, code: int, says: str
) -> None:
    if data is not None:
        day.write_bytes(data)
    said = run("day", "mill.yaml", day)
    assert (said.code, said.err) == (code, says)
    assert said.out == ("" if code == 2 else DAYS["everybody"][2])


def test_sheets_are_made_and_those_of_yesterday_taken_away(day: Path) -> None:
    day.write_text(DAYS["nobody leads"][0])
    said = run("day", "mill.yaml", day, "--out", "out")
    made = [f"made out/{name}" for name in sorted(files(Path("out")))]
    assert (said.code, said.err) == (0, "")
    assert sorted(said.out.splitlines()[-len(made) :]) == made
    assert [name.rpartition("-today-")[2] for name in made] == [
        "beat-keeper.pdf",
        "cue-sheet.pdf",  # it is another's today, who speaks the words
        "prop-handler.pdf",
        "step-in.pdf",
    ]
    assert "Give --out" not in said.out
    day.write_text(DAYS["nobody"][0])
    said = run("day", "mill.yaml", day, "--out", "out")
    assert (said.code, said.err) == (1, "")
    assert said.out.splitlines()[-1].startswith("Taken away, because they are of an earlier day: ")
    assert files(Path("out")) == set()


def test_a_narrow_margin_is_told_and_one_without_room_makes_nothing(day: Path) -> None:
    day.write_text(DAYS["nobody leads"][0])
    words = ("day", "mill.yaml", day, "--out", "out", "--cards")
    said = run(*words, "--margin", "3")
    assert said.code == 0
    assert said.err.startswith("A margin of 3 mm is narrower than the strip of about 5 mm ")
    said = run(*words, "--margin", "60")
    assert said.code == 1
    assert said.err.startswith("No cards were made: ")


def test_a_file_in_the_way_is_told_and_ends_with_1(day: Path) -> None:
    day.write_text(DAYS["nobody leads"][0])
    Path("out").mkdir()
    Path("out/the-mill-today-step-in.pdf").write_text("mine")
    words = ("day", "mill.yaml", day, "--out", "out")
    said = run(*words)
    assert said.code == 1
    assert "the-mill-today-step-in.pdf" in said.err
    assert Path("out/the-mill-today-step-in.pdf").read_text() == "mine"
    assert run(*words, "--replace").code == 0
    assert Path("out/the-mill-today-step-in.pdf").read_bytes().startswith(b"%PDF")


TWO_THINGS = (
    "  AB can't be both: taps line 1 (Row the lantern) as beat-keeper, but brings a prop then as "
    "leader. Give one of the two roles to somebody else.\n"
    "  AB can't be both: taps line 2 (Home to the harbour) as beat-keeper, but brings a prop then "
    "as leader. Give one of the two roles to somebody else.\n"
)


def test_two_roles_that_ask_for_both_hands_at_once_are_told(day: Path) -> None:
    """Who brings the silk in line 1 can't tap line 1; the refrain she can."""
    Path("mill.yaml").write_text(STORY.replace("by: prop handler", "by: leader"), encoding="utf-8")
    day.write_text(
        "here: [AB, prop handler]\nroles: {leader: AB, beat-keeper: AB}\ntell: whole\n",
        encoding="utf-8",
    )
    said = run("day", "mill.yaml", day)
    assert (said.code, said.err) == (1, "")
    assert TWO_THINGS in said.out
    assert "Everything is done by somebody." not in said.out
    assert "can't be both: taps the refrain" not in said.out
    story = read_file(Path("mill.yaml")).story
    assert story is not None
    found = read_day(day.read_text(), story).day
    assert found is not None
    outcome = work_out(DayWish(story, found, Choices()))
    assert list(outcome.left) == [line.strip() for line in TWO_THINGS.splitlines()]
    apart = evolve(found, takes=(("leader", "AB"), ("beat-keeper", "CD")), here=("AB", "CD"))
    assert work_out(DayWish(story, apart, Choices())).left == ()


@pytest.mark.parametrize(("option", "what"), [((), "sheets"), (("--cards",), "cards")])
def test_papers_that_can_t_be_made_are_told(
    day: Path, monkeypatch: pytest.MonkeyPatch, option: tuple[str, ...], what: str
) -> None:
    def no_room(*_: object) -> None:
        raise ValueError("no room for the key")

    day.write_text(DAYS["everybody"][0])
    monkeypatch.setattr("tapscore.workflow.today.card_files.card_files", no_room)
    said = run("day", "mill.yaml", day, "--out", "out", *option)
    assert (said.code, said.err) == (1, f"The {what} were not made: no room for the key\n")
    assert not Path("out").exists()
