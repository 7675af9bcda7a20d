"""Run in a process of its own: what findings of every rule's examples say, with what is their own.

``python -m tests.wording.in_findings`` prints sentences with words nobody translated, as JSON.
"""

import json
import re
from collections.abc import Iterator

from tapscore.checks.all_rules import ALL_RULES
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.checks.today.role_has_somebody import BAD_DAY
from tapscore.model.finding import Finding
from tapscore.rhythm.perform import perform
from tapscore.storyfile.day_file import read_day
from tapscore.storyfile.read import read_text
from tapscore.wording.about import About, Datum, LineName
from tapscore.wording.english import TEXTS
from tapscore.wording.text import Surface, holes_of
from tests.wording.pseudo import CLOSES, OPENS

_WORD = re.compile(r"[A-Za-z]{3,}")
_MARKED = re.compile("`[^`]*`|“[^”]*”")
"""What is quoted is the file's or the story's."""


def _findings() -> Iterator[tuple[str, Finding]]:
    for rule in ALL_RULES:
        for text in (rule.bad, *rule.more_bad):
            story = read_text(text).story
            assert story is not None
            day = read_day(BAD_DAY, story).day
            for finding in check(Scene(story, perform(story), day), (rule,)):
                yield text, finding


def _sentences() -> Iterator[tuple[str, str]]:
    """Own words, and a sentence."""
    for text, finding in _findings():
        for surface in Surface:
            for sentence in finding.said(surface):
                yield text, sentence
    for rule in ALL_RULES:
        for sentence in (rule.title, rule.why, rule.mends, rule.looks_at):
            yield "", sentence
    for code, sentence in _every_text():
        yield code, sentence


def _every_text() -> Iterator[tuple[str, str]]:
    """Every text of the tables with something in its holes."""
    from tapscore.wording.said import said

    for code, text in TEXTS.items():
        holes = [hole for each in text.on(Surface.FILE) for hole in holes_of(each)]
        holes += [hole for each in text.on(Surface.WINDOW) for hole in holes_of(each)]
        named = {hole.name: next(iter(hole.named)) for hole in holes if hole.named}
        counted = {hole.name: 22 for hole in holes if hole.forms and not hole.named}
        lists = {
            hole.name: ("1", "2")
            for hole in holes
            if hole.how.split(" ")[-1] in ("and", "or", "list")
        }
        lines = {hole.name: LineName(3) for hole in holes if hole.how == "inside"}
        given = {hole.name: "7" for hole in holes if hole.how in ("", "marked")}
        figures = {hole.name: 2 for hole in holes if re.match(r"[.,]|loudness", hole.how)}
        about: dict[str, Datum] = {**given, **figures, **counted, **lists, **lines, **named}
        case = code.partition("/")[2]
        if case:
            about["case"] = case
        for surface in Surface:
            for sentence in said(code.partition("/")[0], About(**about), surface):
                yield "", sentence


def main() -> None:
    """Print what is wrong."""
    wrong: dict[str, None] = {}
    for own, sentence in _sentences():
        if sentence.count(OPENS) != sentence.count(CLOSES):
            wrong[f"not whole: {sentence}"] = None
        for word in _WORD.findall(_MARKED.sub(" ", sentence)):
            # a role where a story names none is called so in the file
            if word.casefold() not in f"leader {own}".replace("-", "").casefold():
                wrong[f"“{word}” in: {sentence}"] = None
    print(json.dumps(list(wrong), ensure_ascii=False))


if __name__ == "__main__":
    main()
