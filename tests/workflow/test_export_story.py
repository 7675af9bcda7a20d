"""Exports are planned, refused or made as a whole; tried with products of our own."""

import errno
import gc
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve

from tapscore.model.board import Board
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Prop, Role, Story
from tapscore.storyfile.read import read_file
from tapscore.workflow import export_story as module
from tapscore.workflow.export_story import export_story, planned
from tapscore.workflow.names import slug
from tapscore.workflow.products import EXPORT_NAMES, Choices, Export, Product, Progress
from tests.hill import STORY as HILL

STORY = Story("The Mill", roles=(Role("leader"), Role("prop handler")), props=(Prop("mill wheel"),))
Write = Callable[[Path, Progress], tuple[Finding, ...]]


def _writing(data: bytes) -> Write:
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        progress(0.5)
        path.write_bytes(data)
        return ()

    return write


def _failing(error: OSError) -> Write:
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        path.write_bytes(b"half")
        raise error

    return write


def _use(monkeypatch: pytest.MonkeyPatch, **writes: Write) -> None:
    def export(name: str, write: Write) -> Export:
        def products(story: Story, choices: Choices) -> Iterator[Product]:
            yield Product(name, f"{name}.bin", write)

        return Export(name, "for a test", products)

    exports = tuple(export(name, write) for name, write in writes.items())
    monkeypatch.setattr(module, "EXPORTS", exports)


def _files(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir() if not p.name.startswith(".")}


def test_everything_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _use(monkeypatch, one=_writing(b"1"), two=_writing(b"2"))
    heard: list[tuple[str, float]] = []
    exported = export_story(
        STORY, tmp_path / "new" / "folder", report=lambda name, share: heard.append((name, share))
    )
    assert exported.failures == ()
    assert [made.path.name for made in exported.made] == ["one.bin", "two.bin"]
    assert _files(tmp_path / "new" / "folder") == {"one.bin": b"1", "two.bin": b"2"}
    assert heard == [("one.bin", 0.5), ("one.bin", 1.0), ("two.bin", 0.5), ("two.bin", 1.0)]


def test_only_some(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _use(monkeypatch, one=_writing(b"1"), two=_writing(b"2"))
    export_story(STORY, tmp_path, only=("two",))
    assert _files(tmp_path) == {"two.bin": b"2"}


def test_again_over_our_own_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _use(monkeypatch, one=_writing(b"1"))
    export_story(STORY, tmp_path)
    _use(monkeypatch, one=_writing(b"again"))
    assert export_story(STORY, tmp_path).failures == ()
    assert _files(tmp_path) == {"one.bin": b"again"}


def test_somebody_elses_file_stops_everything(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "two.bin").write_bytes(b"theirs")
    _use(monkeypatch, one=_writing(b"1"), two=_writing(b"2"))
    exported = export_story(STORY, tmp_path)
    assert exported.made == ()
    assert len(exported.failures) == 1
    assert "two.bin was not made by tapscore" in exported.failures[0]
    assert "--replace" in exported.failures[0]
    assert _files(tmp_path) == {"two.bin": b"theirs"}
    assert export_story(STORY, tmp_path, replace=True).failures == ()
    assert _files(tmp_path) == {"one.bin": b"1", "two.bin": b"2"}


def test_a_file_changed_since_is_somebody_elses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _use(monkeypatch, one=_writing(b"1"))
    export_story(STORY, tmp_path)
    (tmp_path / "one.bin").write_bytes(b"with notes by hand")
    assert "changed since" in export_story(STORY, tmp_path).failures[0]


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "the disc is full. Make room"),
        (PermissionError(errno.EACCES, "denied"), "nothing may be written there"),
        (OSError(errno.EIO, "Input/output error"), "the disc makes mistakes"),
    ],
)
def test_one_file_fails_and_the_others_are_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: OSError, says: str
) -> None:
    (tmp_path / "one.bin").write_bytes(b"old")
    _use(monkeypatch, one=_failing(error), two=_writing(b"2"))
    exported = export_story(STORY, tmp_path, replace=True)
    assert [made.path.name for made in exported.made] == ["two.bin"]
    assert len(exported.failures) == 1
    assert exported.failures[0].startswith("one.bin was not made: ")
    assert says in exported.failures[0]
    assert _files(tmp_path) == {"one.bin": b"old", "two.bin": b"2"}


def test_a_file_in_place_of_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _use(monkeypatch, one=_writing(b"1"))
    (tmp_path / "file").write_bytes(b"")
    for folder in (tmp_path / "file", tmp_path / "file" / "below"):
        exported = export_story(STORY, folder)
        assert exported.made == ()
        assert "is a file, not a folder" in exported.failures[0]


def test_a_folder_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _use(monkeypatch, one=_writing(b"1"))

    def refuse(self: Path, *args: object, **options: object) -> None:
        raise PermissionError(errno.EACCES, "denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    exported = export_story(STORY, tmp_path)
    assert "Nothing may be written" in exported.failures[0]


def test_what_could_not_be_shown_is_passed_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    finding = Finding("encoder-missing", Severity.ADVICE)

    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        path.write_bytes(b"1")
        return (finding,)

    _use(monkeypatch, one=write)
    assert export_story(STORY, tmp_path).made[0].findings == (finding,)


def test_file_names_are_planned_without_making_anything() -> None:
    names = [product.file_name for product in planned(STORY, (), Choices())]
    assert len(set(names)) == len(names)
    assert {"the-mill-cards-leader.pdf", "the-mill-cards-prop-handler.pdf"} <= set(names)
    assert [p.export for p in planned(STORY, ("score",), Choices())] == ["score"]
    assert set(EXPORT_NAMES) - {p.export for p in planned(STORY, (), Choices())} == {"floor-plan"}


def test_what_has_nothing_to_show_is_left_out_and_said(tmp_path: Path) -> None:
    """A story without a board has no floor plan, and one without props as well nothing to pack."""
    bare = evolve(STORY, props=())
    asked = ("prop-list", "floor-plan", "cautions")
    made = export_story(bare, tmp_path, only=asked)
    assert [each.path.name for each in made.made] == ["the-mill-cautions.pdf"]
    assert made.left_out == (
        "No prop list was made: the story has neither props nor a board to pack.",
        "No floor plan was made: the story describes no board.",
    )
    on_a_board = evolve(bare, board=Board(Fraction(1200), Fraction(900)))
    made = export_story(on_a_board, tmp_path, only=asked)
    assert ([each.path.stem[9:] for each in made.made], made.left_out) == (
        ["prop-list", "box-label", "floor-plan", "cautions"],
        (),
    )


def test_roles_that_look_alike_have_files_of_their_own() -> None:
    story = Story("T", roles=(Role("Ann!"), Role("ann"), Role("ANN?")))
    names = [product.file_name for product in planned(story, ("cue-cards",), Choices())]
    assert len(set(names)) == 3


def test_sound_formats() -> None:
    for sound in ("mp3", "wav"):
        (product,) = planned(STORY, ("audio-guide",), Choices(sound=sound))
        assert product.file_name == f"the-mill-audio-guide.{sound}"


@pytest.mark.parametrize(
    ("text", "name"),
    [
        *[("The Lantern Boat", "the-lantern-boat"), ("Über / die: Brücke", "uber-die-brucke")],
        *[
            ("../../etc", "etc"),
            ("", "story"),
            ("🙂", "story"),
            ("日本", "日本"),
            ("a" * 90, "a" * 60),
        ],
        *[("con?", "con-story"), ("NUL", "nul-story"), ("lpt1", "lpt1-story"), ("cone", "cone")],
        *[("木" * 60, "木" * 25), ("a" * 59 + "木" * 9, "a" * 59 + "木")],
        *[("  a -- b  ", "a-b"), ("x" * 59 + " yz", "x" * 59)],
    ],
)
def test_names_for_files(text: str, name: str) -> None:
    assert slug(text) == name


def test_cards_too_small_for_the_distance_say_so_and_the_rest_is_made(
    tmp_path: Path, demo_path: Path
) -> None:
    story = read_file(demo_path).story
    assert story is not None
    choices = Choices("A6", 3.0)
    exported = export_story(story, tmp_path, only=("cue-cards", "cue-sheet"), choices=choices)
    assert [made.path.name for made in exported.made] == ["the-lantern-boat-cue-sheet.pdf"]
    assert len(exported.failures) == len(story.role_names)
    assert "was not made" in exported.failures[0]
    assert [path.name for path in tmp_path.glob("*.pdf")] == ["the-lantern-boat-cue-sheet.pdf"]


def test_stopping_leaves_out_what_is_being_made_and_keeps_the_rest(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stop = [False]

    def first(path: Path, progress: Progress) -> tuple[Finding, ...]:
        path.write_bytes(b"1")
        return ()

    def second(path: Path, progress: Progress) -> tuple[Finding, ...]:
        path.write_bytes(b"half")
        stop[0] = True
        progress(0.5)
        raise AssertionError("it went on")

    _use(monkeypatch, one=first, two=second, three=first)
    exported = export_story(STORY, tmp_path, cancelled=lambda: stop[0])
    assert exported.cancelled
    assert [made.path.name for made in exported.made] == ["one.bin"]
    assert _files(tmp_path) == {"one.bin": b"1"}


def test_a_set_is_a_folder_that_is_whole_or_not_there(tmp_path: Path) -> None:
    stop = [False]
    shares: list[float] = []

    def hear(name: str, share: float) -> None:
        shares.append(share)
        stop[0] = share > 0.5

    choices = Choices(sound="flac")
    only = ("rehearsal-set",)
    exported = export_story(
        STORY, tmp_path, only=only, choices=choices, report=hear, cancelled=lambda: stop[0]
    )
    assert exported.cancelled
    assert exported.made == ()
    assert not [path for path in tmp_path.iterdir() if path.is_dir()]
    exported = export_story(STORY, tmp_path, only=only, choices=choices)
    assert exported.failures == ()
    (made,) = exported.made
    assert made.path.name == "the-mill-rehearsal-set"
    assert (made.path / "index.html").is_file()
    again = export_story(STORY, tmp_path, only=only, choices=choices)
    assert len(again.made) == 1
    (made.path / "index.html").write_text("changed")
    refused = export_story(STORY, tmp_path, only=only, choices=choices)
    assert "was changed since" in refused.failures[0]


def test_recordings_that_cannot_be_used_are_told_and_the_sound_is_made(tmp_path: Path) -> None:
    recordings = tmp_path / "recordings"
    recordings.mkdir()
    (recordings / "01.wav").write_bytes(b"")
    choices = Choices(sound="wav", recordings=recordings)
    exported = export_story(HILL, tmp_path, only=("audio-guide",), choices=choices)
    (made,) = exported.made
    assert made.path.stat().st_size > 500_000
    assert "01.wav is empty" in made.findings[0].message
    assert any(finding.code == "recordings-missing" for finding in made.findings)


@pytest.mark.parametrize("before", [True, False])
def test_the_collector_rests_for_paper_and_midi_and_is_then_as_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, before: bool
) -> None:
    seen: dict[str, bool] = {}

    def products(story: Story, choices: Choices) -> Iterator[Product]:
        for ending in ("pdf", "mid", "bin"):

            def write(path: Path, progress: Progress, ending: str = ending) -> tuple[Finding, ...]:
                seen[ending] = gc.isenabled()
                path.write_bytes(b"x")
                return ()

            yield Product("a", f"a.{ending}", write)

    monkeypatch.setattr(module, "EXPORTS", (Export("a", "for a test", products),))
    (gc.enable if before else gc.disable)()
    try:
        assert len(export_story(STORY, tmp_path / "out").made) == 3
        assert seen == {"pdf": False, "mid": False, "bin": before}
        assert gc.isenabled() is before
    finally:
        gc.enable()
