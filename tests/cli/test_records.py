"""Class records from the command line: passphrases typed, everything said."""

import csv
import io
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tapscore.cli.app import main
from tapscore.cli.records import class_record
from tapscore.records import sealed
from tapscore.records.record_file import create_record, open_record
from tests.records.class_records import (
    PASSPHRASE,
    PLANTED_MARK,
    PLANTED_WORDS,
    QUICK,
    WAVE,
    small_record,
)

TYPED = f"{PASSPHRASE}\n"
OTHER = "six dry pebbles hum"


@pytest.fixture(autouse=True)
def quick_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sealed, "_tuned", lambda: QUICK)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "willow.classrecord"
    create_record(path, PASSPHRASE, small_record(), log2_n=QUICK).close()
    return path


def run(*arguments: str | Path, typed: str = TYPED) -> Result:
    words = ["class-record", *map(str, arguments)]
    return CliRunner().invoke(main, words, input=typed)


def test_a_record_is_begun_and_says_beforehand_that_forgetting_is_final(tmp_path: Path) -> None:
    path = tmp_path / "oak.classrecord"
    result = run("begin", path, "--label", "Oak", typed=f"short\nshort\n{TYPED}{TYPED}")
    assert result.exit_code == 0, result.output
    assert result.output.index("a forgotten passphrase is final") < result.output.index("New pass")
    assert "letters or more" in result.output
    assert PASSPHRASE not in result.output
    assert run("add-pupil", path, "K.", "--place", "A").exit_code == 0
    assert "K., place A" in run("pupils", path).output
    again = run("add-pupil", path, "k.")
    assert again.exit_code == 1
    assert "is taken" in again.output
    assert run("begin", path, "--label", "x").exit_code == 2


def test_no_command_takes_a_passphrase_as_an_argument() -> None:
    for command in class_record.commands.values():
        for option in command.params:
            assert "passphrase" not in option.name
            assert not getattr(option, "hide_input", False)


def test_a_wrong_passphrase_and_a_file_that_is_none(file: Path, tmp_path: Path) -> None:
    wrong = run("pupils", file, typed="something else entirely\n")
    assert wrong.exit_code == 2
    assert "not its passphrase" in wrong.output
    other = tmp_path / "x.classrecord"
    other.write_text("tapscore: 2")
    said = run("pupils", other, typed="")
    assert said.exit_code == 2
    assert "not a class record" in said.output
    assert "Passphrase" not in said.output, "it isn't asked for in vain"
    missing = run("pupils", tmp_path / "none.classrecord", typed="")
    assert missing.exit_code == 2
    assert "there is no such file or folder" in missing.output


def test_notes_from_a_table_are_shown_before_they_are_kept(
    file: Path, tmp_path: Path, demo_path: Path
) -> None:
    table = tmp_path / "notes.csv"
    assert run("table", demo_path, table, typed="").exit_code == 0
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8-sig"))))
    assert WAVE in [row["Moment"] for row in rows]
    row = next(row for row in rows if row["Moment"] == WAVE)
    filled = {**row, "Date": "2027-03-24", "Pupil’s initials": "M.", "Answer": "answered"}
    wrong = {**filled, "Pupil’s initials": "Nobody"}
    with table.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, list(row))
        writer.writeheader()
        writer.writerows([filled, wrong])
    before = file.read_bytes()
    shown = run("bring", file, table, "--story", demo_path, typed=f"{TYPED}n\n")
    assert f"2027-03-24, telling 4, M., {WAVE}: answered" in shown.output
    assert "notes.csv, row 3, Pupil’s initials" in shown.output
    assert file.read_bytes() == before
    kept = run("bring", file, table, "--story", demo_path, "--keep")
    assert kept.exit_code == 1, "one row was not understood"
    opened = open_record(file, PASSPHRASE)
    assert opened.record.tellings[-1].date.day == 24
    opened.close()


def test_papers(file: Path, tmp_path: Path) -> None:
    for kind, more in (
        ("term", ["--pupil", "qx7"]),
        ("review", ["--pupil", "Qx7", "--from", "2027-03-05"]),
        ("way-in", ["--pupil", "Qx7"]),
        ("class", []),
    ):
        for ending in ("pdf", "docx"):
            out = tmp_path / f"{kind}.{ending}"
            result = run("paper", file, out, "--kind", kind, *more)
            assert result.exit_code == 0, result.output
            assert out.stat().st_size > 1000
            assert "Whoever has this file can read it" in result.output
    assert run("form", tmp_path / "form.pdf", typed="").exit_code == 0
    assert run("paper", file, tmp_path / "term.pdf", "--pupil", "Qx7").exit_code == 1
    asked = run("paper", file, tmp_path / "y.pdf", typed=f"{TYPED}Z.\n")
    assert asked.exit_code == 1
    assert "In the record: Qx7, M." in asked.output
    assert run("paper", file, tmp_path / "y.pdf", typed=f"{TYPED}M.\n").exit_code == 0
    odd = run("paper", file, tmp_path / "term.odt", "--pupil", "Qx7")
    assert odd.exit_code == 2
    assert ".pdf or .docx" in odd.output


def test_everything_can_be_had(file: Path, tmp_path: Path) -> None:
    result = run("write-out", file, tmp_path / "all")
    assert result.exit_code == 0
    assert PLANTED_WORDS in (tmp_path / "all" / "notes.csv").read_text(encoding="utf-8")
    assert run("write-out", file, tmp_path / "all").exit_code == 2


def test_handed_over_and_taken_in(file: Path, tmp_path: Path) -> None:
    new, paper = tmp_path / "for-oak.classrecord", tmp_path / "receipt.pdf"
    result = run(
        *("hand-over", file, new, "--pupil", "Qx7", "--to", "Oak", "--receipt", paper),
        typed=f"{TYPED}{OTHER}\n{OTHER}\n",
    )
    assert result.exit_code == 0, result.output
    assert paper.exists()
    assert run("pupils", new).exit_code == 2, "another passphrase"
    assert PLANTED_MARK in run("pupils", new, typed=f"{OTHER}\n").output
    oak = tmp_path / "oak.classrecord"
    run("begin", oak, "--label", "Oak", typed=TYPED * 2)
    assert run("take-in", oak, new, typed=f"{OTHER}\n{TYPED}").exit_code == 0
    assert PLANTED_MARK in run("pupils", oak).output
    again = run("take-in", oak, new, typed=f"{OTHER}\n{TYPED}")
    assert again.exit_code == 1
    assert "here already" in again.output


def test_a_pupil_is_deleted_only_when_the_mark_is_typed_again(file: Path) -> None:
    assert run("delete-pupil", file, "Qx7", typed=f"{TYPED}yes\n").exit_code == 1
    assert PLANTED_MARK in run("pupils", file).output
    assert run("delete-pupil", file, "Qx7", typed=f"{TYPED}Qx7\n").exit_code == 0
    assert PLANTED_MARK not in run("pupils", file).output


def test_a_date_to_keep_it_until_and_its_reminder(file: Path) -> None:
    assert run("keep-until", file, "2020-01-31").exit_code == 0
    assert "was to be kept until 31 January 2020" in run("pupils", file).output


def test_another_passphrase(file: Path) -> None:
    assert run("passphrase", file, typed=f"{TYPED}{OTHER}\n{OTHER}\n").exit_code == 0
    assert run("pupils", file).exit_code == 2
    assert run("pupils", file, typed=f"{OTHER}\n").exit_code == 0


def test_a_record_that_is_open_elsewhere_is_only_read(file: Path) -> None:
    opened = open_record(file, PASSPHRASE)
    assert "read only" in run("pupils", file).output
    assert run("add-pupil", file, "Z.").exit_code == 2
    opened.close()


def test_the_demo_notes_are_understood(tmp_path: Path, demo_path: Path) -> None:
    path = tmp_path / "willow.classrecord"
    run("begin", path, "--label", "Willow", typed=TYPED * 2)
    for mark in ("K.", "M."):
        run("add-pupil", path, mark)
    notes = demo_path.with_name("the-lantern-boat notes.csv")
    result = run("bring", path, notes, "--story", demo_path, "--keep")
    assert result.exit_code == 0, result.output
    opened = open_record(path, PASSPHRASE)
    assert len(opened.record.tellings) == 3
    opened.close()
