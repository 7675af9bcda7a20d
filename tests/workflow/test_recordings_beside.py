"""Stories that are called the same but for the ending: each has recordings and a day of its own."""

from pathlib import Path

import pytest
from attrs import evolve

from tapscore.model.day import Day
from tapscore.model.story import Line, Section, Story
from tapscore.storyfile.write import write_story
from tapscore.workflow.belongings import archive, belongings, bring_along
from tapscore.workflow.keeping.save_story import save_story
from tapscore.workflow.recording_lines import keep_take, lines_to_record, take_away
from tapscore.workflow.recordings_beside import recordings_beside, recordings_folder
from tapscore.workflow.today.day_beside import day_path, load_day, save_day
from tests.exports.audio.voice.voices import tone

STORY = Story("Mill", sections=(Section("One", (Line("Up the steps"), Line("down the hall"))),))


def save(path: Path, story: Story = STORY) -> Path:
    save_story(path, write_story(story))
    return path


def record(path: Path, number: int, seconds: float = 1.0) -> None:
    folder = recordings_folder(path)
    keep_take(folder, lines_to_record(STORY, folder)[number - 1], tone(seconds), 8000)


def recorded(path: Path) -> dict[str, str]:
    """Which lines are heard of a story, and from where."""
    lines = lines_to_record(STORY, recordings_folder(path))
    return {each.short_name: each.file.parent.name for each in lines if each.file is not None}


@pytest.fixture
def yaml(tmp_path: Path) -> Path:
    return save(tmp_path / "mill.yaml")


def test_a_story_alone_has_a_folder_of_its_name(yaml: Path) -> None:
    assert recordings_folder(yaml).name == "mill recordings"
    record(yaml, 1)
    assert recorded(yaml) == {"1": "mill recordings"}
    assert recordings_folder(Path("a/The Boat.yaml")) == Path("a/The Boat recordings")


def test_another_story_of_the_name_begins_with_none_and_takes_none_away(yaml: Path) -> None:
    record(yaml, 1)
    other = save(yaml.with_suffix(".tapscore"))
    assert (recorded(yaml), recorded(other)) == ({"1": "mill.yaml recordings"}, {})
    assert belongings(other, None).recordings is None
    record(other, 1, 2.0)
    assert recorded(other) == {"1": "mill.tapscore recordings"}
    assert recordings_beside(yaml).joinpath("01.wav").stat().st_size < (
        recordings_beside(other).joinpath("01.wav").stat().st_size
    )
    # Saved once more, or a third story of the name: nothing moves.
    save(other)
    save(yaml.with_suffix(".yml"))
    assert recorded(yaml) == {"1": "mill.yaml recordings"}
    # With the other gone, it stays where it is.
    yaml.unlink()
    assert recorded(other) == {"1": "mill.tapscore recordings"}


def test_what_both_had_is_kept_for_both(yaml: Path) -> None:
    """As it was before each had its own: nobody can say whose they are."""
    other = yaml.with_suffix(".tapscore")
    other.write_bytes(yaml.read_bytes())
    shared = yaml.with_name("mill recordings")
    for number in (1, 2):
        keep_take(shared, lines_to_record(STORY, shared)[number - 1], tone(1.0), 8000)
    both = {"1": "mill recordings", "2": "mill recordings"}
    assert recorded(yaml) == recorded(other) == both
    folder = recordings_folder(other)
    assert take_away(folder, lines_to_record(STORY, folder)[0]).parent.parent == folder
    assert recorded(other) == {"2": "mill.tapscore recordings"}
    assert recorded(yaml) == both
    # The other keeps the rest for itself, with the name it has now, once it is changed.
    record(yaml, 1, 2.0)
    assert recorded(yaml) == {"1": "mill.yaml recordings", "2": "mill.yaml recordings"}
    assert not shared.exists()
    assert (recordings_beside(yaml) / "earlier" / "01 (1).wav").exists()


def test_a_copy_of_the_same_name_gets_copies(yaml: Path) -> None:
    record(yaml, 2)
    other = save(yaml.with_suffix(".tapscore"))
    (said,) = bring_along(yaml, other, STORY, recordings=True)
    assert said == "Copied mill.tapscore recordings."
    assert (recorded(yaml), recorded(other)) == (
        {"2": "mill.yaml recordings"},
        {"2": "mill.tapscore recordings"},
    )


def test_putting_one_away_leaves_the_other_what_is_its_own(yaml: Path) -> None:
    other = yaml.with_suffix(".tapscore")
    other.write_bytes(yaml.read_bytes())
    shared = yaml.with_name("mill recordings")
    keep_take(shared, lines_to_record(STORY, shared)[0], tone(1.0), 8000)
    yaml.with_name("mill today.yaml").write_text("here: []\n")
    there = archive(yaml, STORY)
    assert recorded(there) == {"1": "mill recordings"}
    assert recorded(other) == {"1": "mill recordings"}
    days = [each.with_name("mill today.yaml").exists() for each in (there, other)]
    assert days == [True, True]
    # In the archive, too, none comes to one of its name.
    assert archive(other, STORY).name == "mill 2.tapscore"


def test_where_a_name_cannot_be_changed_both_hear_it(
    yaml: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record(yaml, 1)

    def no(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patched:
        patched.setattr(Path, "rename", no)
        other = save(yaml.with_suffix(".tapscore"), evolve(STORY, title="Another"))
    assert recorded(yaml) == recorded(other) == {"1": "mill recordings"}


def here_of(path: Path) -> tuple[str, ...] | None:
    """Who is here of a story, by its day file."""
    day = load_day(day_path(path), STORY).day
    return None if day is None else day.here


def say_who_is_here(path: Path, *names: str) -> None:
    save_day(load_day(day_path(path), STORY), Day(names), STORY)


def test_another_story_of_the_name_has_a_day_of_its_own(yaml: Path) -> None:
    say_who_is_here(yaml, "AB")
    assert yaml.with_name("mill today.yaml").is_file()
    other = save(yaml.with_suffix(".tapscore"))
    assert (here_of(yaml), here_of(other)) == (("AB",), None)
    say_who_is_here(other, "CD")
    assert (here_of(yaml), here_of(other)) == (("AB",), ("CD",))
    names = sorted(each.name for each in yaml.parent.glob("*today*"))
    assert names == ["mill.tapscore today.yaml", "mill.yaml today.yaml"]
    assert belongings(other, None).day == yaml.with_name("mill.tapscore today.yaml")


def test_a_day_that_was_both_s_is_kept_for_both(yaml: Path) -> None:
    other = yaml.with_suffix(".tapscore")
    other.write_bytes(yaml.read_bytes())
    shared = yaml.with_name("mill today.yaml")
    shared.write_text("# Mondays\nhere: [AB]\n")
    assert here_of(yaml) == here_of(other) == ("AB",)
    say_who_is_here(other, "CD")
    assert (here_of(yaml), here_of(other)) == (("AB",), ("CD",))
    assert day_path(other).read_text() == "# Mondays\nhere: [CD]\n"
    say_who_is_here(yaml, "EF")
    assert (here_of(yaml), here_of(other)) == (("EF",), ("CD",))
    assert not shared.exists(), "it would come to a third of the name"


def test_what_could_not_be_read_of_both_s_is_named_as_it_lies(yaml: Path) -> None:
    yaml.with_suffix(".tapscore").write_bytes(yaml.read_bytes())
    yaml.with_name("mill today.yaml").write_text("here: [AB]\nroles:\n  leeder: AB\n")
    (said,) = load_day(day_path(yaml), STORY).troubles
    assert said.startswith("mill today.yaml, line 3: ")


def test_a_story_put_away_takes_its_own_day(yaml: Path) -> None:
    say_who_is_here(yaml, "AB")
    other = save(yaml.with_suffix(".tapscore"))
    say_who_is_here(other, "CD")
    there = archive(other, STORY)
    assert (here_of(yaml), here_of(there)) == (("AB",), ("CD",))
    assert sorted(each.name for each in there.parent.iterdir()) == [
        "mill today.yaml",
        "mill.tapscore",
    ]
