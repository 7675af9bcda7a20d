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
    boxes = [page.mediabox for file in out.glob("*.pdf") for page in PdfReader(file).pages]
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
