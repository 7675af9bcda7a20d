"""A change of metre: untouched lines are fitted anew, rhythms made by hand stay."""

from pathlib import Path

import pytest
from attrs import evolve
from click.testing import CliRunner

from tapscore.cli.app import main
from tapscore.model import edits
from tapscore.model.fewer_taps import Tapped
from tapscore.model.lane import Mark
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.storyfile.lane_text import Names, lane_text, parse_lane
from tapscore.storyfile.read import read_file, read_text
from tapscore.workflow.new_story import new_story_text
from tapscore.workflow.open_story import checked
from tapscore.workflow.refitting import with_metre
from tapscore.workflow.thinning import thinned

TEXT = """\
Stomp and stomp and stomp away,
splash along the stream,
over the hill in the middle of May,
ending in a dream.

Pitter patter on the roof,
listen to the rain.
"""
SIX = Metre(6, 8)


@pytest.fixture
def story(tmp_path: Path) -> Story:
    source = tmp_path / "walk.txt"
    source.write_text(TEXT, encoding="utf-8")
    found = read_text(new_story_text(source, metre=Metre(4, 4))).story
    assert found is not None
    return found


def lanes(story: Story) -> list[str]:
    return [
        lane_text(item.lane)
        for section in story.sections
        for item in section.items
        if isinstance(item, Line) and item.lane is not None
    ]


def by_hand(story: Story) -> Story:
    line = story.sections[0].items[1]
    assert isinstance(line, Line)
    lane, _ = parse_lane("| X . . x x . . . | X . . . . . . . |", Names())
    return edits.replace_item(story, ("story", 0, "lines", 1), evolve(line, lane=lane))


def test_untouched_lines_are_fitted_anew_and_bars_are_whole(story: Story) -> None:
    made = with_metre(story, SIX)
    assert len(made.changed) == 6
    assert not made.kept
    assert made.story.manner.metre == SIX
    found = [f.code for f in checked(read_text(written(made.story))).findings]
    assert not {"bars-full", "pickup-joins", "stress-on-beat"} & set(found)


def written(story: Story) -> str:
    from tapscore.storyfile.write import write_story

    return write_story(story)


def test_a_rhythm_made_by_hand_stays(story: Story) -> None:
    mine = by_hand(story)
    made = with_metre(mine, SIX)
    assert made.kept == (("story", 0, "lines", 1),)
    assert lanes(made.story)[1] == lanes(mine)[1]
    assert lanes(made.story)[0] != lanes(mine)[0]


def test_there_and_back_is_as_before(story: Story) -> None:
    back = with_metre(with_metre(story, SIX).story, Metre(4, 4)).story
    assert lanes(back) == lanes(story)


def test_fewer_taps_stay_fewer(story: Story) -> None:
    thin, changed = thinned(story, Tapped.BEATS)
    assert changed
    made = with_metre(thin, SIX)
    assert len(made.changed) == 6
    for section in made.story.sections:
        for item in section.items:
            assert isinstance(item, Line)
            assert item.lane is not None
            taps = sum(c.mark.tapped for bar in item.lane.all_bars for s in bar for c in s)
            assert taps < item.lane.syllables == len(item.syllables)


def test_one_section_alone(story: Story) -> None:
    title = story.sections[1].title
    made = with_metre(story, SIX, lambda name: name == title)
    assert [path[1] for path in made.changed] == [1, 1]
    assert made.story.sections[1].manner.metre == SIX
    assert made.story.manner.metre == Metre(4, 4)
    assert lanes(made.story)[:4] == lanes(story)[:4]


def test_the_same_metre_changes_nothing(story: Story) -> None:
    made = with_metre(story, Metre(4, 4))
    assert not made.changed
    assert lanes(made.story) == lanes(story)


def test_fit_command(tmp_path: Path, story: Story) -> None:
    path = tmp_path / "story.yaml"
    path.write_text(written(by_hand(story)), encoding="utf-8")
    run = CliRunner().invoke
    told = run(main, ["fit", str(path), "--metre", "6/8"])
    assert told.exit_code == 0
    assert "Made by hand and left as it is: line 2." in told.output
    assert "Changed: lines 1, 3, 4, 5, 6." in told.output
    assert run(main, ["fit", str(path), "--metre", "7/9"]).exit_code == 1
    wrong = run(main, ["fit", str(path), "--section", "Pitter pater on the"])
    assert wrong.exit_code == 1
    assert "Did you mean" in wrong.output
    assert run(main, ["fit", str(path), "--metre", "6/8", "--line", "1"]).exit_code == 1
    thin = run(main, ["fit", str(path), "--tapped", "strong", "--line", "1"])
    assert thin.output == "Changed: line 1.\n"
    again = read_file(path).story
    assert again is not None
    first = again.sections[0].items[0]
    assert isinstance(first, Line)
    assert first.lane is not None
    marks = [cell.mark for bar in first.lane.all_bars for step in bar for cell in step]
    assert marks.count(Mark.SYLLABLE_ALONE) > marks.count(Mark.SYLLABLE_TAPPED) >= 1


def test_fit_says_what_other_metre_would_suit(tmp_path: Path) -> None:
    source = tmp_path / "rock.txt"
    source.write_text(
        "Gallop away on a galloping horse\nover the hills and the meadows of course\n"
        "hurrying homewards and carrying hay\nmerrily merrily all through the day\n",
        encoding="utf-8",
    )
    path = tmp_path / "rock.yaml"
    run = CliRunner().invoke
    made = run(
        main, ["new", str(path), "--from", str(source), "--metre", "4/4", "--tapped", "beats"]
    )
    assert made.exit_code == 0
    told = run(main, ["fit", str(path)])
    assert "6/8 would suit these words better. Long and short" in told.output
    assert "In 6/8 " in told.output
    assert "strong beat" in told.output.partition("In 6/8 ")[2]
    assert "as written" in told.output
    ways = run(main, ["fit", str(path), "--line", "1", "--alternatives"]).output
    assert ways.count("Against what is written: ") >= 3
    assert (
        run(
            main, ["new", str(tmp_path / "x.yaml"), "--from", str(source), "--metre", "x"]
        ).exit_code
        == 1
    )


def test_a_section_that_is_not_asked_for_keeps_the_metre_of_its_own(story: Story) -> None:
    one, two = story.sections
    own = evolve(two, manner=evolve(two.manner, metre=Metre(2, 4)))
    story = evolve(story, sections=(one, own))
    made = with_metre(story, SIX, lambda title: title == one.title).story
    assert [section.manner.metre for section in made.sections] == [SIX, Metre(2, 4)]
    assert made.sections[1] == own
