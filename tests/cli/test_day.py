from pathlib import Path

from click.testing import CliRunner
from pypdf import PdfReader

from tapscore.cli.app import main
from tapscore.resources import demo_stories

DEMO = next(path for path in demo_stories() if path.stem == "the-lantern-boat")


def run(tmp_path: Path, day: str, *more: str) -> tuple[int, str]:
    file = tmp_path / "today.yaml"
    file.write_text(day, encoding="utf-8")
    result = CliRunner().invoke(main, ["day", str(DEMO), str(file), *more])
    return result.exit_code, result.output


def test_everybody_here(tmp_path: Path) -> None:
    code, said = run(tmp_path, "here: [leader, beat-keeper, second tapper, prop handler]")
    assert code == 0
    assert "Everything is done by somebody." in said
    assert "No sheet changes." in said


def test_somebody_away_is_shared_out_and_printed(tmp_path: Path) -> None:
    out = tmp_path / "new"
    code, said = run(
        tmp_path,
        "here: [AB, CD, EF]\nroles: {leader: AB, second tapper: CD, prop handler: EF}",
        *("--out", str(out)),
    )
    assert code == 0, said
    assert "away: beat-keeper" in said
    assert "Nobody taps line 1" in said
    assert "AB (leader) taps" in said
    assert sorted(out.glob("*.pdf"))


def test_what_nobody_can_do_is_told(tmp_path: Path) -> None:
    code, said = run(tmp_path, "here: []")
    assert code == 1
    assert "nobody is here" in said.lower()


def test_an_unreadable_day(tmp_path: Path) -> None:
    assert run(tmp_path, "")[0] == 2
    result = CliRunner().invoke(main, ["day", str(DEMO), str(tmp_path / "none.yaml")])
    assert result.exit_code == 2
    assert "can't be read" in result.output


def test_new_cards_on_paper_of_ones_own(tmp_path: Path) -> None:
    out = tmp_path / "new"
    code, said = run(
        tmp_path,
        "here: [AB, CD, EF]\nroles: {leader: AB, second tapper: CD, prop handler: EF}",
        *(
            "--out",
            str(out),
            "--cards",
            "--paper",
            "120x180",
            "--distance",
            "0.75",
            "--margin",
            "4",
        ),
    )
    assert code == 0, said
    assert said.count("margin of 4 mm") == 1
    cards = [file for file in out.glob("*.pdf") if "step-in" not in file.name]
    cards = [file for file in cards if "cue-sheet" not in file.name]
    boxes = [page.mediabox for file in cards for page in PdfReader(file).pages]
    assert boxes
    assert {(round(b.width / 72 * 25.4), round(b.height / 72 * 25.4)) for b in boxes} == {
        (180, 120)
    }


def test_cards_that_somebody_changed_are_only_replaced_if_asked(tmp_path: Path) -> None:
    out = tmp_path / "new"
    words = "here: [AB, CD, EF]\nroles: {leader: AB, second tapper: CD, prop handler: EF}"
    assert run(tmp_path, words, "--out", str(out))[0] == 0
    assert run(tmp_path, words, "--out", str(out))[0] == 0, "its own files it makes again"
    card = sorted(out.glob("*.pdf"))[0]
    card.write_bytes(b"with notes by hand")
    code, said = run(tmp_path, words, "--out", str(out))
    assert code == 1
    assert f"{card.name} in new was changed by somebody else" in said
    assert card.read_bytes() == b"with notes by hand"
    assert run(tmp_path, words, "--out", str(out), "--replace")[0] == 0
    assert card.read_bytes().startswith(b"%PDF")


def test_two_adults_are_told_what_is_left_out_and_get_all_papers(tmp_path: Path) -> None:
    out = tmp_path / "new"
    code, said = run(tmp_path, "here: [AB, CD]", "--out", str(out))
    assert code == 0, said
    assert "Told short: greeting, refrain, one prop, finish." in said
    assert "The prop “lantern”: left out" in said
    assert "AB (leader) is near A and B: that comes first." in said
    names = {path.name.removeprefix("the-lantern-boat-today-") for path in out.glob("*.pdf")}
    assert names == {"leader.pdf", "beat-keeper.pdf", "step-in.pdf", "cue-sheet.pdf"}
    words = "".join(
        page.extract_text() for file in out.glob("*.pdf") for page in PdfReader(file).pages
    )
    assert "silk" not in words
    assert "lantern low" not in words


def test_the_sheets_of_yesterday_do_not_lie_among_those_of_today(tmp_path: Path) -> None:
    out = tmp_path / "new"
    assert run(tmp_path, "here: [AB, CD]", "--out", str(out))[0] == 0
    assert (out / "the-lantern-boat-today-beat-keeper.pdf").exists()
    words = "here: [AB, CD, EF]\nroles: {leader: AB, second tapper: CD, prop handler: EF}"
    code, said = run(tmp_path, words, "--out", str(out))
    assert code == 0, said
    assert "of an earlier day: the-lantern-boat-today-beat-keeper.pdf." in said
    names = {path.name.removeprefix("the-lantern-boat-today-") for path in out.glob("*.pdf")}
    assert "beat-keeper.pdf" not in names
    assert "leader.pdf" in names
    (out / "the-lantern-boat-today-leader.pdf").write_bytes(b"with notes by hand")
    code, said = run(tmp_path, "here: []", "--out", str(out))
    assert code == 1
    assert "Still there from an earlier day: the-lantern-boat-today-leader.pdf." in said
    assert [path.name for path in out.glob("*.pdf")] == ["the-lantern-boat-today-leader.pdf"]


def test_one_adult_has_the_refrain_or_not_today(tmp_path: Path) -> None:
    code, said = run(tmp_path, "here: [AB]\npupils: [B, C]")
    assert code == 0, said
    assert "The refrain only, with its waits" in said
    code, said = run(tmp_path, "here: [AB]", "--out", str(tmp_path / "new"))
    assert code == 1
    assert "Not today." in said
    assert not (tmp_path / "new").exists()


def test_how_much_to_tell_and_who_is_here_can_be_written(tmp_path: Path) -> None:
    everybody = "here: [leader, beat-keeper, second tapper, prop handler]\n"
    code, said = run(tmp_path, everybody + "tell: short")
    assert code == 0, said
    assert "As you chose. Told short" in said
    code, said = run(tmp_path, everybody + "tell: half\npupils: [A, Z]")
    assert code == 1
    assert "Write `tell: whole`" in said
    assert "The board has no place “Z”." in said


def test_sheets_of_the_day_have_a_family_s_language(tmp_path: Path) -> None:
    story = tmp_path / "boat.yaml"
    text = DEMO.read_text(encoding="utf-8")
    row = "    - words: Row the lan-tern, row the lan-tern,\n"
    story.write_text(text.replace(row, f"{row}      in: {{pl: Domek}}\n"), encoding="utf-8")
    day = tmp_path / "day.yaml"
    day.write_text("here: [AB, CD]")
    out = tmp_path / "new"
    asked = ["day", str(story), str(day), "--out", str(out), "--part-language", "pl"]
    result = CliRunner().invoke(main, asked)
    assert result.exit_code == 0, result.output
    words = "".join(
        page.extract_text() for file in out.glob("*.pdf") for page in PdfReader(file).pages
    )
    assert "Domek" in words
    result = CliRunner().invoke(main, [*asked[:-1], "cy"])
    assert result.exit_code == 2
    assert "There are: pl" in result.output
