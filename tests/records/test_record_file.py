"""A record on disc: versions, locks, deleting wholly, kills, a drive that goes."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from attrs import evolve

from tapscore.records import record_file, sealed
from tapscore.records.data import from_json
from tapscore.records.model import ClassRecord
from tapscore.records.record_file import (
    ReadOnlyError,
    RecordChangedError,
    RecordFile,
    create_record,
    earlier,
    open_record,
    records_in,
)
from tests.records.class_records import PASSPHRASE, PLANTED_MARK, PLANTED_WORDS, QUICK, small_record


@pytest.fixture
def made(tmp_path: Path) -> Iterator[RecordFile]:
    file = create_record(tmp_path / "willow.classrecord", PASSPHRASE, small_record(), log2_n=QUICK)
    yield file
    file.close()


def labelled(file: RecordFile, label: str) -> None:
    file.record = evolve(file.record, label=label)
    file.save()


def label_of(path: Path, key: sealed.Key) -> str:
    return from_json(sealed.unseal(path.read_bytes(), key)).label


def sitting(path: Path, label: str) -> None:
    file = open_record(path, PASSPHRASE)
    labelled(file, label + " at first")
    labelled(file, label)
    file.close()


def test_it_comes_back_and_is_not_readable_by_itself(made: RecordFile) -> None:
    made.close()
    # nothing shorter: three letters stand in sealed bytes by chance now and then
    for words in (PLANTED_WORDS, "Lantern"):
        assert words.encode() not in made.path.read_bytes()
    again = open_record(made.path, PASSPHRASE)
    assert again.record == small_record()
    assert not again.read_only
    assert not again.unsaved
    again.close()


@pytest.mark.skipif(os.name != "posix", reason="limits are a POSIX matter")
def test_a_crash_writes_no_memory_to_disc(made: RecordFile) -> None:
    import resource

    assert resource.getrlimit(resource.RLIMIT_CORE)[0] == 0


def test_two_sittings_back_are_kept(made: RecordFile) -> None:
    made.close()
    for label in ("one", "two", "three"):
        sitting(made.path, label)
    assert label_of(made.path, made.key) == "three"
    assert label_of(earlier(made.path, 0), made.key) == "two"
    assert label_of(earlier(made.path, 1), made.key) == "one"
    assert records_in(made.path.parent) == (made.path,)


def test_whoever_comes_second_reads_only(made: RecordFile) -> None:
    second = open_record(made.path, PASSPHRASE)
    assert "has this record open" in second.read_only
    assert second.record == made.record
    with pytest.raises(ReadOnlyError):
        second.save()
    second.close()
    labelled(made, "still mine")
    made.close()
    third = open_record(made.path, PASSPHRASE)
    assert not third.read_only
    third.close()


def test_a_wrong_passphrase_leaves_it_free(made: RecordFile) -> None:
    made.close()
    with pytest.raises(sealed.WrongPassphraseError):
        open_record(made.path, "something else entirely")
    again = open_record(made.path, PASSPHRASE)
    assert not again.read_only
    again.close()


def test_nothing_is_made_over_something_or_with_a_weak_passphrase(made: RecordFile) -> None:
    with pytest.raises(FileExistsError):
        create_record(made.path, PASSPHRASE, small_record(), log2_n=QUICK)
    other = made.path.with_name("other.classrecord")
    with pytest.raises(ValueError, match="letters or more"):
        create_record(other, "short", small_record(), log2_n=QUICK)
    assert not other.exists()


def test_a_file_that_another_computer_wrote_is_not_overwritten(made: RecordFile) -> None:
    theirs = sealed.seal(b"theirs", made.key)
    made.path.write_bytes(theirs)
    made.record = evolve(made.record, label="mine")
    with pytest.raises(RecordChangedError):
        made.save()
    assert made.path.read_bytes() == theirs
    assert made.unsaved
    made.save_copy(made.path.with_name("mine.classrecord"))
    assert label_of(made.path.with_name("mine.classrecord"), made.key) == "mine"
    with pytest.raises(FileExistsError):
        made.save_copy(made.path)


def test_a_drive_that_goes_and_comes_back(made: RecordFile) -> None:
    away = made.path.parent.with_name("away")
    made.path.parent.rename(away)
    made.record = evolve(made.record, label="written while it was away")
    with pytest.raises(OSError, match="No such file"):
        made.save()
    assert made.unsaved
    away.rename(made.path.parent)
    made.save()
    assert label_of(made.path, made.key) == "written while it was away"


def test_a_full_disc_leaves_the_old_file(made: RecordFile, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, data: bytes) -> None:
        raise OSError(28, os.strerror(28))

    before = made.path.read_bytes()
    monkeypatch.setattr(record_file, "write_whole_bytes", full)
    made.record = evolve(made.record, label="new")
    with pytest.raises(OSError, match="No space"):
        made.save()
    assert made.path.read_bytes() == before


def test_one_pupil_is_deleted_wholly(made: RecordFile) -> None:
    made.close()
    for label in ("one", "two"):
        sitting(made.path, label)
    file = open_record(made.path, PASSPHRASE)
    assert file.forget_pupil("p1") == ()
    file.close()
    paths = (made.path, earlier(made.path, 0), earlier(made.path, 1))
    for path in paths:
        plain = sealed.unseal(path.read_bytes(), made.key)
        assert b"M." in plain
        for words in (PLANTED_MARK, "zebra", "looks to the left", '"p1"', "finds the wave"):
            assert words.encode() not in plain, path.name


def test_an_earlier_version_that_can_not_be_looked_into_goes_with_the_pupil(
    made: RecordFile,
) -> None:
    made.close()
    sitting(made.path, "one")
    old = earlier(made.path, 1)
    old.write_bytes(sealed.seal(b"x", sealed.new_key("another passphrase", log2_n=QUICK)))
    file = open_record(made.path, PASSPHRASE)
    file.record = evolve(file.record, label="two")
    said = file.forget_pupil("p1")
    file.close()
    assert said == ()
    # saving moved the newer earlier version over it
    assert b"M." in sealed.unseal(old.read_bytes(), made.key)
    old.write_bytes(b"something else")
    file = open_record(made.path, PASSPHRASE)
    file._moved = True
    said = file.forget_pupil("p2")
    file.close()
    assert "could not be opened" in said[0]
    assert not old.exists()


def test_a_passphrase_that_could_not_be_changed_is_the_old_one(
    made: RecordFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(record_file, "write_whole_bytes", full)
        with pytest.raises(OSError, match="No space"):
            made.change_passphrase("another passphrase")
    labelled(made, "later")
    made.close()
    again = open_record(made.path, PASSPHRASE)
    assert again.record.label == "later"
    again.close()


def test_a_pupil_deleted_while_the_drive_is_away_goes_with_the_next_save(
    made: RecordFile,
) -> None:
    made.close()
    sitting(made.path, "one")
    file = open_record(made.path, PASSPHRASE)
    away = made.path.parent.with_name("away")
    made.path.parent.rename(away)
    with pytest.raises(OSError, match="No such file"):
        file.forget_pupil("p1")
    away.rename(made.path.parent)
    assert file.unsaved
    file.save()
    file.close()
    for path in (made.path, earlier(made.path, 0), earlier(made.path, 1)):
        assert b"zebra" not in sealed.unseal(path.read_bytes(), made.key)


def test_another_passphrase_for_all_versions(
    made: RecordFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    made.close()
    sitting(made.path, "one")
    sitting(made.path, "two")
    monkeypatch.setattr(sealed, "_tuned", lambda: QUICK)
    file = open_record(made.path, PASSPHRASE)
    file.change_passphrase("six dry pebbles hum")
    file.close()
    for path in (made.path, earlier(made.path, 0), earlier(made.path, 1)):
        data = path.read_bytes()
        with pytest.raises(sealed.WrongPassphraseError):
            sealed.unseal(data, sealed.key_for(data, PASSPHRASE))
        assert sealed.unseal(data, sealed.key_for(data, "six dry pebbles hum"))


def test_a_folder_where_nothing_may_be_written(
    made: RecordFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    import filelock

    def refused(self: object, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    made.close()
    monkeypatch.setattr(filelock.FileLock, "acquire", refused)
    file = open_record(made.path, PASSPHRASE)
    assert "Nothing can be written" in file.read_only
    assert file.record == small_record()


@pytest.mark.parametrize("content", [b"", b"tapscore: 1\n", b"tapscore class record\n\x01"])
def test_what_is_no_record_is_said_before_a_passphrase_is_asked(
    content: bytes, tmp_path: Path
) -> None:
    path = tmp_path / "x.classrecord"
    path.write_bytes(content)
    with pytest.raises(sealed.SealError):
        record_file.look_at(path)


SAVER = """
import os, random, signal, sys, time
from pathlib import Path
from attrs import evolve
from tapscore.records import sealed
from tapscore.records.record_file import RecordFile, open_record
from tests.records.class_records import PASSPHRASE
path = Path(sys.argv[1])
rng = random.Random(1)
first = open_record(path, PASSPHRASE)
key = first.key
first.close()
for number in range(200):
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        data = path.read_bytes()
        from tapscore.records.data import from_json
        from tapscore.records.record_file import _digest
        file = RecordFile(path, from_json(sealed.unseal(data, key)), key, "", _digest(data))
        os.write(writer, b"x")
        count = 0
        while True:
            count += 1
            file.record = evolve(file.record, label=f"{number} {count}")
            file._moved = count % 3 == 0
            file.save()
    os.read(reader, 1)
    time.sleep(rng.random() * 0.02)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    os.close(reader); os.close(writer)
    from tapscore.records.data import from_json
    for each in path.parent.glob("*.classrecord"):
        if not each.name.startswith("."):
            record = from_json(sealed.unseal(each.read_bytes(), key))
            assert len(record.pupils) == 2, each
print("whole", number + 1)
"""


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX matter")
def test_killed_two_hundred_times_while_saving(made: RecordFile) -> None:
    made.close()
    done = subprocess.run(
        [sys.executable, "-c", SAVER, str(made.path)],
        capture_output=True,
        text=True,
        timeout=110,
        check=False,
    )
    assert done.stdout == "whole 200\n", done.stderr
    file = open_record(made.path, PASSPHRASE)
    labelled(file, "after all that")
    file.close()
    left = [path.name for path in made.path.parent.iterdir() if "tapscore-part" in path.name]
    assert left == [], "unfinished files of killed programs are swept"


def test_dates_that_a_clock_set_back_does_not_fool(made: RecordFile) -> None:
    from tapscore.records.edits import clock_trouble, keeping_reminder

    record: ClassRecord = made.record
    assert clock_trouble(record, date(2027, 3, 17)) == ""
    assert "1 January 2020" in clock_trouble(record, date(2020, 1, 1))
    assert keeping_reminder(record, date(2027, 8, 30)) == ""
    assert "31 August 2027" in keeping_reminder(record, date(2027, 8, 31))
    kept = evolve(record, keep_until=date(2027, 3, 10))
    assert keeping_reminder(kept, date(2020, 1, 1)), "the newest telling counts, too"


def test_a_copied_folder_opens_as_well(made: RecordFile, tmp_path: Path) -> None:
    made.close()
    shutil.copytree(made.path.parent, tmp_path / "stick" / "x")
    file = open_record(tmp_path / "stick" / "x" / made.path.name, PASSPHRASE)
    assert file.record == small_record()
    file.close()
