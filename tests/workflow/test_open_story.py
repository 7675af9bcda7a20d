"""Opening a story gives all findings in the text's order, or one that says why not."""

from pathlib import Path

import pytest

from tapscore.workflow.open_story import open_story


def test_reader_and_rules_together_in_order(tmp_path: Path) -> None:
    path = tmp_path / "s.yaml"
    path.write_text(
        "tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n"
        '      - words: la\n        lane: "| . X . . . . |"\n'
        "        sopt: middle\n"
        '      - words: la la\n        lane: "| X . . X . |"\n'
        '      - words: la\n        lane: "| X . . . . . . | . |"\n'
    )
    opened = open_story(path)
    wanted = ["accent-on-beat", "unknown-key", "pickup-joins", "bars-full"]
    found = [(f.span.line, f.code) for f in opened.findings if f.span and f.code in wanted]
    assert found == list(zip([8, 9, 11, 13], wanted, strict=True))
    lines = [f.span.line for f in opened.findings if f.span is not None]
    assert lines == sorted(lines)
    assert [f.code for f in opened.must_mend][:2] == ["unknown-key", "bars-full"]
    assert opened.story is not None


def test_no_such_file_names_the_nearest(tmp_path: Path) -> None:
    (tmp_path / "lantern.yaml").write_text("")
    opened = open_story(tmp_path / "lantren.yaml")
    assert opened.story is None
    (finding,) = opened.findings
    assert "There is no file" in finding.message
    assert "Did you mean `lantern.yaml`?" in finding.message


def test_a_folder(tmp_path: Path) -> None:
    (finding,) = open_story(tmp_path).findings
    assert finding.code == "can't-open"
    assert finding.must_mend


def test_no_right_to_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(path: Path, most_bytes: int) -> bytes:
        raise PermissionError(13, "denied")

    monkeypatch.setattr("tapscore.storyfile.read.read_bounded", refuse)
    (finding,) = open_story(tmp_path / "a.yaml").findings
    assert "may not be read" in finding.message


def test_below_a_file(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    (finding,) = open_story(tmp_path / "file" / "a.yaml").findings
    assert finding.code == "can't-open"


def test_rules_say_nothing_about_a_metre_that_could_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "s.yaml"
    path.write_text(
        "tapscore: 2\ntitle: T\nmetre: 3/5\nstory:\n  - section: One\n    lines:\n"
        '      - words: la\n        lane: "| . . . X . . |"\n'
    )
    assert [finding.code for finding in open_story(path).findings] == ["wrong-value"]
