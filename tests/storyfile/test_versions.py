"""Older files are brought up to date before they are read; newer ones are refused."""

import re

import pytest

from tapscore.storyfile import migrate
from tapscore.storyfile.migrate import bring_up_to_date
from tapscore.storyfile.read import read_text
from tapscore.storyfile.shape import VERSION

OLD = """\
# kept
tapscore: 0
name: The Mill   # kept too
story: []
"""


def _from_0(text: str) -> str:
    return re.sub(r"(?m)^name:", "title:", text.replace("tapscore: 0", "tapscore: 1"))


def test_an_older_file_is_migrated_with_its_comments() -> None:
    source = read_text(OLD, {0: _from_0})
    assert source.findings == ()
    assert source.migrated_from == 0
    assert source.story is not None
    assert source.story.title == "The Mill"
    assert source.text == OLD.replace("name:", "title:").replace("tapscore: 0", "tapscore: 1")


def test_an_older_file_without_a_migration_is_a_finding() -> None:
    source = read_text(OLD)
    assert "wrong-value" in [finding.code for finding in source.findings]


def test_a_migration_that_leaves_the_version_is_a_finding_not_a_loop() -> None:
    assert read_text(OLD, {0: lambda text: text}).findings


def test_steps_follow_one_another() -> None:
    steps = {1: lambda text: text + "b", 2: lambda text: text + "c"}
    assert bring_up_to_date("a", 1, 3, steps) == "abc"
    with pytest.raises(KeyError):
        bring_up_to_date("a", 0, 3, steps)


def test_there_is_a_way_from_every_version_there_ever_was() -> None:
    assert sorted(migrate.MIGRATIONS) == list(range(1, VERSION))


def test_a_newer_file_keeps_its_text() -> None:
    text = "tapscore: 99\ntitle: T\nsomething: new\n"
    source = read_text(text)
    assert source.story is None
    assert source.text == text
    assert [f.code for f in source.findings] == ["newer-version"]
