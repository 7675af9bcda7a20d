"""Which versions there are, and what is heard in each."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve
from numpy.typing import NDArray

from tapscore.exports.audio.cues import cues
from tapscore.exports.audio.mix import mixed_blocks
from tapscore.exports.audio.plan import PlacedSound, plan
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, frames
from tapscore.exports.audio.versions.page import index_page, page_entry
from tapscore.exports.audio.versions.sounds import THE_REST_DB, VersionSounds, version_sounds
from tapscore.exports.audio.versions.version import SoundVersion, VersionKind, versions
from tapscore.exports.audio.voice.telling import Teller, teller
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Refrain, RefrainUse, Role, Section, Story, Wait
from tapscore.model.tempo import Tempo
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.role_view import RoleView
from tapscore.storyfile.read import read_file, read_text
from tests.exports.audio.audio_stories import found_onsets_sec, lane

OFFER = Fraction(10)


def told() -> Story:
    home = Line("ShownLine the lan-tern home", lane("XxXx", "X..."), PartialManner(by=("helper",)))
    return Story(
        "The Mill & the Moon",
        manner=PartialManner(
            metre=Metre(2, 4),
            tempo=Tempo(Fraction(80)),
            by=("leader", "helper"),
            loudness=(Loudness.MEDIUM,),
        ),
        roles=(Role("leader"), Role("helper")),
        refrains=(Refrain("home", (home,)),),
        sections=(
            Section(
                "Dawn <1>",
                (
                    Line("One day the mill", lane("XxXx"), PartialManner(by=("leader",))),
                    RefrainUse("home"),
                    Wait(Fraction(4)),
                ),
            ),
            Section(
                "Dusk",
                (Line("a moon came up", lane("X.x.", "x...", pickup="x")), RefrainUse("home")),
                PartialManner(tempo=Tempo(Fraction(120))),
            ),
        ),
    )


def _teller(story: Story) -> Teller:
    return teller(perform(story), None, None)


def _of(kind: VersionKind, story: Story | None = None) -> list[SoundVersion]:
    return [version for version in versions(story or told()) if version.kind is kind]


def _mixed(made: VersionSounds) -> NDArray[np.float32]:
    blocks = [block.copy() for block in mixed_blocks(made.sounds, made.length_frames)]
    whole: NDArray[np.float32] = np.concatenate(blocks, axis=1)
    return whole


def test_every_speed_part_section_and_line_has_a_version() -> None:
    every = versions(told())
    assert len({version.stem for version in every}) == len(every)
    assert [v.title for v in _of(VersionKind.PART)] == ["leader", "helper"]
    assert [v.title for v in _of(VersionKind.SECTION)] == ["Dawn <1>", "Dusk"]
    assert [v.title for v in _of(VersionKind.LINE)] == ["01", "home 1", "02"]
    assert [v.speed for v in _of(VersionKind.WHOLE)] == [1, Fraction(3, 4), Fraction(1, 2)]
    assert [v.line_names for v in _of(VersionKind.SECTION)] == [("01", "home 1"), ("02", "home 1")]


def test_stories_with_little_in_them() -> None:
    assert [v.stem for v in versions(Story(""))] == ["whole"]
    alone = Story("t", sections=(Section("", (Line("a", lane("x.x.")),)),))
    assert not _of(VersionKind.PART, alone)
    assert [v.title for v in _of(VersionKind.SECTION, alone)] == ["Part 1"]


def test_slow_versions_stretch_lines_by_the_share_and_leave_waits() -> None:
    whole, slow, half = (version.performance() for version in _of(VersionKind.WHOLE))
    for performance, share in ((slow, Fraction(3, 4)), (half, Fraction(1, 2))):
        for before, after in zip(whole.segments, performance.segments, strict=True):
            ratio = before.length_sec / after.length_sec
            if before.line is not None:
                assert ratio == pytest.approx(float(share))
        waits = [s.length_sec for s in performance.segments if s.kind.value == "wait"]
        assert waits[0] >= 4


def test_slow_taps_are_made_anew_and_not_stretched() -> None:
    """The very arrays of the taps are the same at every speed; only their places differ."""
    whole, _, half = _of(VersionKind.WHOLE)
    first = plan(whole.story, whole.performance())
    second = plan(half.story, half.performance())
    assert {id(p.sound) for p in first} == {id(p.sound) for p in second}


def _gains(sounds: tuple[PlacedSound, ...]) -> dict[tuple[int, int], float]:
    return {(p.start_frame, id(p.sound)): float(np.hypot(p.left, p.right)) for p in sounds}


def test_a_part_stays_and_the_rest_goes_back_and_nothing_else_changes() -> None:
    story = told()
    teller_ = _teller(story)
    whole = _gains(version_sounds(_of(VersionKind.WHOLE)[0], teller_).sounds)
    for version in _of(VersionKind.PART):
        made = version_sounds(version, teller_)
        part = _gains(made.sounds)
        assert part.keys() == whole.keys()
        apart = [20 * np.log10(part[key] / whole[key]) for key in whole]
        assert set(np.round(apart, 3)) <= {0.0, THE_REST_DB}
        others = [tap for tap in made.performance.taps if tap.role != version.role]
        assert sum(round(db, 3) == THE_REST_DB for db in apart) == len(others)


def test_taps_alone_are_heard_when_they_are_played_and_nothing_else_is() -> None:
    """Onsets found by an independent detector, against the performance, within 5 ms."""
    for version in _of(VersionKind.TAPS):
        made = version_sounds(version, _teller(told()))
        heard = np.array(found_onsets_sec(_mixed(made).T.astype(np.float64)))
        onsets = np.array(sorted({tap.onset_sec for tap in made.performance.taps}))
        assert np.abs(heard[:, None] - onsets[None]).min(axis=0).max() < 0.005
        assert np.abs(heard[:, None] - onsets[None]).min(axis=1).max() < 0.005


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_taps_alone_stop_at_every_wait_offering_and_warned_line(path: Path) -> None:
    story = read_file(path).story
    assert story is not None
    heard = perform(story)
    passages = _of(VersionKind.TAPS, story)
    performed = [version.performance() for version in passages]
    for performance in performed:
        assert all(segment.line is not None for segment in performance.segments)
        later = [segment.line for segment in performance.segments[1:]]
        assert all(line is not None and line.warn_first is None for line in later)
    for written, made in zip(heard.lines, (s for p in performed for s in p.lines), strict=True):
        assert [t.role for t in written.taps] == [t.role for t in made.taps]
        assert [t.level for t in written.taps] == [t.level for t in made.taps]
        assert written.length_sec == pytest.approx(made.length_sec)
    stops = sum(segment.line is None for segment in heard.segments)
    assert len(passages) > stops
    said = " / ".join(version.then for version in passages)
    assert said.count("Wait ") == sum(s.kind.value == "wait" for s in heard.segments)
    assert said.count("Offer ") == sum(s.kind.value == "offer" for s in heard.segments)
    warned = [s.line.warn_first for s in heard.lines[1:] if s.line and s.line.warn_first]
    assert said.count("Warn first: ") == len(warned)
    assert passages[-1].then.startswith("The story is finished")


def test_the_page_says_that_taps_alone_are_for_adults_and_where_they_stop() -> None:
    entries = [page_entry(v, v.performance(), "x.mp3", 9.0) for v in versions(told())]
    page = index_page(told(), entries)
    assert "For adults who want to feel" in page
    assert page.count("It stops here. ") == len(_of(VersionKind.TAPS))
    assert page.count('"stops": true') == len(_of(VersionKind.TAPS))


def test_a_role_without_taps_is_shown_its_words_and_doings() -> None:
    story = read_file(demo_stories()[1]).story
    assert story is not None
    parts = {version.role: version for version in _of(VersionKind.PART, story)}
    shown = page_entry(parts["prop handler"], parts["prop handler"].performance(), "x.mp3", 9.0)
    own = [words for row in shown.rows if row.mine for kind, words in row.notes if kind == "do"]
    assert "you do: lift the silk higher with every beat" in own
    assert "you offer beads" in own
    assert "you bring lantern" in own
    leader = page_entry(parts["leader"], parts["leader"].performance(), "x.mp3", 9.0)
    assert all(row.mine for row in leader.rows if row.kind == "line")
    assert any(("do", "you say the words") in row.notes for row in leader.rows)
    performance = parts["prop handler"].performance()
    said = [cue.text for cue in cues(performance, RoleView(story, "prop handler"))]
    assert "you do: lift the silk higher with every beat" in said
    assert not [text for text in (cue.text for cue in cues(performance)) if "you do" in text]


def test_turns_last_as_written_unless_short_is_chosen() -> None:
    story = read_file(demo_stories()[1]).story
    assert story is not None
    for longest, sec in ((None, 60), (Fraction(10), 10)):
        whole = versions(story, longest_offer_sec=longest)[0].performance()
        (turns,) = [s.length_sec for s in whole.segments if s.kind.value == "offer"]
        assert turns == pytest.approx(sec, abs=6)


def test_a_line_goes_round_with_a_count_in_in_its_own_tempo() -> None:
    dusk = _of(VersionKind.LINE)[2]
    made = version_sounds(dusk, _teller(told()))
    performance = made.performance
    assert performance.segments[0].kind.value == "count-in"
    assert len(performance.lines) == 1
    beat = 60 / 120
    assert performance.beats[1].onset_sec - performance.beats[0].onset_sec == pytest.approx(beat)
    assert made.length_frames >= frames(performance.length_sec)
    beats = made.length_frames / SAMPLE_RATE_HZ / beat
    assert beats == pytest.approx(round(beats / 2) * 2, abs=1e-3)  # whole bars


def test_a_section_is_heard_as_in_the_whole_story() -> None:
    whole = perform(told())
    section = _of(VersionKind.SECTION)[1].performance()
    original = [segment for segment in whole.segments if segment.section == "Dusk"]
    again = [segment for segment in section.segments if segment.section == "Dusk"]
    shift = again[0].start_sec - original[0].start_sec
    first = [(tap.onset_sec + shift, tap.level, tap.role) for s in original for tap in s.taps]
    second = [(tap.onset_sec, tap.level, tap.role) for s in again for tap in s.taps]
    assert [t[1:] for t in first] == [t[1:] for t in second]
    assert [t[0] for t in first] == pytest.approx([t[0] for t in second])


def test_a_loop_never_cuts_what_still_sounds() -> None:
    for version in versions(told()):
        made = version_sounds(version, _teller(told()))
        last = max(placed.end_frame for placed in made.sounds)
        assert last <= made.length_frames + 0.05 * SAMPLE_RATE_HZ
        if version.loops:
            assert made.length_frames - frames(made.performance.length_sec) <= frames(1.5) + 1


def test_a_line_again_and_again_has_its_share_of_what_goes_through_its_section() -> None:
    """Each of the lines went from 60 to 120 and from quiet to loud, the whole section's way."""
    lines = "".join(
        f'      - {{words: out we go, lane: "| x . x . | x . . . |"{more}}}\n'
        for more in ("", ", stroke: knuckles")
    )
    read = read_text(
        "tapscore: 2\ntitle: The mill\nmetre: 2/4\nroles: {leader: , helper: }\nstory:\n"
        "  - section: One\n    tempo: 60 to 120\n    loudness: quiet to loud\n    by: helper\n"
        f"    lines:\n{lines}"
    )
    assert read.story is not None
    told = [v for v in versions(read.story) if v.kind is VersionKind.LINE]
    for heard, version in zip(perform(read.story).lines, told, strict=True):
        (alone,) = version.performance().lines
        assert alone.length_sec == pytest.approx(heard.length_sec)
        assert [(t.role, t.level, t.stroke) for t in alone.taps] == [
            (t.role, t.level, t.stroke) for t in heard.taps
        ]


def test_sections_of_one_name_are_told_apart() -> None:
    dawn, dusk = told().sections
    story = evolve(told(), sections=(dawn, dusk, dawn))
    titles = [version.title for version in _of(VersionKind.SECTION, story)]
    assert titles == ["Dawn <1>, 1st time", "Dusk", "Dawn <1>, 2nd time"]


def test_a_refrain_s_line_goes_round_as_the_refrain_is_written() -> None:
    """Its last return was loud: the loop is what is learnt for all of them."""
    dawn, dusk = told().sections
    loud = RefrainUse("home", PartialManner(loudness=(Loudness.VERY_LOUD,)))
    story = evolve(told(), sections=(dawn, evolve(dusk, items=(*dusk.items, loud))))
    (loop,) = [v for v in _of(VersionKind.LINE, story) if v.title.startswith("home")]
    (line,) = loop.performance().lines
    assert {tap.loudness for tap in line.taps} == {Loudness.MEDIUM}
