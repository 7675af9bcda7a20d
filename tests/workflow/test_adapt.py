"""Adapted copies: words and shape stay, bounds hold, every change is listed."""

from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given, settings

from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.model.finding import Severity
from tapscore.model.loudness import Loudness
from tapscore.model.story import Item, Line, Offer, RefrainUse, Story, Wait
from tapscore.model.walk import written_items
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file, read_text
from tapscore.storyfile.write import spliced_text
from tapscore.workflow.adapt import CopyWay, adapt
from tests.strategies import stories

AMOUNTS = (CopyWay.GENTLER, CopyWay.LIVELIER)


def _demo(path: Path) -> Story:
    story = read_file(path).story
    assert story is not None
    return story


def _shape(story: Story) -> list[object]:
    """Everything that an adapted copy must keep."""
    shape: list[object] = [section.title for section in story.sections]
    for path, item in written_items(story):
        if isinstance(item, Line):
            syllables = item.lane.syllables if item.lane else None
            steps = item.lane.steps if item.lane else None
            kept = (item.words, item.warn_first, item.do, item.props_in, item.props_out)
            shape.append((path, *kept, syllables, steps))
        else:
            name = item.name if isinstance(item, RefrainUse) else None
            shape.append((path, type(item), name))
    return shape


@given(stories)
@settings(max_examples=60)
def test_words_and_shape_stay(story: Story) -> None:
    for way in AMOUNTS:
        assert _shape(adapt(story, way).story) == _shape(story)


@given(stories)
@settings(max_examples=60)
def test_loudness_and_tempo_go_one_way_within_bounds(story: Story) -> None:
    """Lines are compared where the same taps are there before and after."""
    for way, sign in ((CopyWay.GENTLER, -1), (CopyWay.LIVELIER, 1)):
        new = adapt(story, way).story
        tempos = [section.manner.tempo for section in story.sections]
        spread = any(tempo is not None and tempo.end is not None for tempo in tempos)
        for old_segment, segment in zip(
            perform(story).segments, perform(new).segments, strict=True
        ):
            before = {(tap.event, tap.role): tap.level for tap in old_segment.taps}
            after = {(tap.event, tap.role): tap.level for tap in segment.taps}
            if before.keys() == after.keys():  # else a swell runs between other taps
                assert all(0 <= (after[key] - before[key]) * sign <= 2 for key in after)
            old_tempo, tempo = old_segment.manner.tempo, segment.manner.tempo
            assert tempo is not None
            assert old_tempo is not None
            for one, other in ((old_tempo.start, tempo.start), (old_tempo.last, tempo.last)):
                assert (other - one) * sign >= 0
                bound = 40 if way is CopyWay.GENTLER else 90
                assert spread or other == one or (other - bound) * sign <= 0


@given(stories)
@settings(max_examples=60)
def test_every_change_is_listed(story: Story) -> None:
    for way in CopyWay:
        adapted = adapt(story, way)
        said = " / ".join(f"{change.where}: {change.what}" for change in adapted.changes)
        assert f"({way.value})" in said
        if way is CopyWay.SHORT:
            for prop in story.props:
                gone = adapted.story.prop(prop.name) is None
                assert gone == (f"The prop “{prop.name}”: left out" in said)
            continue
        changed = sum(
            old != new
            for (_, old), (_, new) in zip(
                written_items(story), written_items(adapted.story), strict=True
            )
        )
        line_changes = {
            c.where
            for c in adapted.changes
            if any(word in c.where for word in ("ine ", "return", "wait", "Turns"))
        }
        assert (changed == 0) == (not line_changes)


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
@pytest.mark.parametrize("way", CopyWay, ids=lambda way: way.value)
def test_demos_stay_clean_and_keep_their_comments(path: Path, way: CopyWay) -> None:
    source = read_file(path)
    assert source.story is not None
    story = adapt(source.story, way).story
    text = spliced_text(story)
    assert text is not None
    again = read_text(text)
    assert again.story == story
    assert again.findings == ()
    found = check(Scene(story, perform(story)))
    assert [f for f in found if f.severity is not Severity.ADVICE] == []
    comments = [line for line in source.text.splitlines() if line.startswith("#")]
    assert comments
    assert all(line in text.splitlines() for line in comments)


def _per_line(story: Story) -> list[int]:
    return [len({tap.event for tap in segment.taps}) for segment in perform(story).lines]


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_a_gentler_demo_has_fewer_taps_longer_waits_and_softer_beginnings(path: Path) -> None:
    story = _demo(path)
    adapted = adapt(story, CopyWay.GENTLER)
    before, after = _per_line(story), _per_line(adapted.story)
    assert all(0 < new <= old for old, new in zip(before, after, strict=True))
    assert sum(after) < 0.7 * sum(before)
    said = {(change.where, change.what) for change in adapted.changes}
    for (at, old), (_, new) in zip(written_items(story), written_items(adapted.story), strict=True):
        if isinstance(old, Wait) and isinstance(new, Wait):
            assert old.least_sec < new.least_sec >= 20, at
        elif isinstance(old, Offer) and isinstance(new, Offer):
            assert old.turn_sec < new.turn_sec >= 45, at
            where = f"Turns with “{old.prop}”"
            assert (where, f"45 seconds instead of {old.turn_sec}") in said
    for segment in perform(adapted.story).lines:
        if segment.line and segment.line.warn_first is None and segment.taps:
            assert not segment.taps[0].accent
    assert any("taps instead of" in what for _, what in said)
    assert any(where.startswith("The wait after ") for where, _ in said)
    assert any(what == "begins without an accent" for _, what in said)


def test_a_livelier_copy_stays_under_the_ceiling() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 4/4\nloudness: quiet\ncomfort: {ceiling: medium}\n"
        "story:\n  - section: One\n    lines:\n"
        "      - words: a\n        lane: '| x . . . . . . . |'\n"
        "        loudness: medium\n        warn first: ready?\n"
    )
    story = read_text(text).story
    assert story is not None
    (line,) = perform(adapt(story, CopyWay.LIVELIER).story).lines
    assert line.manner.loudness == (Loudness.MEDIUM,)


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_short_keeps_start_refrain_and_finish(path: Path) -> None:
    story = _demo(path)
    short = adapt(story, CopyWay.SHORT).story
    assert short.sections[0].items == story.sections[0].items
    finish, before = short.sections[-1].items, story.sections[-1].items
    assert _leaving_apart(finish) == _leaving_apart(before)
    gone = {prop for item in finish if isinstance(item, Line) for prop in item.props_out}
    left = {prop for item in before if isinstance(item, Line) for prop in item.props_out}
    assert gone >= left, "what came in the middle leaves here at the latest"
    kinds = {type(item) for section in short.sections for item in section.items}
    assert kinds == {Line, RefrainUse, Wait, Offer}
    assert len(short.sections) < len(story.sections)


def _leaving_apart(items: tuple[Item, ...]) -> tuple[Item, ...]:
    return tuple(evolve(i, props_out=()) if isinstance(i, Line) else i for i in items)


def test_short_of_a_single_section() -> None:
    text = (
        "tapscore: 2\ntitle: T\nrefrains: {home: [{words: home}]}\nstory:\n  - section: One\n"
        "    lines:\n"
        "      - words: a\n      - refrain: home\n      - wait: 5\n      - words: b\n"
        "      - refrain: home\n      - words: c\n      - words: d\n      - wait: 9\n"
    )
    story = read_text(text).story
    assert story is not None
    (section,) = adapt(story, CopyWay.SHORT).story.sections
    said = [item.words for item in section.items if isinstance(item, Line)]
    assert said == ["a", "c", "d"]
    assert [type(item) for item in section.items] == [Line, RefrainUse, Wait, Line, Line, Wait]


def test_a_short_copy_names_the_line_whose_end_changes_by_its_words() -> None:
    """Also in a refrain with a name that reads like a part of the sentence."""
    line = '{words: the moon came up, lane: "x | X . x X . |"}'
    text = (
        "tapscore: 2\ntitle: T\nmetre: 6/8\n"
        f"refrains: {{how it ends now: [{line}]}}\nstory:\n"
        + "".join(
            f"  - section: {title}\n    lines:\n"
            + ("      - refrain: how it ends now\n" if title != "Cut" else "")
            + f"      - {{words: {title} and on, lane: '| X . x x {end} |'}}\n"
            for title, end in (("One", ". x"), ("Cut", ". ."), ("Two", ". x"), ("End", ". ."))
        )
    )
    story = read_text(text).story
    assert story is not None
    changes = adapt(story, CopyWay.SHORT).changes
    said = [change.where for change in changes if "last bar" in change.what]
    assert said == ["“the moon came up”"]


def test_acceptances_that_a_copy_needs_no_more_go_and_are_listed() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 4/4\nloudness: quiet\nstory:\n  - section: One\n"
        "    lines:\n      - words: a\n        lane: '| x . . . . . . . |'\n"
        "        loudness: loud\n      - wait: 3\n        look for: a look\n"
        "accepted:\n  - {finding: warn-before-loud, where: a, why: known}\n"
        "  - {finding: waits-long-enough, why: short}\n  - {finding: one-breath, why: old}\n"
    )
    story = read_text(text).story
    assert story is not None
    gentler = adapt(story, CopyWay.GENTLER)
    assert [each.finding for each in gentler.story.accepted] == ["one-breath"]
    assert any(change.where == "Accepted “warn-before-loud”" for change in gentler.changes)
    assert adapt(story, CopyWay.SHORT).story.accepted == story.accepted
