"""Words to rhythm as the editor and the commands use it."""

from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from tapscore.cli.app import main
from tapscore.model.fewer_taps import Tapped, tapped_on
from tapscore.model.finding import Severity
from tapscore.model.lane import Mark, lane_events
from tapscore.model.metre import Metre, parse_metre
from tapscore.model.story import Line, RefrainUse, Wait
from tapscore.model.words import printed, split_words
from tapscore.storyfile.lane_text import Names, lane_text, parse_lane
from tapscore.storyfile.read import read_file, read_text
from tapscore.words.line import read_line
from tapscore.workflow.fitting import (
    hyphenated,
    next_rhythm,
    retyped,
    rhythm_number,
    rhythms,
)
from tapscore.workflow.new_story import new_story_text
from tapscore.workflow.open_story import checked
from tapscore.workflow.plain_words import UnreadableWordsError, read_words, words_of
from tapscore.workflow.tapping_in import lanes_from_taps

SIX_EIGHT = Metre(6, 8)
KITE = """\
# The Paper Kite

Up on the hill on a windy day
a little red kite wanted to play.
Pull it down and let it go,
up and up and away it will blow.

The wind gave a push, the wind gave a pull,
Pull it down and let it go,
up and up and away it will blow.

## Night
- When 3 silver stars came **out** to see
"""


def lane(text: str):  # type: ignore[no-untyped-def]
    found, problems = parse_lane(text, Names())
    assert not problems
    return found


def test_hyphens_divide_what_is_not_divided_yet() -> None:
    assert hyphenated("the lantern by the har-bour") == "the lan-tern by the har-bour"
    assert hyphenated("Splash!") == "Splash!"
    assert hyphenated("") == ""


@given(st.text(max_size=60))
def test_hyphenating_adds_hyphens_and_nothing_else(words: str) -> None:
    assert hyphenated(words).replace("-", "") == words.replace("-", "")


@given(
    st.text("abcdeilmnorstuwy '’-.,!?éłŵ🙂1 ", max_size=60),
    st.sampled_from(["2/4", "3/4", "4/4", "6/8", "9/8", "12/8"]),
)
def test_every_rhythm_has_a_place_for_every_syllable(words: str, metre_text: str) -> None:
    metre = parse_metre(metre_text)
    assert metre is not None
    divided = hyphenated(words)
    for found in rhythms(divided, metre):
        assert found.syllables == len(split_words(divided))
        assert all(len(bar) == metre.steps for bar in found.bars)
        assert len(found.pickup) < metre.steps


def test_typing_keeps_a_rhythm_made_by_hand() -> None:
    by_hand = Line("row the boat", lane("| X . . t . x | X . . . . . |"))
    longer = retyped(by_hand, "row the boat home", SIX_EIGHT)
    assert longer.lane is not None
    assert lane_text(longer.lane) == "| X . . t . x | X x . . . . |"
    shorter = retyped(by_hand, "row the", SIX_EIGHT)
    assert shorter.lane is not None
    assert lane_text(shorter.lane) == "| X . . t . x | T . . . . . |"


def test_typing_fits_a_fitted_rhythm_anew_and_keeps_its_short_end() -> None:
    line = Line("Out on the wa-ter the lit-tle boat lay")
    best = rhythms(line.words, SIX_EIGHT)[0]
    cut = evolve(best, bars=(*best.bars[:-1], best.bars[-1][:-1]))
    typed = retyped(evolve(line, lane=cut), "Out on the ocean the paper boat lay", SIX_EIGHT)
    assert typed.words == "Out on the o-cean the pa-per boat lay"
    assert typed.lane is not None
    assert len(typed.lane.bars[-1]) == 5


def test_typing_words_that_only_a_dash_parts_gives_them_taps() -> None:
    line = retyped(Line(""), "up went the moon—down went the sun", Metre(6, 8))
    assert line.lane is not None
    assert line.lane.syllables == 8
    assert printed(line.words) == "up went the moon— down went the sun"


def test_joining_syllables_by_hand_stays() -> None:
    line = Line("the lan-tern")
    joined = retyped(line, "the lantern", SIX_EIGHT)
    assert joined.words == "the lantern"
    assert retyped(joined, "the lantern swings", SIX_EIGHT).words == "the lantern swings"


def test_the_next_rhythm_goes_round() -> None:
    line = Line("Jack and Jill went up the hill")
    seen = []
    for _ in range(len(rhythms(line.words, SIX_EIGHT))):
        line = next_rhythm(line, SIX_EIGHT)
        seen.append(line.lane)
    assert len(set(seen)) == len(seen) > 1
    assert next_rhythm(line, SIX_EIGHT).lane == seen[0]


def test_the_rhythm_before_leads_back_and_fewer_taps_stay_fewer() -> None:
    line = next_rhythm(Line("Jack and Jill went up the hill"), SIX_EIGHT)
    assert rhythm_number(line, SIX_EIGHT).startswith("1 of ")
    second = next_rhythm(line, SIX_EIGHT)
    assert rhythm_number(second, SIX_EIGHT).startswith("2 of ")
    assert next_rhythm(second, SIX_EIGHT, back=True) == line
    last = next_rhythm(line, SIX_EIGHT, back=True)
    number, _, count = rhythm_number(last, SIX_EIGHT).partition(" of ")
    assert number == count
    assert line.lane is not None
    thin = evolve(line, lane=tapped_on(line.lane, SIX_EIGHT, Tapped.BEATS))
    assert rhythm_number(thin, SIX_EIGHT) == rhythm_number(line, SIX_EIGHT)
    following = next_rhythm(thin, SIX_EIGHT)
    assert following.lane is not None
    assert second.lane is not None
    assert following.lane == tapped_on(second.lane, SIX_EIGHT, Tapped.BEATS)


def test_a_number_is_one_written_word_with_a_tap_for_each_spoken_syllable() -> None:
    found = rhythms("21 boats came home", SIX_EIGHT)[0]
    marks = [event.cell.mark for event in lane_events(found, SIX_EIGHT)]
    assert (
        marks == [Mark.SYLLABLE_TAPPED, Mark.TAP_ALONE, Mark.TAP_ALONE] + [Mark.SYLLABLE_TAPPED] * 3
    )


def test_new_story_from_markdown(tmp_path: Path) -> None:
    source = tmp_path / "kite.md"
    source.write_text(KITE, encoding="utf-8")
    text = new_story_text(source)
    read = read_text(text)
    story = read.story
    assert story is not None
    assert all(f.severity is Severity.ADVICE for f in checked(read).findings)
    assert story.title == "The Paper Kite"
    assert [section.title for section in story.sections] == [
        "Up on the hill",
        "The wind gave a push",
        "Night",
    ]
    assert [len(refrain.items) for refrain in story.refrains] == [2]
    assert story.sections[0].items[2:] == (RefrainUse("pull it down"), Wait(Fraction(10)))
    assert all(
        line.lane is not None
        for section in story.sections
        for line in section.items
        if isinstance(line, Line)
    )
    assert text.startswith("# The Paper Kite: made by tapscore from kite.md.\n# Look at first:")


def test_hyphens_as_people_write_them_stay_in_print() -> None:
    words = words_of("A merry-go-round,\nclippety-clop - and on")
    assert words.parts[0].lines == ("A merry=go=round,", "clippety=clop - and on")
    assert printed(hyphenated(words.parts[0].lines[0])) == "A merry-go-round,"


def test_new_story_from_docx(tmp_path: Path) -> None:
    import docx

    document = docx.Document()
    document.add_heading("The Paper Kite", 0)
    document.add_paragraph("Up on the hill")
    document.add_heading("Night", 1)
    document.add_paragraph("the kite came home")
    path = tmp_path / "kite.docx"
    document.save(str(path))
    words = read_words(path)
    assert words.title == "The Paper Kite"
    assert [(part.heading, part.lines) for part in words.parts] == [
        (None, ("Up on the hill",)),
        ("Night", ("the kite came home",)),
    ]


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("empty.txt", b" \n\n", "no words"),
        ("picture.txt", b"\x89PNG\0\0", "not plain text"),
        ("broken.docx", b"PK\x03\x04 nonsense", "can't be read as a DOCX"),
        ("long.txt", b"word " * 60_000, "longer than"),
    ],
)
def test_files_that_hold_no_words(tmp_path: Path, name: str, data: bytes, said: str) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(UnreadableWordsError, match=said):
        read_words(path)


@given(st.text(max_size=200))
def test_any_text_gives_parts(text: str) -> None:
    for part in words_of(text).parts:
        assert part.lines
        assert all(any(c.isalnum() for c in line) for line in part.lines)


def test_taps_give_the_rhythm_and_the_tempo() -> None:
    # Steady taps on each quaver of 6/8 at 60 felt beats a minute, the last one held.
    times = [number / 3 for number in range(10)]
    found = lanes_from_taps("Out on the wa-ter the lit-tle boat lay", SIX_EIGHT, times)
    assert lane_text(found[0].lane).replace("X", "x") == "| x x x x x x | x x x x . . |"
    assert (found[0].tempo, found[0].pace) == (60, "as tapped")
    assert {way.pace for way in found} == {"as tapped", "half as fast", "twice as fast"}


def test_fit_command_shows_and_writes(tmp_path: Path) -> None:
    path = tmp_path / "story.yaml"
    path.write_text(
        "tapscore: 2\ntitle: One\nmetre: 6/8\nstory:\n  - section: A\n    lines:\n"
        "      - words: Jack and Jill went up the hill  # mine\n",
        encoding="utf-8",
    )
    run = CliRunner().invoke
    shown = run(main, ["fit", str(path)])
    assert shown.exit_code == 0
    assert "1  6/8  no rhythm yet" in shown.output
    assert "The stressed syllables fall on the beats" in shown.output
    assert run(main, ["fit", str(path), "--write"]).output == "Changed: line 1.\n"
    text = path.read_text(encoding="utf-8")
    assert "# mine" in text
    story = read_file(path).story
    assert story is not None
    first = story.sections[0].items[0]
    assert run(main, ["fit", str(path), "--write"]).output == "Nothing to change.\n"
    assert run(main, ["fit", str(path), "--line", "1", "--use", "2"]).exit_code == 0
    story = read_file(path).story
    assert story is not None
    assert story.sections[0].items[0] != first
    assert run(main, ["fit", str(path), "--line", "7"]).exit_code == 1
    assert run(main, ["fit", str(path), "--use", "2"]).exit_code == 1
    assert run(main, ["fit", str(tmp_path / "none.yaml")]).exit_code == 2


def test_fit_command_reads_taps(tmp_path: Path, demo_path: Path) -> None:
    taps = tmp_path / "taps.txt"
    taps.write_text("\n".join(str(number / 3) for number in range(10)), encoding="utf-8")
    result = CliRunner().invoke(main, ["fit", str(demo_path), "--line", "1", "--taps", str(taps)])
    assert result.exit_code == 0
    assert "as tapped, 60 beats a minute" in result.output
    taps.write_text("0.1\nsoon\n", encoding="utf-8")
    result = CliRunner().invoke(main, ["fit", str(demo_path), "--line", "1", "--taps", str(taps)])
    assert result.exit_code == 2
    assert "line 2 is no time in seconds: soon" in result.output


def test_fit_command_reads_taps_from_midi(tmp_path: Path, demo_path: Path) -> None:
    import mido  # type: ignore[import-untyped]

    file = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    file.tracks.append(track)
    for _ in range(10):
        track.append(mido.Message("note_on", note=60, velocity=80, time=0))
        track.append(mido.Message("note_off", note=60, velocity=0, time=320))
    file.save(str(tmp_path / "taps.mid"))
    result = CliRunner().invoke(
        main, ["fit", str(demo_path), "--line", "1", "--taps", str(tmp_path / "taps.mid")]
    )
    # 320 ticks of 480 at the standard's usual 500,000 us a quarter: a tap every 1/3 s.
    assert "as tapped, 60 beats a minute" in result.output


@pytest.mark.parametrize(
    "words", ["Night=night bee-tle", "ding=dong bell", "mer-ry=go=round we go"]
)
def test_a_printed_hyphen_is_not_said(words: str) -> None:
    found = rhythms(words, Metre(2, 4))
    assert found
    assert all(lane.syllables == len(split_words(words)) for lane in found)
    assert hyphenated(words) == words
    assert len(read_line("1 + 1 = 2")) == 6


def test_what_is_set_against_something_is_accented() -> None:
    lane = rhythms("my shell, your shell, whose shell is this?", Metre(4, 4))[0]
    assert lane_text(lane) == "| X x . . X x . . | X . x x X . . . |"
