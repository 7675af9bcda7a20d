"""Waits last long enough."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import example
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.checks.setting import setting_of
from tapscore.model.comfort import ADVISED_WAIT_SEC
from tapscore.model.edits import item_at, replace_item
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story, Wait
from tapscore.model.walk import item_path, said_before
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    least = scene.setting.comfort.wait_sec
    for path, item in scene.waiting:
        if isinstance(item, Wait) and item.least_sec < least:
            yield found(
                (*path, "wait"),
                after=said_before(scene.story, path),
                seconds=item.least_sec,
                least_sec=least,
                advised_sec=max(ADVISED_WAIT_SEC, least),
            )


def _fix(story: Story, finding: Finding) -> Story | None:
    path = item_path(finding.path)
    item = item_at(story, path) if path else None
    if path is None or not isinstance(item, Wait):
        return None
    return replace_item(story, path, evolve(item, least_sec=setting_of(story).comfort.wait_sec))


_BEFORE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n'

RULE = Rule(
    id="waits-long-enough",
    title=say("Waits last long enough"),
    why=say("A wait that ends before the pupil's answer begins teaches that answering is no use."),
    source=say(
        "Johnson & Parker (2013): answers twice as often after 5, 10 or 15 seconds as after "
        "0 to 1; Munde (2012): alertness in waves of 20 seconds, some movements only after 60"
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(_BEFORE + "- wait: 20\n  look for: a look"),
    bad=example(_BEFORE + "- wait: 3\n  look for: a look"),
    more_good=(
        example(_BEFORE + "- wait: 10\n  look for: a look"),
        example(_BEFORE + "- wait: 9\n  look for: a look", extra="comfort: {least wait: 9}\n"),
    ),
    more_bad=(
        example(_BEFORE + "- wait: 9.9\n  look for: a look"),
        example(_BEFORE + "- wait: 10\n  look for: a look", extra="comfort: {least wait: 12}\n"),
    ),
    fix=_fix,
    mends=say("Makes the wait ten seconds, or the least wait you have set."),
)
