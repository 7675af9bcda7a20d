"""What the window says of a day, in whole sentences; worked out by hand from the sample's parts."""

from pathlib import Path

import pytest
from attrs import evolve

from tapscore.model.day import Day
from tapscore.storyfile.day_file import read_day
from tapscore.workflow.today.card_files import CardFile, put_cards, take_away_earlier
from tapscore.workflow.today.day_beside import day_text, load_day, save_day
from tapscore.workflow.today.outcome import DayWish, Outcome, work_out
from tests.exports.paper.paper_samples import sample
from tests.workflow.today.test_today import BEAT, BY_HEART, HANDLER, LEADER, SECOND, day


def worked_out(wanted: Day) -> Outcome:
    found = work_out(DayWish(sample(), wanted, BY_HEART))
    assert found.problem is None
    return found


def test_one_is_away() -> None:
    """The leader's own two lines and the three that only the beat-keeper taps make five."""
    found = worked_out(day((LEADER, "AB"), (SECOND, "CD"), (HANDLER, "EF")))
    assert [(row.who, row.hands, row.cards) for row in found.rows] == [
        (
            "AB: leader",
            "taps 4 lines and the refrain row home 4 times"
            "\nTakes over: taps line 1 (Out on the water); taps line 3 (The wind went"
            " round); taps line 7 (One knock and two)",
            "6 sides: 1 of 8, Row home, 3 of 8, 7 of 8",
        ),
        ("CD: second tapper", "taps 4 lines and the refrain row home 4 times", "1 side"),
        ("EF: prop handler", "taps the refrain row home 4 times; brings beads, lantern", "1 side"),
        ("nobody: beat-keeper", "shared out among the others", ""),
    ]
    assert found.left == ()
    assert found.notes == ("3 adults for 4 roles: nobody is beat-keeper.",)
    assert found.told == (
        "CD (second tapper) is near A: that comes first.",
        "AB (leader) is near B: that comes first.",
    )
    assert found.new_cards[0].name == "the-lantern-boat-today-leader.pdf"


def test_what_is_taken_over_is_said_once_and_lines_end_without_a_comma() -> None:
    """The handler is away and the second tapper, who taps least, brings the props."""
    found = worked_out(day((LEADER, "AB"), (BEAT, "CD"), (SECOND, "EF")))
    hands = "\n".join(row.hands for row in found.rows)
    assert hands.count("brings beads") == 1
    assert "hands free\nTakes over" not in hands
    assert not [said for said in (*found.left, *found.told) if ",”" in said]


def test_one_adult_alone() -> None:
    found = worked_out(day((BEAT, "AB")))
    assert [row.hands for row in found.rows[1:]] == ["", "shared out among the others", ""]
    assert found.left == (
        "Nobody brings beads. Why: beat-keeper taps while it comes or goes.",
        "Nobody brings lantern. Why: beat-keeper taps while it comes or goes.",
    )
    assert found.notes == (
        "1 adult for 4 roles: nobody is leader, second tapper or prop handler.",
        "Nobody leads: AB taps least and speaks: give them the cue sheet.",
    )


def test_two_roles_for_one_and_one_without() -> None:
    found = worked_out(
        day((LEADER, "AB"), (BEAT, "CD"), (SECOND, "CD"), free=("GH", "IJ")),
    )
    assert [(row.who, row.hands, row.cards) for row in found.rows] == [
        ("AB: leader", "taps 1 line and the refrain row home 4 times", "as they are"),
        (
            "CD: beat-keeper",
            "taps 7 lines and the refrain row home 4 times",
            "6 sides: 6 of 8, 7 of 8",
        ),
        ("CD: second tapper", "as well as beat-keeper", "with beat-keeper"),
        (
            "GH: prop handler",
            "taps the refrain row home 4 times; brings beads, lantern",
            "as they are",
        ),
        ("IJ", "free to help", ""),
    ]
    assert found.suggested == ((HANDLER, "GH"),)
    assert found.notes == ("Without a role: IJ.",)


def test_saving_a_day_leaves_one_file(tmp_path: Path) -> None:
    path = tmp_path / "boat today.yaml"
    beside = load_day(path, sample())
    for who in ("AB", "CD"):
        beside = save_day(beside, Day((who,), ((LEADER, who),)), sample())
        assert beside.day == Day((who,), ((LEADER, who),))
    assert [each.name for each in tmp_path.iterdir()] == ["boat today.yaml"]


def test_a_day_that_is_a_folder_is_told_so(tmp_path: Path) -> None:
    path = tmp_path / "boat today.yaml"
    path.mkdir()
    assert load_day(path, sample()).troubles == ("boat today.yaml can't be read: it is a folder.",)


def test_cards_that_find_a_file_where_a_folder_belongs(tmp_path: Path) -> None:
    wrong = tmp_path / "cards"
    wrong.write_text("not a folder")
    put = put_cards((CardFile("leader", "a.pdf", b"%PDF"),), wrong, sample())
    why = "that name is taken"
    assert (put.made, put.problem) == ((), f"{wrong} can't be used: {why}. Choose another folder.")


def test_a_card_that_somebody_changed_is_not_written_over(tmp_path: Path) -> None:
    files = (CardFile("leader", "a.pdf", b"%PDF 1"), CardFile("helper", "b.pdf", b"%PDF 2"))
    assert "%PDF" not in repr(files)
    assert len(put_cards(files, tmp_path, sample()).made) == 2
    assert len(put_cards(files, tmp_path, sample()).made) == 2  # our own may be replaced
    (tmp_path / "b.pdf").write_bytes(b"with her notes")
    put = put_cards(files, tmp_path, sample())
    assert put.made == ()
    assert put.problem.startswith(f"Nothing was made: b.pdf in {tmp_path.name} was changed")
    assert (tmp_path / "b.pdf").read_bytes() == b"with her notes"
    assert len(put_cards(files, tmp_path, sample(), replace=True).made) == 2
    assert (tmp_path / "b.pdf").read_bytes() == b"%PDF 2"


@pytest.mark.parametrize(
    "before", ["here: [AB]\nhere: [CD]\n", "? [a, b]\n: c\n", "- here\n", "here: &a [AB]\nx: *a\n"]
)
def test_a_day_over_an_odd_file_reads_as_the_day(before: str) -> None:
    """What was odd in it may stay, and is found; the day is the new one."""
    wanted = Day(("EF",), ((LEADER, "EF"),))
    assert read_day(day_text(wanted, before), sample()).day == wanted


def earlier_day(folder: Path) -> tuple[CardFile, ...]:
    """A day's two sheets, put into a folder."""
    files = tuple(
        CardFile(role, f"the-lantern-boat-today-{role}.pdf", role.encode())
        for role in ("leader", "helper")
    )
    assert put_cards(files, folder, sample()).problem == ""
    return files


def pdfs(folder: Path) -> set[str]:
    return {path.name.removeprefix("the-lantern-boat-today-") for path in folder.glob("*.pdf")}


def test_sheets_of_an_earlier_day_are_taken_away_and_said(tmp_path: Path) -> None:
    leader, _ = earlier_day(tmp_path)
    put = put_cards((leader,), tmp_path, sample())
    assert pdfs(tmp_path) == {"leader.pdf"}
    assert put.said_of_earlier == (
        "Taken away, because they are of an earlier day: the-lantern-boat-today-helper.pdf.",
    )
    assert put_cards((leader,), tmp_path, sample()).said_of_earlier == ()
    assert take_away_earlier(tmp_path, sample()).taken_away == (tmp_path / leader.name,)
    assert pdfs(tmp_path) == set()


def test_a_sheet_of_an_earlier_day_that_somebody_changed_stays_and_is_said(
    tmp_path: Path,
) -> None:
    leader, helper = earlier_day(tmp_path)
    (tmp_path / helper.name).write_bytes(b"with her notes")
    put = put_cards((leader,), tmp_path, sample(), replace=True)
    assert (tmp_path / helper.name).read_bytes() == b"with her notes"
    assert put.said_of_earlier == (
        f"Still there from an earlier day: {helper.name}. Don't hand them out today.",
    )


def test_what_stays_is_said_where_nothing_could_be_made(tmp_path: Path) -> None:
    leader, helper = earlier_day(tmp_path)
    (tmp_path / leader.name).write_bytes(b"with her notes")
    put = put_cards((leader,), tmp_path, sample())
    assert put.problem
    assert put.staying == (tmp_path / helper.name,)
    assert pdfs(tmp_path) == {"leader.pdf", "helper.pdf"}


def test_other_stories_papers_in_the_folder_are_left_alone(tmp_path: Path) -> None:
    leader, _ = earlier_day(tmp_path)
    other = evolve(sample(), title="The lantern boat today by night")
    night = CardFile("leader", "the-lantern-boat-today-by-night-today-leader.pdf", b"night")
    assert put_cards((night,), tmp_path, other).taken_away == ()
    (tmp_path / "the-lantern-boat-part-leader.pdf").write_bytes(b"for the term")
    put = put_cards((leader,), tmp_path, sample())
    assert [path.name for path in put.taken_away] == ["the-lantern-boat-today-helper.pdf"]
    assert pdfs(tmp_path) == {
        "leader.pdf",
        "by-night-today-leader.pdf",
        "the-lantern-boat-part-leader.pdf",
    }
