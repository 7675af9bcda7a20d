"""``tapscore fit``: which lines and ways are shown, which is written, and why it can't be."""

from pathlib import Path

import pytest

from tapscore.model.lane import Lane
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_file
from tapscore.workflow.fit_report import LineFit, line_fits
from tests.cli.running import Said, run, usage

STORY = """\
# of our own
tapscore: 2
title: The Mill
metre: 6/8
roles: {leader: {}}
refrains:
  turn it:
    - words: Turn it, turn it
      lane: "| X . x X . x |"
    - words: all day
story:
  - section: One
    lines:
      - words: The lan-tern glows
        lane: "x | X . x X . . |"
      - refrain: turn it
      - words: Over the water we go
  - section: Two
    lines:
      - words: Quick-ly row-ing
        lane: "| xX . x . . . | t . . s . . |"
      - words: "..."
      - refrain: turn it
"""
NAMES = ["1", "turn it 1", "turn it 2", "2", "3", "4"]


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path("mill.yaml")
    path.write_text(STORY, encoding="utf-8")
    return path


def fits_of(file: Path) -> dict[str, LineFit]:
    story = read_file(file).story
    assert story is not None
    return {fit.name: fit for fit in line_fits(story)}


def shown(said: Said) -> list[str]:
    """Names of the lines that are shown."""
    assert said.err == ""
    heads = [line for line in said.out.splitlines() if "  6/8  " in line]
    return [head.split("  ")[0] for head in heads]


def test_syllables_stand_over_their_marks(file: Path) -> None:
    fits = fits_of(file)
    told = {name: run("fit", file, "--line", name) for name in NAMES}
    assert {said.code for said in told.values()} == {0}
    one, three = fits["1"].written, fits["3"].written
    assert one is not None
    assert three is not None
    number = [way.lane for way in fits["1"].ways].index(one.lane) + 1
    assert told["1"].out == (
        f"1  6/8  as written, {number} of {len(fits['1'].ways)}\n"
        "    The   lan-   tern glows\n"
        "    x   | X    . x    X     . .\n"
        f"    {one.sentence}\n\n"
    )
    assert told["3"].out == (
        "3  6/8  as written\n"
        "      Quick-ly   row-               ing\n"
        "    | xX       . x    . . . | t . . s   . .\n"
        f"    {three.sentence}\n\n"
    )
    assert told["4"].out == "4  6/8  no rhythm yet\n    ...\n\n"


def test_a_line_without_a_rhythm_is_shown_with_its_best(file: Path) -> None:
    best = fits_of(file)["2"].ways[0]
    alone = run("fit", file, "--line", "2").out.splitlines()
    assert alone[0] == "2  6/8  no rhythm yet"
    assert alone[2].split() == lane_text(best.lane).rstrip("| ").split()
    assert alone[3:] == [f"    {best.sentence}", ""]


def test_which_lines_are_shown(file: Path) -> None:
    assert shown(run("fit", file)) == NAMES
    assert shown(run("fit", file, "--section", "One")) == ["1", "2"]
    assert shown(run("fit", file, "--section", "Two")) == ["3", "4"]
    assert shown(run("fit", file, "--section", "Two", "--line", "3")) == ["3"]
    assert shown(run("fit", file, "--line", "turn it 2")) == ["turn it 2"]


def test_what_metre_would_suit_is_said_of_sections_and_not_of_a_line(file: Path) -> None:
    told = run("fit", file, "--alternatives").out.splitlines()
    heads = [line.split(": ")[0] for line in told[-2:]]
    assert heads == ["One", "Two"]
    one = run("fit", file, "--alternatives", "--section", "Two").out.splitlines()
    assert one[-1] == told[-1]
    assert told[-2] not in one
    line = run("fit", file, "--alternatives", "--line", "1").out
    assert told[-2] not in line


def test_other_ways_are_numbered_and_what_is_written_is_marked(file: Path) -> None:
    fit = fits_of(file)["turn it 1"]
    assert fit.written is not None
    same = [at for at, way in enumerate(fit.ways, 1) if way.lane == fit.written.lane]
    said = run("fit", file, "--line", "turn it 1", "--alternatives").out
    ways = said.split("\n  way ")[1:]
    assert len(ways) == len(fit.ways)
    for at, (text, way) in enumerate(zip(ways, fit.ways, strict=True), 1):
        first, _, marks, sentence, *more = text.rstrip("\n").split("\n")
        assert first == (f"{at} (as it is)" if at in same else f"{at}")
        assert marks.split() == lane_text(way.lane).rstrip("| ").split()
        assert sentence == f"    {way.sentence}"
        against = [f"    Against what is written: {way.change}"]
        assert more == ([] if at in same else against)
    assert same
    assert "way" not in run("fit", file, "--line", "turn it 1").out


def test_nothing_is_against_what_is_not_written(file: Path) -> None:
    said = run("fit", file, "--line", "2", "--alternatives").out
    assert said.count("\n  way ") == len(fits_of(file)["2"].ways) >= 2
    assert "(as it is)" not in said
    assert "Against what is written" not in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ("--section", "Tow"),
            "There is no section “Tow”. Did you mean `Two`? There are: “One”, “Two”.",
        ),
        (("--line", "9"), f"There is no line 9. There are: {', '.join(NAMES)}."),
        (
            ("--line", "3", "--section", "One"),
            f"There is no line 3. There are: {', '.join(NAMES)}.",
        ),
        (("--use", "1"), "Say for which line with --line N."),
        (("--taps", "taps.txt"), "Say for which line with --line N."),
        (("--line", "turn it 1", "--use", "0"), "Line turn it 1 has ways 1 to 5."),
        (("--line", "turn it 1", "--use", "6"), "Line turn it 1 has ways 1 to 5."),
        (
            ("--line", "1", "--taps", "one.txt"),
            "Two taps at least, and a line with words, are needed.",
        ),
        (
            ("--metre", "4/5"),
            "There is no metre “4/5”. There are: 2/4, 3/4, 4/4, 6/8, 9/8, 12/8, 2/2, 5/4, 3/8.",
        ),
        (
            ("--metre", "3/4", "--line", "1"),
            "A metre holds for a story or a section: say --section, not --line.",
        ),
    ],
    ids=" ".join,
)
def test_what_is_not_there_ends_with_1(file: Path, words: tuple[str, ...], says: str) -> None:
    Path("one.txt").write_text("1.5\n")
    Path("taps.txt").write_text("1.5\n2\n")
    said = run("fit", file, *words)
    assert (said.code, said.out, said.err) == (1, "", f"{says}\n")
    assert file.read_text(encoding="utf-8") == STORY


@pytest.mark.parametrize(
    ("text", "why"),
    [("soon\n", "line 1 is no time in seconds: soon"), (None, "there is no such file or folder")],
)
def test_taps_that_can_t_be_used_end_with_2(file: Path, text: str | None, why: str) -> None:
    if text is not None:
        Path("taps.txt").write_text(text)
    said = run("fit", file, "--line", "1", "--taps", "taps.txt")
    assert (said.code, said.out) == (2, "")
    assert said.err == f"taps.txt can't be used: {why}.\n"


def test_one_way_of_one_line_is_taken_over_its_taps(file: Path) -> None:
    fit = fits_of(file)["turn it 1"]
    assert fit.written is not None
    for number, way in enumerate(fit.ways, 1):
        file.write_text(STORY, encoding="utf-8")
        said = run("fit", file, "--line", "turn it 1", "--use", number)
        assert (said.code, said.err) == (0, "")
        if way.lane == fit.written.lane:
            assert said.out == "Nothing to change.\n"
            assert file.read_text(encoding="utf-8") == STORY
        else:
            assert said.out == "Changed: line turn it 1.\n"
            assert _lane(file, "turn it 1") == way.lane


def test_only_lines_without_a_rhythm_are_written_each_with_its_best(file: Path) -> None:
    before = fits_of(file)
    said = run("fit", file, "--write")
    assert (said.code, said.out, said.err) == (0, "Changed: lines turn it 2, 2.\n", "")
    for name, fit in fits_of(file).items():
        was = before[name]
        wanted = was.written or (was.ways[0] if was.ways else None)
        assert (fit.written and fit.written.lane) == (wanted and wanted.lane)
    text = file.read_text(encoding="utf-8")
    assert text.startswith("# of our own\n")
    again = run("fit", file, "--write")
    assert (again.code, again.out) == (0, "Nothing to change.\n")
    assert file.read_text(encoding="utf-8") == text


def test_a_section_s_lines_alone_are_written(file: Path) -> None:
    assert run("fit", file, "--write", "--section", "Two").out == "Nothing to change.\n"
    assert run("fit", file, "--write", "--section", "One").out == "Changed: line 2.\n"


def test_taps_are_read_and_the_first_way_taken_if_asked(file: Path) -> None:
    Path("taps.txt").write_text("1\n1.5\n2.0\n2.5\n")
    words = ("fit", file, "--line", "1", "--taps", "taps.txt")
    said = run(*words)
    assert (said.code, said.err) == (0, "")
    assert "  way 1\n" in said.out
    assert "as tapped, " in said.out.split("  way 2")[0]
    assert said.out.count(" beats a minute") == said.out.count("  way ") >= 2
    assert "without a tap" not in said.out
    assert file.read_text(encoding="utf-8") == STORY
    marks = said.out.split("  way 1\n")[1].splitlines()[1].split()
    assert run(*words, "--use", 1).out == "Changed: line 1.\n"
    lane = _lane(file, "1")
    assert lane is not None
    assert lane_text(lane).rstrip("| ").split() == marks


def test_syllables_and_taps_too_many_are_told(file: Path) -> None:
    Path("taps.txt").write_text("1\n1.5\n2.0\n")
    few = run("fit", file, "--line", "1", "--taps", "taps.txt").out
    assert "; without a tap: " in few
    Path("taps.txt").write_text("1\n1.5\n2.0\n2.5\n3\n")
    assert "; 1 tap left out" in run("fit", file, "--line", "1", "--taps", "taps.txt").out
    Path("taps.txt").write_text("1\n1.5\n2.0\n2.5\n3\n3.5\n4\n")
    many = run("fit", file, "--line", "1", "--taps", "taps.txt").out
    assert "; 3 taps left out" in many


def test_another_metre_of_the_story_or_a_section(file: Path) -> None:
    said = run("fit", file, "--metre", "3/4", "--section", "One")
    assert (said.code, said.err) == (0, "")
    story = read_file(file).story
    assert story is not None
    assert str(story.manner.metre) == "6/8"
    assert [str(each.manner.metre) if each.manner.metre else None for each in story.sections] == [
        "3/4",
        None,
    ]
    file.write_text(STORY.replace("x X . . |", "x X x . |"), encoding="utf-8")
    whole = run("fit", file, "--metre", "2/4")
    assert whole.code == 0
    story = read_file(file).story
    assert story is not None
    assert str(story.manner.metre) == "2/4"


def test_a_metre_that_changes_no_line_is_not_called_nothing(file: Path) -> None:
    file.write_text(STORY.replace('        lane: "| xX . x . . . | t . . s . . |"\n', ""))
    said = run("fit", file, "--metre", "2/4", "--section", "Two")
    assert said == Said(0, "Changed: the metre. Every line's rhythm is as it was.\n", "")
    again = run("fit", file, "--metre", "2/4", "--section", "Two")
    assert again == Said(0, "Nothing to change.\n", "")


def test_lines_made_by_hand_are_named(file: Path) -> None:
    said = run("fit", file, "--metre", "2/4")
    assert said.out.startswith("Made by hand and left as it is: line ")
    listed = said.out.splitlines()[0].removeprefix("Made by hand and left as it is: line ")
    hint = ". Look at its bars, or fit one anew with --line and --use 1."
    assert listed.removesuffix(hint).split(", ")[-1] == "3"
    assert run("fit", file, "--line", "3", "--use", 1).out == "Changed: line 3.\n"


def test_fewer_taps_in_the_lines_that_are_chosen(file: Path) -> None:
    said = run("fit", file, "--tapped", "strong", "--section", "One")
    assert said == Said(0, "Changed: line 1.\n", "")
    assert '"s | X . s s . . |"' in file.read_text(encoding="utf-8")
    assert '"| xX . x . . . |' in file.read_text(encoding="utf-8")
    back = run("fit", file, "--tapped", "every", "--line", "1")
    assert back.code == 0
    bad = usage(run("fit", file, "--tapped", "some"))
    assert bad == ("Invalid value for '--tapped': 'some' is not one of 'every', 'beats', 'strong'.")


def test_a_story_that_can_t_be_written_is_told(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tapscore.cli.fit.save_story", full)
    said = run("fit", file, "--write")
    assert said == Said(1, "", "mill.yaml can't be written: the disc is full.\n")


def _lane(file: Path, name: str) -> Lane | None:
    written = fits_of(file)[name].written
    return None if written is None else written.lane
