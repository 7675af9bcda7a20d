"""With what each product is made, a story for a hall, and made as it was told, by hand."""

import importlib
from datetime import date
from fractions import Fraction
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from attrs import evolve

from tapscore.model.finding import Finding, Severity
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Role, Wait
from tapscore.model.tempo import Tempo
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_text
from tapscore.wording.about import About
from tapscore.workflow.export_story import Exported, Made, _file_failure, _folder_failure
from tapscore.workflow.find_words import FoundWords, _with_text, as_divided, find_words
from tapscore.workflow.hall import hall_story
from tapscore.workflow.metre_choice import _guessed
from tapscore.workflow.my_stories import _why_not
from tapscore.workflow.names import slug
from tapscore.workflow.open_story import checked_story, title_of
from tapscore.workflow.product import Choices
from tapscore.workflow.products import EXPORTS
from tapscore.workflow.recordings_beside import recordings_beside
from tapscore.workflow.records.made import MONTHS, term_around
from tapscore.workflow.story_as_told import _bounded, _retimed, as_told, pace_told
from tapscore.workflow.tapping_in import MOST_TAPS, _onsets, read_tap_times

HEAD = "tapscore: 2\ntitle: T\nmetre: 2/4\n"
LOUD = 'story:\n  - section: One\n    lines:\n      - {words: a b, lane: "| x . x . |"}\n'


def _story(text: str) -> Any:
    read = read_text(HEAD + text)
    assert read.story is not None, read.findings
    return read.story


CHOICES = Choices(
    card_paper="A6",
    distance_m=2.5,
    sound="ogg",
    per_sheet=2,
    backs=True,
    other_paper="A4",
    margin_mm=9.0,
    short_turns=True,
    part_language="pl",
    part_paper="A3",
)
PAGES = {"margin_mm": 9.0}


@pytest.mark.parametrize(
    ("export", "at", "where", "given"),
    [
        ("pocket-key", 0, "pocket_key.pocket_key", {"paper": "A6", **PAGES}),
        ("prop-list", 0, "prop_list.prop_list", {"paper": "A4", **PAGES}),
        ("prop-list", 1, "prop_list.box_label", {"paper": "A5", **PAGES}),
        ("floor-plan", 0, "floor_plan.floor_plan", {"paper": "A4", **PAGES}),
        ("whole-hall", 2, "hall_screen.hall_screen", {"paper": "A4", **PAGES}),
        (
            "cue-cards",
            0,
            "cue_cards.cue_cards",
            {
                "paper": "A6",
                "distance_m": 2.5,
                "per_sheet": 2,
                "backs": True,
                "margin_mm": 9.0,
                "other_paper": "A4",
            },
        ),
        (
            "part-sheets",
            0,
            "part_sheets.part_sheets",
            {"paper": "A3", "distance_m": 2.5, "margin_mm": 9.0, "language": "pl"},
        ),
        ("cue-sheet", 0, "cue_sheet.cue_sheet", {"paper": "A4", **PAGES}),
    ],
)
def test_what_papers_are_made_with(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    export: str,
    at: int,
    where: str,
    given: dict[str, Any],
) -> None:
    board = "board: {size_cm: [120, 90]}\n"
    story = _story("roles: {leader: {}}\n" + board + LOUD)
    seen: dict[str, Any] = {}
    finding = Finding("x", Severity.ADVICE)

    def make(told: Any, *rest: Any, **named: Any) -> Any:
        seen.update(named, title=told.title)
        return SimpleNamespace(pdf=b"%PDF", findings=(finding,))

    module, _, name = where.rpartition(".")
    monkeypatch.setattr(importlib.import_module(f"tapscore.exports.paper.{module}"), name, make)
    chosen = next(each for each in EXPORTS if each.name == export)
    product = list(chosen.products(story, CHOICES))[at]
    shares: list[float] = []
    assert product.write(tmp_path / "a.pdf", shares.append) == (finding,)
    assert (tmp_path / "a.pdf").read_bytes() == b"%PDF"
    assert shares == [1.0]
    assert product.export == export
    assert seen["title"] == "T"
    assert {key: seen[key] for key in given} == given


@pytest.mark.parametrize(("short", "longest"), [(True, Fraction(10)), (False, None)])
def test_what_sound_is_made_with(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, short: bool, longest: Fraction | None
) -> None:
    """A bar is counted in; turns are cut to ten seconds if that was asked for."""
    from tapscore.exports.audio import guide
    from tapscore.exports.audio.versions import rehearsal_set as set_module

    story = _story(
        "props: {cup: {what: a cup}}\n" + LOUD + "      - {words: c, prop in: cup}\n"
        "      - {offer: cup, turn: 30}\n"
    )
    seen: dict[str, Any] = {}

    def make(_: Any, *rest: Any, **named: Any) -> Any:
        seen.update(named)
        seen.setdefault("played", rest[0])
        return SimpleNamespace(findings=())

    monkeypatch.setattr(guide, "audio_guide", make)
    monkeypatch.setattr(set_module, "rehearsal_set", make)
    choices = Choices(sound="wav", short_turns=short, mono=True, loudest_heard=Loudness.QUIET)
    products = {
        each.export: each
        for chosen in EXPORTS
        if chosen.name in ("audio-guide", "rehearsal-set")
        for each in chosen.products(story, choices)
    }
    assert products["audio-guide"].file_name == "t-audio-guide.wav"
    assert not products["audio-guide"].is_folder
    assert products["rehearsal-set"].is_folder
    found = products["audio-guide"].write(tmp_path / "a.wav", lambda _: None)
    assert "heard-softer" in [each.code for each in found]
    assert seen["format"] == "wav"
    assert seen["heard"].mono
    offers = [s for s in seen["played"].segments if s.item == story.sections[0].items[2]]
    assert len(offers) == 1
    assert offers[0].length_sec == pytest.approx(10 if short else 30, abs=3)
    # A bar of two beats at 60 is two seconds.
    assert min(tap.onset_sec for tap in seen["played"].taps) == pytest.approx(2.0)
    products["rehearsal-set"].write(tmp_path, lambda _: None)
    assert seen["longest_offer_sec"] == longest
    assert recordings_beside(tmp_path / "mill.yaml") == tmp_path / "mill recordings"


def test_what_taps_and_score_are_made_with(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The click guide counts a bar of two seconds in, and cuts a turn of 30 seconds to ten."""
    from tapscore.exports import midi, musicxml

    story = _story(
        "props: {cup: {what: a cup}}\n" + LOUD + "      - {words: c, prop in: cup}\n"
        "      - {offer: cup, turn: 30}\n"
    )
    seen: list[Any] = []

    def click_guide(_: Any, heard: Any) -> bytes:
        seen.append(heard)
        return b"taps"

    monkeypatch.setattr(midi, "click_guide", click_guide)
    monkeypatch.setattr(musicxml, "score_file", lambda _: b"score")
    found = {
        each.file_name: each
        for chosen in EXPORTS
        if chosen.name in ("click-guide", "score")
        for each in chosen.products(story, Choices())
    }
    for name, data in (("t-click-guide.mid", b"taps"), ("t-score.musicxml", b"score")):
        shares: list[float] = []
        assert found[name].write(tmp_path / name, shares.append) == ()
        assert (tmp_path / name).read_bytes() == data
        assert shares == [1.0]
    (heard,) = seen
    assert min(tap.onset_sec for tap in heard.taps) == pytest.approx(2.0)
    (turn,) = [s for s in heard.segments if s.item == story.sections[0].items[2]]
    assert turn.length_sec == pytest.approx(10, abs=3)


HALL = """loudness: quiet
roles: {leader: {}, drum: {}}
by: [drum]
props: {cup: {what: a cup, by: drum}}
refrains: {home: [{words: so so, lane: "| x . x . |"}]}
story:
  - section: One
    by: [drum]
    lines:
      - {words: a b, lane: "| X . t . |", do: nod}
      - {words: a b, lane: "| x . x . |", loudness: medium}
      - {words: a b, lane: "| x . x . |", loudness: medium to loud}
      - {words: a b, lane: "| x . x(by drum) . |", warn first: ready}
      - {words: a b}
"""


def test_who_taps_in_a_hall() -> None:
    story = _story(HALL.replace("(by drum)", "").replace("by: [drum]\n", "", 1))
    told = hall_story(story)
    lanes = [lane_text(i.lane) for i in told.sections[0].items if isinstance(i, Line) and i.lane]
    assert lanes == ["| s . . . |", "| s . s . |", "| x . x . |", "| x . x . |"]
    (row,) = told.refrains[0].items
    assert isinstance(row, Line)
    assert row.lane is not None
    assert lane_text(row.lane) == "| x . x . |"
    first = told.sections[0].items[0]
    assert isinstance(first, Line)
    assert first.done_by == ("leader",)
    assert told.roles == (Role("leader"), Role("everybody"))
    assert told.sections[0].manner.by == ()
    assert told.manner.by == ("everybody",)
    assert told.title == "T, for a whole hall"
    assert told.props[0].by == "leader"


def _heard(*ratios: float, sure: bool = True) -> Any:
    lines = [SimpleNamespace(ratio=r, sure=sure, segment=at) for at, r in enumerate(ratios)]
    segment = SimpleNamespace(manner=SimpleNamespace(loudness=(Loudness.QUIET, Loudness.LOUD)))
    return cast(
        Any,
        SimpleNamespace(
            told=SimpleNamespace(lines=lines), performance=SimpleNamespace(segments=[segment] * 9)
        ),
    )


def test_how_fast_all_of_it_was_told() -> None:
    assert pace_told(_heard(0.5, 0.8, 2.0)) == 1.25
    assert pace_told(_heard(0.5, sure=False)) == 1.0
    assert pace_told(SimpleNamespace(told=None)) == 1.0  # type: ignore[arg-type]
    assert [_bounded(Fraction(60), pace) for pace in (1.25, 0.991, 100, 0.001)] == [
        *(75, 59, _bounded(Fraction(1000), 9), _bounded(Fraction(1), 0.1))
    ]
    story = _story("tempo: 60 to 40\n" + LOUD.replace("b,", "b, tempo: 80,"))
    made = _retimed(story, 1.25)
    assert made.manner.tempo == Tempo(Fraction(75), Fraction(50))
    assert made.sections[0].items[0].manner.tempo == Tempo(Fraction(100))  # type: ignore[union-attr]
    assert _retimed(_story(LOUD), 0.5).manner.tempo == Tempo(Fraction(30))


@pytest.mark.parametrize(
    ("code", "about", "loudness"),
    [
        ("told-no-louder", {"earlier": 2}, (2,)),
        ("told-much-louder", {"earlier": 2, "loudness": 1}, (3,)),
        ("told-much-louder", {"earlier": 1, "loudness": 3}, (4,)),
        ("told-much-louder", {"earlier": 4, "loudness": 4}, None),
        ("told-swell", {"sounded": "even"}, (Loudness.QUIET,)),
        ("told-swell", {"sounded": "other"}, (Loudness.LOUD, Loudness.QUIET)),
        ("told-else", {}, None),
    ],
)
def test_a_loudness_made_as_it_was_told(
    code: str, about: dict[str, Any], loudness: tuple[int, ...] | None
) -> None:
    story = _story("loudness: medium\n" + LOUD)
    finding = Finding(code, Severity.ADVICE, path=("story", 0, "lines", 0), about=About(**about))
    difference = cast(Any, SimpleNamespace(segment=0, finding=finding))
    made = as_told(story, _heard(1.0), difference)
    if loudness is None and code == "told-else":
        assert made is None
        return
    assert made is not None
    top = tuple(Loudness(each) for each in loudness or (max(Loudness),))
    line = made.sections[0].items[0]
    assert isinstance(line, Line)
    assert line.manner == PartialManner(loudness=top)


def test_a_wait_made_as_it_was_told() -> None:
    story = _story(LOUD + "      - wait: 10\n")
    about = About(lasted=17)
    finding = Finding("told-wait", Severity.ADVICE, path=("story", 0, "lines", 1), about=about)
    difference = cast(Any, SimpleNamespace(segment=1, finding=finding))
    made = as_told(story, _heard(1.0), difference)
    assert made is not None
    assert made.sections[0].items[1] == Wait(Fraction(17))
    gone = evolve(finding, path=("story", 0, "lines", 9))
    assert as_told(story, _heard(1.0), evolve_of(difference, gone)) is None


def evolve_of(difference: Any, finding: Finding) -> Any:
    return SimpleNamespace(segment=difference.segment, finding=finding)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("x" * 61, "x" * 60),
        ("x" * 59 + " y", "x" * 59),
        ("\u0142" * 60, "\u0142" * 37),
        ("CON", "con-story"),
        ("con1", "con1"),
        ("COM1", "com1-story"),
        ("a_b--c", "a-b-c"),
        ("-", "story"),
    ],
)
def test_names_of_files(text: str, name: str) -> None:
    assert slug(text) == name
    assert slug("-", "role") == "role"


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ("title: The  Mill\n", "The Mill"),
        ("# x\ntitle: 'a' # b\ntitle: c\n", "a"),
        ("title: 7\n", "own"),
        ("title: ' '\n", "own"),
        ("title: [\n", "own"),
        (" title: a\n", "own"),
        ("", "own"),
    ],
)
def test_a_title_without_reading_the_story(tmp_path: Path, text: str, title: str) -> None:
    (tmp_path / "own.yaml").write_text(text)
    assert title_of(tmp_path / "own.yaml") == title


def test_words_put_in_the_place_of_others() -> None:
    def found(start: int, end: int, text: str) -> FoundWords:
        return FoundWords(("story", 0), "words", start, end, text)

    put = _with_text([found(0, 3, "Row"), found(8, 11, "row")], "pull hard")
    assert put("Row and row it") == "Pull hard and pull hard it"
    assert _with_text([found(0, 3, "Row")], "")("Row it") == "it"
    assert as_divided("lan-tern boat lan-tern", "lantern ship lantern") == "lan-tern ship lan-tern"
    assert as_divided("lan-tern", "a lantern b") == "a lan-tern b"
    story = _story(LOUD.replace("a b,", "'a lan-tern', do: hold a Lantern,"))
    assert [(f.key, f.start, f.end, f.text) for f in find_words(story, " lantern ")] == [
        *(("words", 2, 9, "lantern"), ("do", 7, 14, "Lantern"))
    ]
    assert [len(find_words(story, "lan", whole=whole)) for whole in (False, True)] == [2, 0]
    assert find_words(story, " ") == ()


def test_how_many_taps_a_file_may_have(tmp_path: Path) -> None:
    path = tmp_path / "taps.txt"
    path.write_text("1\n" * (MOST_TAPS - 1) + "\n 0,5 \n")
    assert read_tap_times(path) == (0.5, *([1.0] * (MOST_TAPS - 1)))
    path.write_text("1\n" * (MOST_TAPS + 1))
    with pytest.raises(ValueError, match="there are 201 taps in it"):
        read_tap_times(path)
    for text in ("3600", "-1", "one", "nan"):
        path.write_text(f"0\n\n{text}\n")
        with pytest.raises(ValueError, match=f"line 3 is no time in seconds: {text}"):
            read_tap_times(path)
    path.write_text("3599.9")
    assert read_tap_times(path) == (3599.9,)


@pytest.mark.parametrize("felt", [False, True])
@pytest.mark.parametrize("full", [False, True])
def test_which_rules_are_asked(monkeypatch: pytest.MonkeyPatch, felt: bool, full: bool) -> None:
    from tapscore.checks import all_rules, holding_back, registry

    seen: list[Any] = []

    def run(_: Any, rules: Any) -> tuple[()]:
        seen.append(rules)
        return ()

    monkeypatch.setattr(holding_back, "rules_to_run", run)
    checked_story(_story(LOUD), felt=felt, full=full)
    (rules,) = seen
    assert set(registry.RULES) <= set(rules)
    for asked, own in ((felt, all_rules.FELT_RULES), (full, all_rules.FULL_RULES)):
        assert own
        assert (set(own) <= set(rules)) is asked


def test_the_next_best_metre_is_named() -> None:
    suggested = [
        SimpleNamespace(metre=m, reason=r) for m, r in (("a", "x"), ("b", "y"), ("c", "z"))
    ]
    assert _guessed(cast(Any, suggested)) == "a is a guess. x Also possible: b. y"
    assert _guessed(cast(Any, suggested[:1])) == "a is a guess. x"


def test_terms_at_their_edges() -> None:
    for month in range(1, 13):
        begin = max(first for first, _ in MONTHS if first <= month)
        assert begin == {**dict.fromkeys((1, 2, 3), 1), **dict.fromkeys((4, 5, 6, 7, 8), 4)}.get(
            month, 9
        )
        first, last = term_around(date(2027, month, 1))
        assert first == date(2027, begin, 1)
        assert last == {1: date(2027, 3, 31), 4: date(2027, 8, 31), 9: date(2027, 12, 31)}[begin]


@pytest.mark.parametrize(
    ("tapped", "count", "onsets"),
    [
        # In 2/4 a step is half a beat, and the finest grid an eighth.
        ("0@0 1@1", 2, "0 1"),
        ("1@1", 2, "1/2 1"),  # before the first tap a step for each
        ("2@1", 3, "0 1/2 1"),
        ("0@0", 3, "0 1/2 1"),  # after the last one, too
        # Between: the room shared out, on the grid; 1/3 is two eighths, then half of 3/4 three.
        ("0@0 3@1", 4, "0 1/4 5/8 1"),
        ("0@0 2@1", 3, "0 1/2 1"),
        ("0@0 2@1/8", 3, None),  # no room
        ("0@1 1@1", 2, None),
        ("0@0 0@1/4 1@1", 2, "0 1"),  # the first of two taps of a syllable
        ("-@0 0@1/2 1@-", 2, "1/2 1"),
        ("-@0", 1, None),
    ],
)
def test_where_syllables_without_a_tap_fall(tapped: str, count: int, onsets: str | None) -> None:
    taps = [each.split("@") for each in tapped.split()]
    reading = SimpleNamespace(
        syllables=[None if at == "-" else int(at) for at, _ in taps],
        places_beats=[None if place == "-" else Fraction(place) for _, place in taps],
    )
    found = _onsets(cast(Any, reading), count, Metre(2, 4))
    assert found == (None if onsets is None else [Fraction(each) for each in onsets.split()])


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (FileNotFoundError(2, "gone"), "There is no folder here. Choose another one."),
        (NotADirectoryError(20, "none"), "here is a file, not a folder. Choose its folder."),
        (OSError(5, "Input/output error"), "here can't be looked into: the disc makes mistakes"),
        (OSError("odd"), "here can't be looked into: odd. Is its drive there?"),
    ],
)
def test_why_a_folder_is_not_listed(error: OSError, said: str) -> None:
    assert _why_not(Path("here"), error).startswith(said)


@pytest.mark.parametrize(
    ("error", "folder", "file"),
    [
        (FileExistsError(17, "x"), "d is a file, not a folder", "f was not made: x"),
        (NotADirectoryError(20, "x"), "d is a file, not a folder", "f was not made: x"),
        (PermissionError(13, "x"), "Nothing may be written in d", "f was not made: nothing may be"),
        (OSError(28, "x"), "d can't be used: x.", "f was not made: the disc is full"),
        (OSError("odd"), "d can't be used: odd.", "f was not made: odd"),
    ],
)
def test_why_nothing_was_made(error: OSError, folder: str, file: str) -> None:
    assert _folder_failure(Path("d"), error).startswith(folder)
    assert _file_failure("f", error).startswith(file)


def test_which_papers_were_made() -> None:
    """Each kind once, and none where anything failed or it was stopped."""
    names = (("a.pdf", "x"), ("b.mp3", "y"), ("c.pdf", "x"), ("d.pdf", "z"))
    made = tuple(Made(Path(name), (), export) for name, export in names)
    assert Exported(made, ()).papers == ("x", "z")
    assert Exported(made, ("no",)).papers == ()
    assert Exported(made, (), cancelled=True).papers == ()
