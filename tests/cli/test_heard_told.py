"""``tapscore heard`` without any sound: exit codes, outputs, times and what is passed on."""

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tapscore.board.words import MODEL_SENTENCE
from tapscore.cli import heard as command
from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.model.finding import Finding, Severity
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.wording.about import About
from tapscore.workflow.listening_back import NO_PUPILS, Heard, Trim
from tests.cli.running import SOUND, Said, run, usage

STORY = read_text(SOUND).story
BROKEN = "b.wav is broken."


class Recordings:
    """What is heard in each file, and what was asked."""

    def __init__(self) -> None:
        self.heard: dict[str, Heard] = {}
        self.asked: list[tuple[str, Trim, object]] = []
        self.changed: dict[str, Finding] = {}

    def listen_back(self, _story: object, path: Path, trim: Trim, *, detector: object) -> Heard:
        self.asked.append((path.name, trim, detector))
        if path.name not in self.heard:
            raise RecordingUnusable(BROKEN)
        return self.heard[path.name]

    def changed_since(self, file: Path, path: Path) -> Finding | None:
        assert file.name == "mill.yaml"
        return self.changed.get(path.name)


def _heard(*, can_tell: bool = True, begin_sec: float = 2.0, remarks: Any = ()) -> Heard:
    assert STORY is not None
    told: Any = SimpleNamespace(can_tell=can_tell, begin_sec=begin_sec)
    return Heard(perform(STORY), told, (), remarks)


def _told(_story: object, heard: list[Heard]) -> str:
    """In place of the report: how many rehearsals, and the remarks of each."""
    remarks = ";".join(",".join(f.code for f in each.remarks) for each in heard)
    return f"told {len(heard)}: {remarks}\n"


@pytest.fixture
def recordings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Recordings:
    monkeypatch.chdir(tmp_path)
    Path("mill.yaml").write_text(SOUND, encoding="utf-8")
    made = Recordings()
    made.heard = {"a.wav": _heard(), "dim.wav": _heard(can_tell=False)}
    monkeypatch.setattr(command, "listen_back", made.listen_back)
    monkeypatch.setattr(command, "changed_since", made.changed_since)
    monkeypatch.setattr(command, "own_detector", lambda: "the usual")
    monkeypatch.setattr(command, "report", _told)
    monkeypatch.setattr(command, "line_rows", lambda _: ["rows"])
    return made


@pytest.mark.parametrize(
    ("names", "code", "out"),
    [
        (("a.wav",), 0, "told 1: \n"),
        (("a.wav", "a.wav"), 0, "told 2: ;\n"),
        (("dim.wav",), 1, "told 1: \n"),
        (("a.wav", "dim.wav"), 1, "told 2: ;\n"),
        (("dim.wav", "a.wav"), 1, "told 2: ;\n"),
    ],
)
def test_it_ends_with_0_only_where_all_can_be_told(
    recordings: Recordings, names: tuple[str, ...], code: int, out: str
) -> None:
    assert run("heard", "mill.yaml", *names) == Said(code, out, f"{NO_PUPILS}\n")
    assert recordings.asked == [(name, Trim(0.0, None), "the usual") for name in names]


def test_a_file_that_is_no_recording_ends_with_2(recordings: Recordings) -> None:
    said = run("heard", "mill.yaml", "a.wav", "b.wav")
    assert said == Said(2, "", f"{NO_PUPILS}\n{BROKEN}\n")
    said = run("heard", "mill.yaml", "b.wav", "--format", "json")
    assert said == Said(2, "", f"{BROKEN}\n")


def test_as_data_nothing_else_is_printed(recordings: Recordings) -> None:
    remark = Finding("sound-overloaded", Severity.ADVICE)
    about = About(case="missing", path="x.yaml", near=None, why="gone")
    later = Finding("can't-open", Severity.LOOK_AGAIN, ("story", 0), about=about)
    differences: Any = [SimpleNamespace(finding=later, at_sec=at) for at in (1.234, None)]
    whole = _heard(remarks=(remark,))
    recordings.heard["a.wav"] = Heard(whole.performance, whole.told, differences, whole.remarks)
    recordings.heard["none.wav"] = Heard(whole.performance, None, differences[:1])
    said = run("heard", "mill.yaml", "a.wav", "none.wav", "--format", "json")
    assert (said.code, said.err) == (1, "")
    data = json.loads(said.out)
    assert said.out.startswith('{\n  "file": "mill.yaml",\n')
    assert data["file"] == "mill.yaml"
    one, other = data["recordings"]
    assert (one["recording"], one["can_tell"], one["lines"]) == ("a.wav", True, ["rows"])
    assert one["remarks"] == [
        {"code": remark.code, "message": remark.message, "remedy": remark.remedy}
    ]
    assert [each["at"] for each in one["differences"]] == [3.23, None]
    assert {**one["differences"][0], "at": 0} == {
        **{"code": later.code, "path": ["story", 0], "at": 0},
        **{"message": later.message, "remedy": later.remedy, "about": about.as_plain()},
    }
    assert (other["recording"], other["can_tell"]) == ("none.wav", False)
    assert [each["at"] for each in other["differences"]] == [1.23]


def test_a_story_changed_since_is_a_last_remark_of_that_recording(recordings: Recordings) -> None:
    recordings.heard["b.wav"] = _heard(remarks=(Finding("sound-overloaded", Severity.ADVICE),))
    recordings.changed["b.wav"] = Finding("changed", Severity.ADVICE)
    assert run("heard", "mill.yaml", "a.wav", "b.wav").out == "told 2: ;sound-overloaded,changed\n"


@pytest.mark.parametrize(
    ("words", "trim"),
    [
        (("--from", "1:30"), Trim(90.0, None)),
        (("--from", "12"), Trim(12.0, None)),
        (("--to", "0:02"), Trim(0.0, 2.0)),
        (("--from", "1:00", "--to", "1:02"), Trim(60.0, 62.0)),
    ],
)
def test_only_a_part_is_listened_to(
    recordings: Recordings, words: tuple[str, ...], trim: Trim
) -> None:
    assert run("heard", "mill.yaml", "a.wav", *words).code == 0
    assert recordings.asked == [("a.wav", trim, "the usual")]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--from", "soon"), "“soon” is no time for --from. Write 1:30, or seconds."),
        (("--to", "soon"), "“soon” is no time for --to. Write 1:30, or seconds."),
        (
            ("--from", "1:00", "--to", "1:01"),
            "--to lies after --from, by two seconds at least.",
        ),
        (("--to", "1"), "--to lies after --from, by two seconds at least."),
    ],
)
def test_times_that_can_t_be(recordings: Recordings, words: tuple[str, ...], says: str) -> None:
    assert usage(run("heard", "mill.yaml", "a.wav", *words)) == says
    assert recordings.asked == []


def test_the_report_is_written_as_well(recordings: Recordings) -> None:
    said = run("heard", "mill.yaml", "a.wav", "--out", "told.txt")
    assert (said.code, said.out) == (0, "told 1: \n")
    assert Path("told.txt").read_text(encoding="utf-8") == said.out
    said = run("heard", "mill.yaml", "dim.wav", "--out", "told.txt", "--format", "json")
    assert said.code == 1
    assert Path("told.txt").read_text(encoding="utf-8") == "told 1: \n"
    said = run("heard", "mill.yaml", "a.wav", "--out", "none/told.txt")
    why = "none/told.txt can't be written: there is no such file or folder.\n"
    assert said == Said(2, "told 1: \n", f"{NO_PUPILS}\n{why}")


def test_the_own_board_is_learned_kept_and_compared(
    recordings: Recordings, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = SimpleNamespace(detector="my own", readings=(("middle", 1.0),))
    kept: list[object] = []
    wishes: list[Any] = []

    def compared(wish: Any) -> Any:
        wishes.append(wish)
        return SimpleNamespace(sentence="It agrees.")

    monkeypatch.setattr(command, "learn_own_board", lambda *_: own)
    monkeypatch.setattr(command, "keep_own_board", kept.append)
    monkeypatch.setattr(command, "phone_comparison", compared)
    learned = "What taps sound like on this board is kept as a few numbers.\n"
    said = run("heard", "mill.yaml", "a.wav", "--board", "taps.wav")
    assert said == Said(0, "told 1: \n", f"{NO_PUPILS}\n{learned}")
    assert (kept, wishes) == ([own], [])
    assert recordings.asked == [("a.wav", Trim(0.0, None), "my own")]
    board = (
        "board:\n  size_cm: [100, 80]\n  gap_mm: 40\n"
        "  places: {B: {at: [30, 40]}, A: {at: [50, 40]}}\nstory:\n"
    )
    Path("mill.yaml").write_text(SOUND.replace("story:\n", board), encoding="utf-8")
    said = run("heard", "mill.yaml", "a.wav", "--board", "taps.wav")
    assert said.code == 0
    assert said.err == f"{NO_PUPILS}\n{learned}It agrees. {MODEL_SENTENCE}\n"
    assert [(wish.place, wish.readings) for wish in wishes] == [("B", own.readings)]

    def unusable(*_: object) -> None:
        raise RecordingUnusable("Too few taps.")

    monkeypatch.setattr(command, "learn_own_board", unusable)
    said = run("heard", "mill.yaml", "a.wav", "--board", "taps.wav")
    assert said == Said(2, "", f"{NO_PUPILS}\nToo few taps.\n")
