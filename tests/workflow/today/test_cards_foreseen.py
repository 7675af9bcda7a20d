"""Which cards a new job changes, foretold by ``decks`` and found by printing before and after.

Stories of five or six items are drawn at random: lines of one adult, some with a warning or
words of dot's, two refrains of one or two, returns that are louder or another's, waits, turns
with dot's bell.  Ann leads.
"""

import random

import pytest

from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.steps import steps
from tapscore.model.story import Story
from tapscore.model.wordings import english_ordinal
from tapscore.rhythm.perform import perform
from tapscore.workflow.today.arranged import arranged
from tapscore.workflow.today.decks import decks
from tapscore.workflow.today.jobs import JobKind, jobs_left, step_key
from tests.hill import HEAD, line, story_of

ITEMS = {
    "a": "by: ann",
    "b": "by: bea",
    "c": "by: cyd",
    "d": "by: dot",
    "B": "by: bea, warn first: whisper, warned by: ann",
    "C": "by: cyd, warn first: whisper",
    "E": "by: bea, warn first: whisper, warned by: bea",
    "D": "by: dot, says: dot",
    "i": "by: bea, prop in: bell",
    "x": "by: bea, prop out: bell",
    "I": "by: cyd, prop in: bell",
}
PAUSES = {
    "w": "      - {wait: 5, look for: a look}\n",
    "o": "      - {offer: bell, look for: a look}\n",
    "R": "      - refrain: hum\n",
    "Q": "      - refrain: call\n",
    "S": "      - {refrain: hum, loudness: loud}\n",
    "T": "      - {refrain: hum, by: dot}\n",
}


def story(told: str, hum: str, call: str) -> Story:
    """``told`` has a letter for each item; ``hum`` and ``call`` tap the two refrains."""
    text = HEAD + "refrains:\n"
    text += "".join(
        f"  {name}:\n" + line(f"{name} now", f"by: [{by}]")
        for name, by, signs in (("hum", hum, "RST"), ("call", call, "Q"))
        if set(told) & set(signs)
    )
    text += "story:\n  - section: One\n    lines:\n"
    for at, sign in enumerate(told):
        text += PAUSES.get(sign) or line(f"word {'abcdef'[at]}", ITEMS[sign])
    return story_of(text if set(told) & set("RQST") else text.replace("refrains:\n", ""))


def labels(told: Story) -> dict[str, str]:
    """What a step's card is called where it is printed, by the step's key."""
    performance = perform(told)
    found: dict[str, str] = {}
    before = "at the start"
    for step in steps(performance):
        if step.refrain is not None:
            time = f", {english_ordinal(step.refrain_time)} time" if step.otherwise else ""
            found[step_key(step)] = f"{step.refrain}{time}"
        elif step.number is not None:
            found[step_key(step)] = f"{step.number} of {performance.line_count}"
        else:
            found[step_key(step)] = before
        before = f"after {step.refrain or step.number}"
        if sum(each.refrain == step.refrain is not None for each in steps(performance)) > 1:
            before += f", {english_ordinal(step.refrain_time)} time"
    return found


def pages(told: Story, who: str) -> dict[object, tuple[str, ...]]:
    try:
        made: tuple[Page, ...] = card_pages(told, perform(told), who)
    except ValueError:  # nothing to do
        return {}
    return {page.blocks: page.bookmarks for page in made}


def changed(before: Story, after: Story, who: str) -> set[str]:
    old = pages(before, who)
    return {
        name.casefold()
        for blocks, names in pages(after, who).items()
        if blocks not in old
        for name in names
    }


def cases(count: int, signs: str) -> list[tuple[str, str, str]]:
    rng = random.Random(7)
    found: list[tuple[str, str, str]] = []
    while len(found) < count:
        told = "".join(rng.choices(signs, k=rng.choice((5, 6))))
        if set(told) & set("bcd") and told[0] != "w":
            hum, call = (rng.choice(["bea", "cyd", "bea, dot"]) for _ in range(2))
            found.append((told, hum, call))
    return found


@pytest.mark.parametrize("part", range(3))
def test_the_cards_that_a_job_changes_are_those_foretold(part: int) -> None:
    # taken over, ``hum`` comes twice before a card, and comes back where a card was
    twice = [(each, "cyd", "bea") for each in ("QRRbQ", "RcQRbQ")]
    # after a louder return, whose card is no refrain's that comes back
    twice.append(("RScbR", "bea", "bea"))
    # a refrain's card says what to have ready for the line after it
    twice.append(("RIbR", "bea", "bea"))
    others = cases(24, "bccdRRSSTTQ")
    kinds = set()
    for case in [
        *cases(17, "aabbcccddRRRQQwo"),
        *cases(17, "bccRRQQQ"),
        *twice,
        *others,
        *cases(24, "abciixIoRRQ"),
    ][part::3]:
        told = story(*case)
        performance = perform(told)
        here = {"ann": "ann", "bea": "bea"}
        name = labels(told)
        who = "ann" if "a" in case[0] else "bea"
        deck = decks(told, performance, here)[who]
        assert not deck.anyway
        for job in jobs_left(told, performance, here):
            if job.kind in (JobKind.TAP, JobKind.BRING):
                prop = job.name if job.kind is JobKind.BRING else ""
                new = arranged(told, performance, here, ((job, who),))
                foretold = {name[each] for key in job.keys for each in deck.touched(key, prop)}
                kinds.add(job.kind)
                # a return whose other adult is away may be told like the rest then
                if labels(new) == name:
                    assert foretold == changed(told, new, who), (case, job.keys)
    assert kinds == {JobKind.TAP, JobKind.BRING}


def test_cards_that_change_whoever_takes_what_as_somebody_else_speaks_or_warns() -> None:
    told_of = 0
    for at, case in enumerate(cases(16, "bcdBCDER")):
        told = story(*case)
        performance = perform(told)
        here = {name: name for name in (("bea", "cyd", "dot"), ("bea",))[at % 2]}
        after = arranged(told, performance, here, ())
        name = labels(told)
        for who, deck in decks(told, performance, here).items():
            if not any(deck.mine):
                continue  # a side that says there is nothing to do
            assert {name[each] for each in deck.anyway} == changed(told, after, who), (case, who)
            told_of += len(deck.anyway)
    assert told_of > 10
