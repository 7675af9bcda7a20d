"""``tapscore class-record``: what is said where, the code, and what is in the file afterwards."""

import csv
from datetime import date
from pathlib import Path

import pytest
from attrs import evolve
from pypdf import PdfReader

from tapscore.cli.record_asking import FORGOTTEN
from tapscore.records import sealed
from tapscore.records.model import ClassRecord, Pupil
from tapscore.records.record_file import create_record, open_record
from tapscore.workflow.records.paper_files import READABLE
from tests.cli.running import SOUND, Said, files, usage
from tests.cli.running import run as run_any
from tests.records.class_records import PASSPHRASE, QUICK, small_record

TYPED = f"{PASSPHRASE}\n"
NEW = "six dry pebbles hum"
ASKS = "Passphrase of willow.classrecord: \n"
AGAIN = "New passphrase: \nOnce more: \n"
SAVED = "saved willow.classrecord\n"
MARK = "The pupil's mark: "


@pytest.fixture(autouse=True)
def quick_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sealed, "_tuned", lambda: QUICK)


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path("willow.classrecord")
    create_record(path, PASSPHRASE, past_record(), log2_n=QUICK).close()
    Path("mill.yaml").write_text(
        SOUND + "      - wait: 20\n        look for: a look\n", encoding="utf-8"
    )
    return path


def past_record() -> ClassRecord:
    """The small record, of a year that every computer's clock has behind it."""
    small = small_record()
    tellings = (evolve(each, date=each.date.replace(year=2020)) for each in small.tellings)
    return evolve(small, keep_until=date(2140, 8, 31), tellings=tuple(tellings))


def run(*words: object, typed: str = TYPED) -> Said:
    return run_any("class-record", *words, typed=typed)


def record(path: Path, passphrase: str = PASSPHRASE) -> ClassRecord:
    opened = open_record(path, passphrase)
    opened.close()
    assert opened.read_only == ""
    return opened.record


def test_a_record_is_begun(file: Path) -> None:
    said = run("begin", "oak", "--label", "Oak", "--keep-until", "31/07/2030", typed=TYPED * 2)
    assert said == Said(0, f"{FORGOTTEN}\nmade oak.classrecord\n", AGAIN)
    assert record(Path("oak.classrecord")) == ClassRecord("Oak", date(2030, 7, 31))
    said = run("begin", "oak.classrecord", "--label", "Oak", typed="")
    assert said == Said(2, "", "oak.classrecord is there already. Choose another name.\n")
    assert run("begin", "elm", "--label", "Elm", typed=TYPED * 2).code == 0
    assert record(Path("elm.classrecord")) == ClassRecord("Elm")
    said = run("begin", "mill.yaml/ash", "--label", "Ash", typed=TYPED * 2)
    assert said.code == 2
    assert said.err == (
        f"{AGAIN}ash.classrecord: that name is taken. Look at the name, the folder, the drive.\n"
    )


def test_a_weak_passphrase_is_asked_for_again(file: Path) -> None:
    said = run("begin", "oak", "--label", "Oak", typed=f"short\nshort\n{TYPED * 2}")
    trouble = sealed.passphrase_trouble("short")
    assert said == Said(0, f"{FORGOTTEN}\nmade oak.classrecord\n", f"{AGAIN}{trouble}\n{AGAIN}")


def test_pupils_and_stories_told(file: Path) -> None:
    rows = "Qx7, place A\nM., place B\nstory told: The Lantern Boat\n"
    assert run("pupils", file) == Said(0, rows, ASKS)
    said = run("add-pupil", file, "  Z.   Y. ", "--place", " C ")
    assert said == Said(0, SAVED, ASKS)
    assert record(file).pupils[-1] == evolve(record(file).pupils[-1], mark="Z. Y.", place="C")
    said = run("add-pupil", file, typed=f"{TYPED}V.\n")
    assert said == Said(0, f"{MARK}V.\n{SAVED}", ASKS)
    assert record(file).pupils[-1].place == ""
    assert run("pupils", file).out.splitlines()[2:4] == ["Z. Y., place C", "V."]
    said = run("add-pupil", file, "v.")
    assert said == Said(1, "", f"{ASKS}“v.” is taken. Write one of the two differently.\n")


def test_passphrases_and_files_that_are_none(file: Path) -> None:
    wrong = run("pupils", file, typed="not this one at all\n")
    assert (wrong.code, wrong.out) == (2, "")
    assert wrong.err.startswith(f"{ASKS}willow.classrecord: ")
    missing = run("pupils", "none.classrecord", typed="")
    assert missing == Said(
        2,
        "",
        "none.classrecord: there is no such file or folder. "
        "Look at the name, the folder, the drive.\n",
    )
    other = run("pupils", "mill.yaml", typed="")
    assert (other.code, other.out) == (2, "")
    assert other.err.startswith("mill.yaml: ")
    assert "Passphrase" not in other.err


def test_what_is_open_elsewhere_can_be_read_and_not_changed(file: Path) -> None:
    elsewhere = open_record(file, PASSPHRASE)
    before = file.read_bytes()
    try:
        read = run("pupils", file)
        assert read.code == 0
        assert read.out.startswith("Qx7, place A\n")
        assert len(read.err.splitlines()) == 2
        for words in (("add-pupil", file, "Z."), ("keep-until", file, "2030-01-01")):
            said = run(*words)
            assert (said.code, said.out) == (2, "")
            assert said.err == (
                f"{read.err}Nothing can be changed now. Close it elsewhere, then try again.\n"
            )
        said = run("passphrase", file, typed=f"{TYPED}{NEW}\n{NEW}\n")
        assert (said.code, said.out) == (2, "")
        assert said.err.endswith("Close it elsewhere, then try again.\n")
        assert file.read_bytes() == before
    finally:
        elsewhere.close()


def test_what_another_computer_changed_meanwhile_stays(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tapscore.records import edits

    adds = edits.with_pupil

    def meanwhile(kept: ClassRecord, pupil: Pupil) -> ClassRecord:
        file.write_bytes(file.read_bytes() + b" ")
        return adds(kept, pupil)

    monkeypatch.setattr(edits, "with_pupil", meanwhile)
    said = run("add-pupil", file, "Z.")
    told = "willow.classrecord was changed by another computer meanwhile: nothing was saved.\n"
    assert said == Said(2, "", f"{ASKS}{told}")


def test_a_reminder_and_a_clock_that_is_behind_are_told(file: Path) -> None:
    assert run("keep-until", file, "2020-07-31") == Said(0, SAVED, ASKS)
    assert record(file).keep_until == date(2020, 7, 31)
    said = run("pupils", file)
    assert said.code == 0
    assert said.err.startswith(f"{ASKS}This record was to be kept until 31 July 2020. ")
    assert run("keep-until", file, "31/12/2140").code == 0
    assert run("pupils", file).err == ASKS
    assert run("keep-until", file, "2140").code == 2
    late = Path("late.classrecord")
    to_come = evolve(past_record().tellings[0], date=date(2150, 1, 2))
    whole = evolve(past_record(), tellings=(to_come,), keep_until=date(2149, 1, 2))
    create_record(late, PASSPHRASE, whole, log2_n=QUICK).close()
    _, clock, reminder = run("pupils", late).err.splitlines()
    assert clock.startswith("This computer says it is ")
    assert "but the newest note is of 2 January 2150" in clock
    assert reminder.startswith("This record was to be kept until 2 January 2149. ")


def test_an_empty_table_of_a_story_s_moments(file: Path) -> None:
    said = run("table", "mill.yaml", "notes.csv", typed="")
    assert said == Said(0, "made notes.csv\n", "")
    data = Path("notes.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.DictReader(data.decode("utf-8-sig").splitlines()))
    assert [row["Moment"] for row in rows] == ["wait after “Row the lantern”"]
    said = run("table", "mill.yaml", "notes.csv", typed="")
    assert said == Said(1, "", "notes.csv is there already. Choose another name.\n")
    Path("bad.yaml").write_text("tapscore: 2\n\ttitle: T\n")
    said = run("table", "bad.yaml", "x.csv", typed="")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("bad.yaml:2:1: must mend [yaml]\n")
    said = run("table", "mill.yaml", "none/x.csv", typed="")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("x.csv: there is no such file or folder. ")


def _notes(*rows: dict[str, str]) -> Path:
    run("table", "mill.yaml", "blank.csv", typed="")
    table = Path("blank.csv").read_text(encoding="utf-8-sig").splitlines()
    Path("blank.csv").unlink()
    blank = next(csv.DictReader(table))
    path = Path("notes.csv")
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, list(blank))
        writer.writeheader()
        writer.writerows({**blank, **row} for row in rows)
    return path


GOOD = {"Date": "2020-04-24", "Pupil’s initials": "M.", "Answer": "answered"}


def test_notes_are_shown_and_kept_only_if_wished(file: Path) -> None:
    worded = {**GOOD, "Pupil’s initials": "Qx7", "Seen": "a smile", "Seen by": "AB"}
    notes = _notes(GOOD, worded)
    assert set(worded) <= set(notes.read_text().splitlines()[0].split(",")), "headings"
    shown = (
        "2020-04-24, telling 1, M., wait after “Row the lantern”: answered\n"
        "2020-04-24, telling 1, Qx7, wait after “Row the lantern”: answered “a smile” (AB)\n"
    )
    words = ("bring", file, notes, "--story", "mill.yaml")
    before = file.read_bytes()
    said = run(*words, typed=f"{TYPED}n\n")
    assert said == Said(0, f"{shown}Keep these? [y/N]: n\nNothing was kept.\n", ASKS)
    assert run(*words, typed=f"{TYPED}\n").out.endswith("Nothing was kept.\n")
    assert file.read_bytes() == before
    said = run(*words, typed=f"{TYPED}y\n")
    assert said == Said(0, f"{shown}Keep these? [y/N]: y\n{SAVED}", ASKS)
    telling = record(file).tellings[-1]
    assert (telling.date, telling.story) == (date(2020, 4, 24), "The Mill")
    assert {slip.pupil for slip in telling.slips} == {"p1", "p2"}
    said = run(*words, "--keep")
    nothing = "Nothing new was understood; nothing was kept.\n"
    assert said == Said(0, "2 rows are in the record already.\n", ASKS + nothing)
    said = run("bring", file, _notes(GOOD), "--story", "mill.yaml")
    assert said.out == "1 row is in the record already.\n"


def test_rows_that_are_not_understood_are_told_and_end_with_1(file: Path) -> None:
    notes = _notes({**GOOD, "Pupil’s initials": "Nobody"}, GOOD)
    said = run("bring", file, notes, "--story", "mill.yaml", "--keep")
    assert said.code == 1
    assert said.out.splitlines()[-1] == SAVED.strip()
    (trouble,) = said.err.removeprefix(ASKS).splitlines()
    assert trouble == (
        "notes.csv, row 2, Pupil’s initials: No pupil has this mark. In the record: Qx7, M."
    )
    notes.write_text("")
    said = run("bring", file, notes)
    assert (said.code, said.out) == (1, "")
    assert said.err.endswith("Nothing new was understood; nothing was kept.\n")
    said = run("bring", file, "none.csv", typed="")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("none.csv: there is no such file or folder. ")


def _words(path: str) -> str:
    return " ".join(page.extract_text() for page in PdfReader(path).pages)


@pytest.mark.parametrize("kind", ["term", "review", "way-in", "class"])
def test_each_paper_is_of_its_kind_and_of_whom_it_should_be(file: Path, kind: str) -> None:
    asked = () if kind == "class" else ("--pupil", "m.")
    said = run("paper", file, "out.pdf", "--kind", kind, *asked)
    assert said == Said(0, f"made out.pdf\n{READABLE}\n", ASKS)
    text = _words("out.pdf")
    of_all = kind == "class"  # it names whoever answered, which M. never did
    assert ("M." in text, "Qx7" in text) == (not of_all, of_all)
    said = run("paper", file, "out.pdf", "--kind", kind, *asked)
    assert said == Said(1, "", "out.pdf is there already. Choose another name.\n")
    assert run("paper", file, "out.pdf", "--kind", kind, *asked, "--replace").code == 0


def test_a_term_s_paper_if_no_kind_is_said_and_the_days_it_is_of(file: Path) -> None:
    assert run("paper", file, "a.pdf", "--pupil", "Qx7").code == 0
    assert run("paper", file, "b.pdf", "--pupil", "Qx7", "--kind", "term").code == 0
    assert _words("a.pdf") == _words("b.pdf")
    dates = [each.date for each in record(file).tellings]
    words = ("--pupil", "Qx7", "--kind", "review")
    assert run("paper", file, "c.pdf", *words, "--from", dates[1], "--to", dates[1]).code == 0
    assert run("paper", file, "d.pdf", *words).code == 0
    one, every = _words("c.pdf"), _words("d.pdf")
    assert "turned with the wave" in one
    assert "turned-before-the-wave" not in one
    assert "turned-before-the-wave" in every


def test_a_pupil_there_is_none_of(file: Path) -> None:
    none = "No pupil has this mark. In the record: Qx7, M.\n"
    assert run("paper", file, "a.pdf", "--pupil", "Z.") == Said(1, "", ASKS + none)
    said = run("paper", file, "a.pdf", typed=f"{TYPED}Z.\n")
    assert said == Said(1, f"{MARK}Z.\n", ASKS + none)
    assert run("paper", file, "a.pdf", typed=f"{TYPED}M.\n").code == 0
    run("begin", "oak", "--label", "Oak", typed=TYPED * 2)
    said = run("paper", "oak.classrecord", "b.pdf", "--pupil", "Z.")
    assert said.err.endswith("No pupil has this mark. In the record: none yet.\n")


def test_an_empty_sheet_and_everything_written_out(file: Path) -> None:
    said = run("form", "form.pdf", typed="")
    assert said == Said(0, f"made form.pdf\n{READABLE}\n", "")
    said = run("form", "form.pdf", typed="")
    assert said == Said(1, "", "form.pdf is there already. Choose another name.\n")
    said = run("form", "form.odt", typed="")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("form.odt: ")
    said = run("write-out", file, "all")
    assert (said.code, said.err) == (0, ASKS)
    *made, last = said.out.splitlines()
    assert last == READABLE
    assert {f"made all/{name}" for name in files(Path("all"))} == set(made)
    said = run("write-out", file, "all")
    assert said.code == 2
    assert said.err.startswith(f"{ASKS}all: ")


def test_pupils_are_handed_over_and_taken_in(file: Path) -> None:
    words = ("hand-over", file, "new.classrecord", "--pupil", "qx7", "--to", "Oak")
    typed = f"{TYPED}{NEW}\n{NEW}\n"
    said = run(*words, "--receipt", "slip.pdf", typed=typed)
    assert said == Said(
        0,
        "A passphrase for the new file, which those who get it need.\n"
        f"{FORGOTTEN}\nmade new.classrecord\nmade slip.pdf\n{READABLE}\n",
        ASKS + AGAIN,
    )
    assert "Oak" in _words("slip.pdf")
    part = record(Path("new.classrecord"), NEW)
    assert [pupil.mark for pupil in part.pupils] == ["Qx7"]
    assert [pupil.mark for pupil in record(file).pupils] == ["Qx7", "M."]
    # What has a name already is told before a passphrase is typed for nothing.
    said = run(*words, typed="")
    assert said == Said(1, "", "new.classrecord is there already. Choose another name.\n")
    more = ("hand-over", file, "newer", "--pupil", "qx7")
    said = run(*more, "--receipt", "slip.pdf", typed="")
    assert said == Said(1, "", "slip.pdf is there already. Choose another name.\n")
    said = run(*more, "--receipt", "slip.txt", typed="")
    assert said == Said(2, "", "slip.txt: end the name with .pdf or .docx.\n")
    assert run(*more, typed=typed).code == 0
    assert record(Path("newer.classrecord"), NEW).pupils == part.pupils
    create_record(Path("oak.classrecord"), PASSPHRASE, ClassRecord("Oak"), log2_n=QUICK).close()
    typed = f"{NEW}\n{TYPED}"
    asks = "Passphrase of new.classrecord: \nPassphrase of oak.classrecord: \n"
    said = run("take-in", "oak.classrecord", "new.classrecord", typed=typed)
    assert said == Said(0, "saved oak.classrecord\n", asks)
    assert [pupil.mark for pupil in record(Path("oak.classrecord")).pupils] == ["Qx7"]
    said = run("take-in", "oak.classrecord", "new.classrecord", typed=typed)
    again = "Qx7 is here already and was not taken in again.\n"
    assert (said.code, said.out, said.err[-len(again) :]) == (1, "", again)
    assert usage(run("hand-over", file, "x.classrecord", typed="")) == ("Missing option '--pupil'.")


def test_what_speaks_of_others_is_told_before_it_goes_along(file: Path) -> None:
    whole = record(file)
    one = evolve(whole.pupils[0], way_in=(("yes", "looks at M. and smiles"),))
    path = Path("elm.classrecord")
    spoken = evolve(whole, pupils=(one, whole.pupils[1]), label="M. and the others")
    create_record(path, PASSPHRASE, spoken, log2_n=QUICK).close()
    said = run("hand-over", path, "new", "--pupil", "Qx7", typed=f"{TYPED}{NEW}\n{NEW}\n")
    assert said.code == 0
    assert "\nLook again, it goes along: M. stands in the way in of Qx7.\n" in said.err
    said = run("delete-pupil", path, "M.", typed=f"{TYPED}\n")
    assert "\nStays, so change it by hand: M. stands in the way in of Qx7.\n" in said.err


def test_a_pupil_is_deleted_where_the_mark_is_typed_again(file: Path) -> None:
    asks = "This can't be taken back. Type the mark again to delete: "
    said = run("delete-pupil", file, "M.", typed=f"{TYPED}Qx7\n")
    assert (said.code, said.out) == (1, f"{asks}Qx7\n")
    assert said.err.endswith("Nothing was deleted.\n")
    assert len(record(file).pupils) == 2
    said = run("delete-pupil", file, typed=f"{TYPED}M.\n M. \n")
    assert said.code == 0
    assert said.out == (
        f"{MARK}M.\n{asks} M. \nDeleted. Backups that your school made still have it.\n"
    )
    assert [pupil.mark for pupil in record(file).pupils] == ["Qx7"]


def test_another_passphrase_and_earlier_versions_that_had_another(file: Path) -> None:
    said = run("passphrase", file, typed=f"{TYPED}{NEW}\n{NEW}\n")
    done = "Changed. Backups that your school made still have the old one.\n"
    assert said == Said(0, f"{FORGOTTEN}\n{done}", ASKS + AGAIN)
    assert record(file, NEW).label == past_record().label
    assert run("pupils", file).code == 2
