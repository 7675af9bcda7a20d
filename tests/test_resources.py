"""Where the program finds its own files: in a checkout, in a wheel, and a translator's."""

from pathlib import Path

import pytest

from tapscore import resources
from tapscore.resources import PartMissingError, demo_stories, language_files, resource_path


def test_in_a_checkout_they_stand_beside_the_package() -> None:
    top = Path(__file__).parents[1]
    assert resource_path("lane.txt") == top / "resources" / "lane.txt"
    assert {path.parent for path in demo_stories()} == {top / "demo_stories"}


def test_a_file_that_is_missing_is_named_and_what_to_do() -> None:
    with pytest.raises(PartMissingError) as caught:
        resource_path("nothing/there.json")
    said = "tapscore's own file nothing/there.json is missing: install tapscore again"
    assert str(caught.value) == said
    assert isinstance(caught.value, FileNotFoundError)


@pytest.fixture
def installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A package whose files may lie inside it, as a wheel has them, or beside it."""
    package = tmp_path / "site" / "tapscore"
    package.mkdir(parents=True)
    monkeypatch.setattr(resources, "_PACKAGE", str(package))
    monkeypatch.delenv("TAPSCORE_LANGUAGES", raising=False)
    return package


def put(*files: Path) -> None:
    for file in files:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("", encoding="utf-8")


def test_what_lies_inside_goes_before_what_lies_beside(installed: Path) -> None:
    beside, inside = installed.parent / "resources" / "a.txt", installed / "_resources" / "a.txt"
    put(beside)
    assert resource_path("a.txt") == beside
    put(inside)
    assert resource_path("a.txt") == inside
    put(installed.parent / "demo_stories" / "b.yaml")
    assert [path.name for path in demo_stories()] == ["b.yaml"]
    put(installed / "_demo_stories" / "c.yaml")
    assert [path.name for path in demo_stories()] == ["c.yaml"]


def test_demo_stories_go_by_name_without_days_and_other_files(installed: Path) -> None:
    folder = installed / "_demo_stories"
    names = ("b.yaml", "a.yaml", "c.yaml", "b today.yaml", "today.yaml", "a.txt", "b.yml")
    put(*(folder / name for name in names))
    assert [path.name for path in demo_stories()] == ["a.yaml", "b.yaml", "c.yaml", "today.yaml"]


def test_languages_are_known_by_their_files(installed: Path) -> None:
    assert language_files() == {}
    folder = installed / "_resources" / "languages"
    put(folder / "pl.po", folder / "cy.po", folder / "tapscore.pot", folder / "pl.po.old")
    assert language_files() == {"pl": folder / "pl.po", "cy": folder / "cy.po"}


def test_a_translator_s_folder_counts_before_the_program_s(
    installed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours, own = installed / "_resources" / "languages", tmp_path / "mine"
    put(own / "pl.po", own / "de.po")
    monkeypatch.setenv("TAPSCORE_LANGUAGES", str(own))
    assert language_files() == {"pl": own / "pl.po", "de": own / "de.po"}
    put(ours / "pl.po", ours / "cy.po")
    assert language_files() == {
        **{"pl": own / "pl.po", "de": own / "de.po"},
        "cy": ours / "cy.po",
    }
    monkeypatch.setenv("TAPSCORE_LANGUAGES", str(tmp_path / "gone"))
    assert language_files() == {"pl": ours / "pl.po", "cy": ours / "cy.po"}
