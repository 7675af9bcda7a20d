"""Run in a process of its own: is every word on every paper translated, whole, and clear of others?

``python -m tests.wording.on_paper STORY`` prints what is not, as JSON.
"""

import json
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from tapscore.exports.audio.versions.page import index_page, page_entry
from tapscore.exports.audio.versions.version import versions
from tapscore.exports.paper.briefing import briefing_pages
from tapscore.exports.paper.cautions_page import cautions_pages
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.floor_plan import floor_plan_pages
from tapscore.exports.paper.hall_screen import hall_screen_pages
from tapscore.exports.paper.home_version import home_pages
from tapscore.exports.paper.large_words import large_words_pages
from tapscore.exports.paper.observation_slips import observation_pages
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.pocket_key import key_pages
from tapscore.exports.paper.print_findings import story_texts
from tapscore.exports.paper.prop_list import box_label_pages, prop_list_pages
from tapscore.exports.paper.session_plan import session_plan_pages
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.workflow.records.papers import blank_way_in
from tests.exports.paper.test_card_layout import check_apart, check_margins
from tests.wording.pseudo import CLOSES, OPENS

_WORD = re.compile(r"[A-Za-z]{2,}")


def papers(story: Story) -> Iterator[tuple[str, tuple[Page, ...]]]:
    """Every paper of a story, laid out."""
    told = perform(story)
    for role in story.role_names:
        yield f"part of {role}", part_pages(story, told, role)
        yield f"cards of {role}", card_pages(story, told, role)
    for make in (
        sheet_pages,
        briefing_pages,
        supply_pages,
        session_plan_pages,
        observation_pages,
        home_pages,
        large_words_pages,
        hall_screen_pages,
        prop_list_pages,
    ):
        yield make.__name__, make(story, told)
    alone: tuple[Callable[[Story], tuple[Page, ...]], ...] = (
        floor_plan_pages,
        cautions_pages,
        box_label_pages,
    )
    for lay_out in alone:
        yield lay_out.__name__, lay_out(story)
    yield "pocket key", key_pages()


def own_words(story: Story) -> frozenset[str]:
    """The words that the story brings itself, whole and as their syllables."""
    said = [text for _, text in story_texts(story)]
    if story.board:
        said += [each.name for each in (*story.board.seats, *story.board.spots)]
        said += [word for word in vars_of(story.board.sides) if word]
    said += [name for role in story.roles for name in (role.name, role.seat or "")]
    said += [story.term or "", story.class_name or "", str(story.manner.spot or "")]
    plain = " ".join(said)
    whole = plain.replace("-", "").replace("=", "-")
    return frozenset(word.casefold() for word in _WORD.findall(f"{plain} {whole}"))


def vars_of(thing: object) -> list[str]:
    """The texts of a small frozen type."""
    names = getattr(thing, "__slots__", ())
    return [str(getattr(thing, name)) for name in names if not name.startswith("_")]


def untranslated(pages: tuple[Page, ...], own: frozenset[str]) -> Iterator[str]:
    """Words that are neither the story's nor of the language, and texts that are cut off."""
    whole: list[str] = []
    for page in pages:
        said = list(page.bookmarks)
        for block in page.blocks:
            words = [e.text for e in block.elements if hasattr(e, "text")]
            whole += words
            said += [*words, block.alt]
        for text in said:
            for word in _WORD.findall(text):
                if word.casefold() not in own:
                    yield f"“{word}” in “{text}”"
    told = "".join(whole)
    if told.count(OPENS) != told.count(CLOSES):
        yield f"{told.count(OPENS)} texts begin and {told.count(CLOSES)} end"


def wrong(story: Story) -> Iterator[str]:
    """All that is not as it should be."""
    yield from rehearsal_page(story)
    own = own_words(story)
    for name, pages in papers(story):
        yield from (f"{name}: {each}" for each in dict.fromkeys(untranslated(pages, own)))
        for check in (check_margins, check_apart):
            try:
                check(pages)
            except AssertionError as error:
                yield f"{name}: {check.__name__}: {str(error)[:300]}"


def rehearsal_page(story: Story) -> Iterator[str]:
    """Words of the page to rehearse with, and of the papers of a class record, left in English."""
    entries = [page_entry(each, each.performance(), "x.mp3", 10.0) for each in versions(story)]
    html = index_page(story, entries)
    shown = re.sub(r"<style>.*?</style>|<script>.*?const entries", "", html, flags=re.DOTALL)
    texts = shown.partition("const texts = ")[2].partition(";")[0]
    body = re.sub(r"<[^>]*>", " ", shown.partition("= [{")[0])
    own = own_words(story)
    record = [blank_way_in()]
    told = [
        text for document in record for text in (document.title, document.beneath, document.subject)
    ]
    told += [part.label for document in record for part in document.parts if hasattr(part, "label")]
    for text in (body, *json.loads(texts).values(), *told):
        for word in _WORD.findall(re.sub(r"TIME|WHOLE|&\w+;", " ", text)):
            if word.casefold() not in own:
                yield f"rehearsal page or record: “{word}” in “{text[:80]}”"


def main() -> None:
    story = read_text(Path(sys.argv[1]).read_text(encoding="utf-8")).story
    assert story is not None
    print(json.dumps(list(wrong(story)), ensure_ascii=False))


if __name__ == "__main__":
    main()
