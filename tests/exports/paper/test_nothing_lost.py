"""Over the stories that all tests share: however odd, nothing that matters is lost on paper."""

from collections import Counter

from hypothesis import given, settings

from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.large_words import large_words_pages
from tapscore.exports.paper.text_flow import printable
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Story
from tapscore.model.words import printed
from tapscore.rhythm.perform import perform
from tapscore.rhythm.role_view import LinePart, PausePart
from tests.exports.paper.paper_strategies import Format, formats, segments_on_cards
from tests.exports.paper.test_card_layout import tap_names, words_on
from tests.strategies import plain_stories, stories


def letters(text: str) -> str:
    """What of a text can be printed, without spaces, marks and hyphens, and whatever its case."""
    return "".join(c for c in printable(text).casefold() if c.isalnum())


def letters_on(pages: tuple[Page, ...]) -> str:
    return letters(words_on(pages))


@settings(max_examples=60, deadline=None)
@given(stories)
def test_every_tap_of_a_role_is_on_its_cards_exactly_once(story: Story) -> None:
    performance = perform(story)
    told = [performance.segments[at] for at in segments_on_cards(performance)]
    on_cards = Counter(
        (tap.segment, tap.event, tap.role)
        for role in performance.roles
        for card in role_cards(story, performance, role)
        for tap in card.taps
    )
    made = Counter(
        (tap.segment, tap.event, tap.role)
        for segment in told
        for tap in segment.taps
        if tap.role in performance.roles
    )
    assert on_cards == made
    assert set(on_cards.values()) <= {1}


@settings(max_examples=30, deadline=None)
@given(stories, formats)
def test_every_tap_is_drawn_once_however_small_the_paper(story: Story, wanted: Format) -> None:
    performance = perform(story)
    for role in performance.roles:
        pages = card_pages(story, performance, role, **wanted)
        cards = role_cards(story, performance, role)
        assert tap_names(pages) == sum(len(card.taps) for card in cards)


@settings(max_examples=40, deadline=None)
@given(plain_stories, formats)
def test_cards_keep_their_words_on_any_paper(story: Story, wanted: Format) -> None:
    performance = perform(story)
    for role in performance.roles:
        pages = card_pages(story, performance, role, **wanted)
        said = letters_on(pages)
        for card in role_cards(story, performance, role):
            for part in card.parts:
                if isinstance(part, PausePart) and part.segment.prop and not part.mine:
                    continue
                texts = [part.segment.look_for or ""]
                if isinstance(part, LinePart):
                    line = part.segment.line
                    texts += [part.do or "", (part.warn_first or "") if part.warns else ""]
                    texts += printed(line.words if line else "").split()
                for text in texts:
                    assert all(letters(word) in said for word in text.split())


@settings(max_examples=40, deadline=None)
@given(stories)
def test_what_to_do_is_on_a_card_of_each_who_does_it_and_no_other(story: Story) -> None:
    performance = perform(story)
    for segment in performance.lines:
        line = segment.line
        if line is None or not line.do or not line.done_by or segment.refrain_time > 1:
            continue
        told = {
            role
            for role in performance.roles
            for card in role_cards(story, performance, role)
            for part in card.parts
            if isinstance(part, LinePart) and part.segment is segment and part.do
        }
        everyone = EVERYONE in line.done_by
        wanted = performance.roles if everyone else line.done_by
        assert told == set(wanted) & set(performance.roles)


@settings(max_examples=30, deadline=None)
@given(plain_stories)
def test_the_sheet_and_the_words_keep_every_line(story: Story) -> None:
    performance = perform(story)
    sheet = letters_on(sheet_pages(story, performance))
    words = letters_on(large_words_pages(story, performance))
    for segment in performance.lines:
        line = segment.line
        assert line is not None
        for word in printed(line.words).split():
            assert letters(word) in sheet
            assert letters(word) in words
        for text in (line.do, line.warn_first, line.look_for):
            for word in (text or "").split():
                assert letters(word) in sheet
