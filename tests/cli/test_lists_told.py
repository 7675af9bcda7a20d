"""``timing``, ``stories`` and ``felt``: their rows, counts and codes."""

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tapscore.board.words import MODEL_SENTENCE
from tapscore.cli import felt, stories
from tapscore.exports.felt_map import NO_CLAIM_SENTENCE
from tapscore.storyfile.read import read_text
from tapscore.workflow.known_story import KnownStory
from tapscore.workflow.my_stories import StoryList
from tests.cli.running import SOUND, Said, files, run

TIMED = """\
tapscore: 2
title: The Mill
metre: 6/8
tempo: 60
pupils: 2
roles: {leader: {}, beat-keeper: {}}
props: {silk: {what: a scarf}}
refrains:
  turn it:
    - words: Turn it, turn it
      lane: "| X . x X . x |"
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
      - wait: 5
      - refrain: turn it
  - section: The second
    lines:
      - words: Home to the har-bour
        lane: "| X . . x . x | X . . x . . |"
      - offer: silk
        turn: 20
      - refrain: turn it
"""
TABLE = """\
The Mill: 0:55 at least, likely 1:37 to 3:40 (minutes:seconds),
with setting up and coming down 9 to 13 minutes in all

              tapping  refrains     waits     turns  at least   likely
One              0:02      0:02      0:05      0:00      0:09   0:15 to 0:54
The second       0:04      0:02      0:00      0:40      0:46   1:22 to 2:46
Whole story      0:06      0:04      0:05      0:40      0:55   1:37 to 3:40

Fixed by the tempo: 0:10. Waits and turns last as long as the pupils need;
the times here are the least. Turns are counted for 2 pupils (`pupils:`).
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("mill.yaml").write_text(TIMED, encoding="utf-8")
    return tmp_path


@pytest.mark.usefixtures("folder")
def test_each_section_s_times_and_their_sums() -> None:
    """By hand: a felt beat is a second; a wait of 5 and two turns of 20 seconds."""
    said = run("timing", "mill.yaml")
    assert (said.code, said.err) == (0, "")
    table, likely = said.out.split("\nLikely means: ")
    assert table == TABLE
    assert max(map(len, likely.splitlines())) <= 88
    assert likely.endswith("really took.\n")


@pytest.mark.parametrize(
    ("minutes", "code", "first", "last"),
    [
        ("60", 0, "It likely fits 60 minutes as it is.", None),
        ("1.5", 1, "To fit 1.5 minutes:", "Even so it likely does not fit. "),
        ("4", 0, "To fit 4 minutes:", "Then it likely fits."),
    ],
)
def test_fitting_is_told_after_the_times(
    folder: Path, minutes: str, code: int, first: str, last: str | None
) -> None:
    path = folder / "mill.yaml"
    path.write_text(TIMED.replace("turn: 20", "turn: 40"), encoding="utf-8")
    said = run("timing", path, "--fit", minutes)
    assert (said.code, said.err) == (code, "")
    times, steps = said.out.split(f"\n\n{first}\n")
    assert times == run("timing", path).out.rstrip("\n")
    lines = steps.splitlines()
    assert len(lines) > 1
    if last is None:
        assert lines[0] == "To fill 60 minutes, if the pupils want it:"
        assert all(": then likely " in line for line in lines[1:])
    else:
        assert lines[-1].startswith(last)
        assert lines[0] == (
            "  turns of 20 seconds with “silk” instead of 40: saves up to 0:40; "
            "then at least 0:55, likely 1:37 to 3:40"
        )


@pytest.mark.usefixtures("folder")
def test_where_nothing_can_be_shortened_that_is_said() -> None:
    said = run("timing", "mill.yaml", "--fit", "3.5")
    assert said.code == 1
    assert said.out.splitlines()[-1] == (
        "It likely does not fit 3.5 minutes, and nothing in it can be shortened. Tell it in two "
        "parts on two days, or make a short version with `tapscore adapt`."
    )
    assert "To fit" not in said.out
    for wrong in ("0", "601", "-1"):
        assert run("timing", "mill.yaml", "--fit", wrong).code == 2
    assert run("timing", "mill.yaml", "--fit", "600").code == 0


def _known(folder: Path, title: str, **more: Any) -> KnownStory:
    when = datetime(2026, 11, 5, 12).timestamp()
    return KnownStory(folder / f"{title.lower()}.yaml", title, changed_sec=when, known=True, **more)


def _listing(monkeypatch: pytest.MonkeyPatch, found: StoryList) -> None:
    def listed(folder: Path, *, so_far: object, every_sec: float) -> StoryList:
        return found

    monkeypatch.setattr(stories, "stories_in", listed)


def test_stories_with_all_that_is_known_of_them(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    boat = _known(
        folder,
        "Boat",
        metre="6/8",
        term="Autumn",
        class_name="Oak",
        likely_sec=(120.0, 300.0),
        out_of_date=("Papers are old.", "A line is not recorded."),
        twin=True,
    )
    far = _known(folder / ".." / "elsewhere", "Far")
    _listing(monkeypatch, StoryList(folder, (boat, far)))
    assert run("stories", folder) == Said(
        0,
        "Boat  (boat.yaml)\n"
        "    6/8; 2 to 5 minutes; Autumn; Oak; saved 5 November 2026\n"
        "    Papers are old.\n"
        "    A line is not recorded.\n"
        "    Another story here has the same title.\n"
        "Far  (../elsewhere/far.yaml)\n"
        "    saved 5 November 2026\n",
        "",
    )
    said = run("stories", folder, "--format", "json")
    assert (said.code, said.err) == (0, "")
    one, other = json.loads(said.out)
    assert one == {
        **{"file": str(boat.path), "title": "Boat", "metre": "6/8", "term": "Autumn"},
        **{"class": "Oak", "saved": "2026-11-05", "likely_sec": [120.0, 300.0]},
        **{"out of date": ["Papers are old.", "A line is not recorded."], "same title": True},
    }
    assert (other["likely_sec"], other["same title"], other["out of date"]) == (None, False, [])


def test_stories_that_are_looked_for(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    both = StoryList(folder, (_known(folder, "Boat"), _known(folder, "Über")))
    _listing(monkeypatch, both)
    assert run("stories", folder, "--find", "boat").out.startswith("Boat  (")
    assert "Über" not in run("stories", folder, "--find", "boat").out
    none = f"There is no story with “zebra” in it in {folder}.\n"
    assert run("stories", folder, "--find", "zebra") == Said(0, none, "")
    assert run("stories", folder, "--find", "zebra", "--format", "json") == Said(0, "[]\n", none)
    assert '"title": "Über"' in run("stories", folder, "--format", "json").out
    _listing(monkeypatch, StoryList(folder))
    none = f"There is no story in {folder}.\n"
    assert run("stories", folder) == Said(0, none, "")
    assert run("stories", folder, "--find", " ") == Said(0, none, "")
    assert run("stories", folder, "--format", "json") == Said(0, "[]\n", none)


def test_a_folder_that_can_t_be_looked_into(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _listing(monkeypatch, StoryList(folder, (), "The folder is gone."))
    assert run("stories", folder) == Said(2, "", "The folder is gone.\n")
    _listing(monkeypatch, StoryList(folder, (_known(folder, "Boat"),), "Not all was read."))
    said = run("stories", folder)
    assert (said.code, said.err) == (0, "Not all was read.\n")
    assert said.out.startswith("Boat  (boat.yaml)\n")

    monkeypatch.setattr(stories, "_look", lambda *_: None)  # no answer ever comes
    monkeypatch.setattr(stories, "PATIENCE_SEC", 0.05)
    said = run("stories", folder)
    silent = f"{folder} gives no answer. Is its drive there? Try again later.\n"
    assert said == Said(2, "", silent)


@pytest.mark.usefixtures("folder")
def test_a_story_is_put_away_from_the_folder_one_is_in() -> None:
    assert run("stories").out.startswith("The Mill  (mill.yaml)\n")
    assert run("stories", "--archive", "mill.yaml") == Said(0, "put away: Archive/mill.yaml\n", "")
    assert Path("Archive/mill.yaml").is_file()
    assert run("stories", "--archive", "none.yaml") == Said(
        2,
        "",
        "none.yaml was not moved: there is no such file or folder. "
        "Look at the name and the folder.\n",
    )


def test_what_is_no_file_is_not_put_away(folder: Path) -> None:
    Path("term.yaml").mkdir()
    for name in ("none.yaml", "term.yaml"):
        assert run("stories", "--archive", name).code == 2
    assert not Path("Archive").exists()
    assert Path("term.yaml").is_dir()


FELT = """\
tapscore: 2
title: A Boat
metre: 4/4
tempo: 60
board:
  size_cm: [100, 80]
  gap_mm: 40
  spots: {middle: [50, 40]}
  places: {A: {at: [30, 40]}, B: {at: [75, 40]}}
story:
  - section: One
    lines:
      - words: row row row row
        lane: "| x . x . x . x . |"
        stroke: knuckles
        loudness: loud
        warn first: we all look up
      - words: row row row row
        lane: "| x . x . x(quiet) . x(medium) . |"
        stroke: flat hand
        loudness: quiet
"""


def test_strokes_with_every_whole_loudness_in_the_trade_s_order() -> None:
    story = read_text(FELT).story
    assert story is not None
    kinds = [(stroke.word, int(level)) for stroke, level in felt.strokes_of(story)]
    assert kinds == [("flat hand", 1), ("flat hand", 2), ("knuckles", 3)]
    none = read_text(SOUND.replace('        lane: "| X . x X . x |"\n', "")).story
    assert none is not None
    assert [(stroke.word, int(level)) for stroke, level in felt.strokes_of(none)] == [
        ("fingertips", 2)
    ]


def test_one_map_for_each_place_and_stroke_and_what_is_found(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pictures themselves have tests of their own."""
    drawn: list[tuple[str, int, str, str]] = []

    def picture(_: object, stroke: Any, level: Any, place: str, *, title: str) -> bytes:
        drawn.append((stroke.word, int(level), place, title))
        return b"a picture"

    monkeypatch.setattr("tapscore.exports.felt_map.felt_map_png", picture)
    monkeypatch.setattr("tapscore.exports.felt_map.felt_table", lambda *_: "spot,felt é\r\n")
    monkeypatch.setattr("tapscore.exports.felt_map.map_warnings", lambda _: ("Mind the grain.",))
    Path("boat.yaml").write_text(FELT, encoding="utf-8")
    said = run("felt", "boat.yaml", "--out", "new/maps")
    assert (said.code, said.err) == (0, "")
    names = [
        "a-boat-felt.csv",
        *("a-boat-felt-A-flat-hand.png", "a-boat-felt-B-flat-hand.png"),
        *("a-boat-felt-A-knuckles.png", "a-boat-felt-B-knuckles.png"),
    ]
    lines = said.out.splitlines()
    assert lines[:7] == [
        *(f"made new/maps/{name}" for name in names),
        "Mind the grain.",
        f"{MODEL_SENTENCE} {NO_CLAIM_SENTENCE}",
    ]
    assert drawn == [
        *(("flat hand", 2, "A", "A Boat"), ("flat hand", 2, "B", "A Boat")),
        *(("knuckles", 3, "A", "A Boat"), ("knuckles", 3, "B", "A Boat")),
    ]
    assert files(Path("new/maps")) == set(names)
    table = Path("new/maps/a-boat-felt.csv").read_bytes()
    assert table == "\ufeffspot,felt é\r\n".encode()
    Path("new/maps/a-boat-felt-A-knuckles.png").write_bytes(b"mine")
    said = run("felt", "boat.yaml", "--out", "new/maps")
    assert said.code == 1
    assert said.err == (
        "new/maps/a-boat-felt-A-knuckles.png was not made by tapscore, or was changed since. "
        "Nothing was made. Choose another folder or move the file away.\n"
    )
    assert said.out == ""


def test_what_the_model_finds_in_lines_is_told_last(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tapscore.checks.all_rules import FELT_LINE_RULES
    from tapscore.workflow.open_story import open_story

    monkeypatch.setattr(felt, "_write", lambda *_: 0)
    rule = FELT_LINE_RULES[0]
    Path("story.yaml").write_text(rule.bad, encoding="utf-8")
    found = [f for f in open_story(Path("story.yaml"), felt=True).findings if f.code == rule.id]
    rows = [f"look again [{f.code}]\n    {f.message}\n    {f.remedy}\n" for f in found]
    rows = [row.replace("look again", found[0].severity.words) for row in rows]
    assert rows
    assert run("felt", "story.yaml", "--out", "out") == Said(0, "".join(rows), "")
    monkeypatch.setattr(felt, "_write", lambda *_: 1)
    assert run("felt", "story.yaml", "--out", "out") == Said(1, "", "")


def test_why_no_maps_are_made(folder: Path) -> None:
    assert run("felt", "mill.yaml", "--out", "out") == Said(
        1,
        "",
        "Nothing was made: no pupil's place is on the board. Write under `board:` for example "
        "`places: {A: {at: [45, 50]}}`.\n",
    )
    Path("boat.yaml").write_text(FELT, encoding="utf-8")
    said = run("felt", "boat.yaml", "--out", "boat.yaml")
    assert said == Said(1, "", "boat.yaml can't be used: that name is taken. Choose another.\n")
    assert not Path("out").exists()
