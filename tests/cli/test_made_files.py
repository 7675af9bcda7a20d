"""What ``new``, ``adapt``, ``export`` and ``day`` make, of which choices, and what they say."""

from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

from tapscore.checks.all_rules import ALL_RULES
from tapscore.checks.rule import Rule
from tapscore.cli import day as day_command
from tapscore.cli import export as export_command
from tapscore.model.finding import Finding, Severity
from tapscore.model.loudness import Loudness
from tapscore.storyfile.read import read_file, read_text
from tapscore.wording.about import About
from tapscore.workflow.adapt import BOUNDS, CopyWay, adapt
from tapscore.workflow.export_story import Exported, Made
from tapscore.workflow.open_story import checked
from tapscore.workflow.product import Choices
from tapscore.workflow.products import EXPORT_NAMES
from tapscore.workflow.starters import starters
from tests.cli.running import SOUND, Said, files, run, usage

WORDS = "The Mill\n\nDown by the water, down by the mill\n"
ALREADY = Said(1, "", "out.yaml is already there. Choose another name.\n")
NOT_THERE = "can't be written: there is no such file or folder. Choose another folder.\n"


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path("mill.yaml")
    path.write_text(SOUND, encoding="utf-8")
    Path("words.txt").write_text(WORDS, encoding="utf-8")
    return path


def test_a_story_from_plain_words(file: Path) -> None:
    made = Said(0, "made out.yaml. Next: tapscore check out.yaml\n", "")
    assert run("new", "out.yaml", "--from", "words.txt", "--metre", "3/4") == made
    story = read_file(Path("out.yaml")).story
    assert story is not None
    assert (story.title, str(story.manner.metre)) == ("The Mill", "3/4")
    assert run("new", "out.yaml", "--from", "words.txt") == ALREADY
    assert (
        run("new", "b.yaml", "--from", "words.txt", "--metre", "3/4", "--tapped", "strong").code
        == 0
    )
    assert Path("b.yaml").read_text().count("x") < Path("out.yaml").read_text().count("x")
    said = run("new", "c.yaml", "--from", "words.txt", "--metre", "4/5")
    listed = "2/4, 3/4, 4/4, 6/8, 9/8, 12/8, 2/2, 5/4, 3/8"
    assert said == Said(1, "", f"There is no metre “4/5”. There are: {listed}.\n")
    said = run("new", "none/c.yaml", "--from", "words.txt")
    assert said == Said(1, "", f"none/c.yaml {NOT_THERE}")
    said = run("new", "c.yaml", "--from", "none.txt")
    assert said == Said(
        2, "", "none.txt can't be read: there is no such file or folder. Look at the name.\n"
    )
    assert files(Path()) == {"mill.yaml", "words.txt", "out.yaml", "b.yaml"}


def test_a_story_from_a_starter(file: Path) -> None:
    said = run("new", "out.yaml", "--starter", "meal", "--fill", "dish = pie ")
    assert said == Said(
        0,
        "made out.yaml. Next: tapscore check out.yaml\n"
        "still ours: What goes into the pot? Now “carrots”.\n",
        "",
    )
    assert "pie" in Path("out.yaml").read_text()
    assert run("new", "out.yaml", "--starter", "meal") == ALREADY
    said = run("new", "none/c.yaml", "--starter", "meal")
    assert said == Said(1, "", f"none/c.yaml {NOT_THERE}")
    for fill, why in (
        ("pan=iron", "There is no gap “pan” in this starter; there are: food, dish.\n"),
        ("food=7", "“7” can't stand for food: write a word or two, letters alone.\n"),
    ):
        said = run("new", "c.yaml", "--starter", "meal", "--fill", fill)
        assert said == Said(1, "", why)
    assert files(Path()) == {"mill.yaml", "words.txt", "out.yaml"}


def test_starters_are_listed_with_their_gaps(file: Path) -> None:
    lines = ["There is no story starter “party”. There are:"]
    for each in starters():
        lines.append(f"  {each.name}: “{each.title}”")
        for gap in each.gaps:
            usual = "".join(gap.usual.split("-"))
            lines.append(f"      {gap.name}: {gap.asks} ({usual})")
    assert run("new", "c.yaml", "--starter", "party") == Said(1, "", "\n".join(lines) + "\n")
    assert "going-to-sleep: “Off to Sleep”" in lines[1]
    assert lines[2] == "      one: Who goes to sleep? (owl)"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "Say what to begin with: --from TEXT, or --starter NAME."),
        (
            ("--from", "words.txt", "--starter", "meal"),
            "Say what to begin with: --from TEXT, or --starter NAME.",
        ),
        (
            ("--starter", "meal", "--fill", "food=rice", "--fill", "dish"),
            "Write a gap and its words with =, as in --fill ride=train.",
        ),
        (("--from", "words.txt", "--fill", "food=rice"), "--fill goes with --starter."),
        (
            ("--starter", "meal", "--metre", "3/4"),
            "--metre and --tapped go with --from; for a story that is there: tapscore fit.",
        ),
        (
            ("--starter", "meal", "--tapped", "beats"),
            "--metre and --tapped go with --from; for a story that is there: tapscore fit.",
        ),
    ],
)
def test_what_does_not_go_together_makes_nothing(
    file: Path, words: tuple[str, ...], says: str
) -> None:
    assert usage(run("new", "c.yaml", *words)) == says
    assert not Path("c.yaml").exists()


def test_an_adapted_copy_lists_its_changes(file: Path) -> None:
    story = read_file(file).story
    assert story is not None
    for way in CopyWay:
        lines = [f"made {way.value}.yaml", "", BOUNDS[way], "", "Changed:"]
        lines += [f"  {each}" for each in adapt(story, way).said]
        lines += ["", f"Next: tapscore check {way.value}.yaml"]
        said = run("adapt", file, f"{way.value}.yaml", f"--{way.value}")
        assert said == Said(0, "\n".join(lines) + "\n", "")
        copy = read_file(Path(f"{way.value}.yaml")).story
        assert copy is not None
        assert copy.title == f"The Mill ({way.value})"


def test_why_no_copy_is_made(file: Path) -> None:
    one = "Say one of --gentler, --livelier or --short."
    assert usage(run("adapt", file, "out.yaml")) == one
    assert usage(run("adapt", file, "out.yaml", "--gentler", "--livelier")) == one
    both = "--tapped goes with --gentler; for the story itself: tapscore fit."
    for way in ("--livelier", "--short"):
        assert usage(run("adapt", file, "out.yaml", way, "--tapped", "beats")) == both
    said = run("adapt", file, "none/out.yaml", "--short")
    assert said == Said(1, "", f"none/out.yaml {NOT_THERE}")
    Path("out.yaml").write_text("mine")
    assert run("adapt", file, "out.yaml", "--short") == ALREADY
    assert Path("out.yaml").read_text() == "mine"


def test_a_gentler_copy_is_tapped_as_asked(file: Path) -> None:
    lanes = {}
    for which in ("every", "strong"):
        assert run("adapt", file, f"{which}.yaml", "--gentler", "--tapped", which).code == 0
        text = Path(f"{which}.yaml").read_text()
        lanes[which] = next(line.split('"')[1] for line in text.splitlines() if "lane:" in line)
    assert lanes == {"every": "| x . x X . x |", "strong": "| x . s s . s |"}


USUAL = Choices(beside=Path(), recordings=Path("mill recordings"))
CHOSEN: list[tuple[tuple[str, ...], dict[str, Any]]] = [
    ((), {}),
    (("--paper", "a6"), {"card_paper": "A6"}),
    (("--part-paper", "a3"), {"part_paper": "A3"}),
    (("--other-paper", "letter"), {"other_paper": "Letter"}),
    (("--margin", "0"), {"margin_mm": 0.0}),
    (("--margin", "100"), {"margin_mm": 100.0}),
    (("--distance", "0.3"), {"distance_m": 0.3}),
    (("--distance", "3"), {"distance_m": 3.0}),
    (("--sheet", "4"), {"per_sheet": 4}),
]
FOR_EXPORT: list[tuple[tuple[str, ...], dict[str, Any]]] = [
    (("--backs",), {"backs": True}),
    (("--sound", "flac"), {"sound": "flac"}),
    (("--mono",), {"mono": True}),
    (("--short",), {"short_turns": True}),
    (("--taps-at-most", "quiet"), {"loudest_heard": Loudness.QUIET}),
]


@pytest.mark.parametrize(("words", "chosen"), [*CHOSEN, *FOR_EXPORT])
def test_each_option_of_export_changes_its_choice_alone(
    file: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], chosen: dict[str, Any]
) -> None:
    asked: list[tuple[object, ...]] = []

    def noted(
        story: object,
        folder: Path,
        *,
        only: object,
        choices: Choices,
        replace: bool,
        report: object,
    ) -> Exported:
        asked.append((folder, only, choices, replace))
        return Exported((), ())

    monkeypatch.setattr(export_command, "export_story", noted)
    assert run("export", file, "--out", "out", *words) == Said(0, "", "")
    assert asked == [(Path("out"), (), evolve(USUAL, **chosen), False)]
    asked.clear()
    run("export", file, "--out", "out", "--replace", "--only", "score, ,cue-sheet,", *words)
    assert asked == [(Path("out"), ("score", "cue-sheet"), evolve(USUAL, **chosen), True)]


@pytest.mark.parametrize(("words", "chosen"), [*CHOSEN, (("--cards",), {"by_heart": True})])
def test_each_option_of_day_changes_its_choice_alone(
    file: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], chosen: dict[str, Any]
) -> None:
    asked: list[tuple[object, ...]] = []

    def noted(*given: object, replace: bool) -> int:
        asked.append((*given, replace))
        return 0

    monkeypatch.setattr(day_command, "run_day", noted)
    assert run("day", file, "day.yaml", *words) == Said(0, "", "")
    assert run("day", file, "day.yaml", "--out", "out", "--replace", *words).code == 0
    choices = evolve(USUAL, recordings=None, **chosen)
    assert asked == [
        (file, Path("day.yaml"), None, choices, False),
        (file, Path("day.yaml"), Path("out"), choices, True),
    ]


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--distance", "0.29", "0.29 is not in the range 0.3<=x<=3.0."),
        ("--distance", "3.1", "3.1 is not in the range 0.3<=x<=3.0."),
        ("--margin", "100.5", "100.5 is not in the range 0<=x<=100."),
        ("--sheet", "3", "'3' is not one of '1', '2', '4'."),
        ("--part-paper", "A9", "such as 120x180"),
        ("--sound", "wma", "'wma' is not one of 'mp3', 'm4a', 'ogg', 'flac', 'wav'."),
        (
            "--taps-at-most",
            "very loud",
            "'very loud' is not one of 'very quiet', 'quiet', 'medium', 'loud'.",
        ),
    ],
)
def test_choices_there_are_none_of(file: Path, option: str, value: str, says: str) -> None:
    said = usage(run("export", file, "--out", "out", option, value))
    assert said.startswith(f"Invalid value for '{option}': ")
    assert says in said
    assert not Path("out").exists()


def test_an_export_there_is_none_of_is_named_with_all_there_are(file: Path) -> None:
    said = usage(run("export", file, "--out", "out", "--only", "score,cue-card,x"))
    assert said == (
        "There is no export “cue-card”. Did you mean `cue-cards`? There are: "
        f"{', '.join(EXPORT_NAMES)}."
    )
    assert EXPORT_NAMES[0] in run("export", "--help").out


def test_what_was_made_is_told_apart_from_what_was_not(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second, opinion = (
        Finding(rule.id, Severity.ADVICE, about=found) for rule, found in _examples(3)
    )
    made = (Made(Path("out/a.pdf"), (first, second)), Made(Path("out/b.pdf"), (first,)))
    printed: list[tuple[str, ...]] = []

    def export(*_: object, **__: object) -> Exported:
        return Exported(made, ("c.pdf was not made: no room",), (opinion,))

    monkeypatch.setattr(export_command, "export_story", export)
    monkeypatch.setattr(export_command, "note_printed", lambda *given: printed.append(given[2]))
    said = run("export", file, "--out", "out")
    assert said.code == 1
    assert said.out == "made out/a.pdf\nmade out/b.pdf\n"
    assert said.err.splitlines() == [
        f"{opinion.message} {opinion.remedy}",
        f"    {first.message} {first.remedy}",
        f"    {second.message} {second.remedy}",
        "c.pdf was not made: no room",
    ]
    assert printed == [()]


def test_how_far_a_file_is_stands_on_a_terminal_alone(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for terminal in (True, False):
        monkeypatch.setattr("sys.stderr.isatty", lambda is_one=terminal: is_one)
        report = export_command._Progress()
        for share in (0.25, 0.999, 1.0):
            report("a.mp3", share)
        told = capsys.readouterr()
        assert told.out == ""
        lines = "\r  a.mp3   25%\r  a.mp3  100%\r  a.mp3  100%\n"
        assert told.err == (lines if terminal else "")


def _examples(count: int) -> list[tuple[Rule, About]]:
    """Rules, each with what it finds in its own bad example."""
    found: list[tuple[Rule, About]] = []
    for rule in ALL_RULES:
        hit = [f for f in checked(read_text(rule.bad)).findings if f.code == rule.id]
        found += [(rule, hit[0].about)] if hit else []
        if len(found) == count:
            break
    return found
