"""Nothing is louder than the teacher's ceiling."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import example
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import HOUSE_RULE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting, setting_of
from tapscore.model.edits import replace_item
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Cell, Lane, TapDetail
from tapscore.model.lane_edits import change_cells
from tapscore.model.loudness import Loudness
from tapscore.model.manner import USUAL, Manner, PartialManner
from tapscore.model.story import Line, RefrainUse, Story
from tapscore.model.walk import edit_line, written_items
from tapscore.rhythm.unroll import unroll
from tapscore.wording.catalogue import say


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    ceiling = setting.comfort.loudest
    if facts.peak > ceiling:
        yield found(
            ("loudness",) if facts.line.manner.loudness is not None else (),
            level=facts.peak,
            by="ceiling" if setting.comfort.ceiling == ceiling else "gentle",
            ceiling=int(ceiling),
        )


def _fix(story: Story, finding: Finding) -> Story | None:
    ceiling = setting_of(story).comfort.loudest
    manners = {each.path: each.manner for each in unroll(story)}
    path = finding.path[:-1] if finding.path[-1] == "loudness" else finding.path
    manner = manners.get(path, USUAL)
    for at, item in written_items(story):
        if isinstance(item, RefrainUse) and item.manner.loudness and item.name in path:
            story = replace_item(story, at, evolve(item, manner=_capped(item.manner, ceiling)))
    return edit_line(story, path, lambda line: lowered(line, manner, ceiling))


def _capped(manner: PartialManner, ceiling: Loudness) -> PartialManner:
    return evolve(manner, loudness=tuple(min(each, ceiling) for each in manner.loudness or ()))


def lowered(line: Line, manner: Manner, ceiling: Loudness) -> Line:
    """The line with nothing above ``ceiling``; ``manner`` is what holds for it."""
    lane = capped_lane(line.lane, ceiling) if line.lane is not None else None
    if all(level <= ceiling for level in manner.loudness):
        return evolve(line, lane=lane)
    capped = tuple(min(level, ceiling) for level in manner.loudness)
    return evolve(line, lane=lane, manner=evolve(line.manner, loudness=capped))


def capped_lane(lane: Lane, ceiling: Loudness) -> Lane:
    """The lane without single taps above ``ceiling``."""

    def cell(each: Cell) -> Cell:
        return each if each.detail is None else evolve(each, detail=each.detail.changed(capped))

    def capped(detail: TapDetail) -> TapDetail:
        if detail.loudness is None or detail.loudness <= ceiling:
            return detail
        return evolve(detail, loudness=ceiling)

    return change_cells(lane, cell)


_LINE = '- words: Crash went the wave\n  lane: "| X x x X . . |"\n'
_LINE += "  warn first: lean in\n  warned through: [voice, touch]\n"
_CEILING = "loudness: quiet\ncomfort: {ceiling: medium}\n"

RULE = Rule(
    id="under-the-ceiling",
    title=say("Nothing is louder than the ceiling"),
    why=say(
        "The ceiling was set for these pupils, with those who know them. One line above it "
        "and the setting is worth nothing."
    ),
    source=HOUSE_RULE,
    severity=Severity.MUST_MEND,
    find=EachLine(_find),
    good=example(_LINE + "  loudness: medium", extra=_CEILING),
    bad=example(_LINE + "  loudness: loud", extra=_CEILING),
    more_good=(
        example(_LINE + "  loudness: very loud"),
        example(_LINE + "  loudness: quiet to medium", extra="comfort: {introduce gently: true}\n"),
    ),
    more_bad=(
        example(_LINE + "  loudness: quiet to loud", extra=_CEILING),
        example(_LINE + "  loudness: loud", extra="comfort: {introduce gently: true}\n"),
        example(
            _LINE + "  loudness: loud",
            extra="comfort: {introduce gently: true, ceiling: loud}\n",
        ),
    ),
    fix=_fix,
    mends=say("Lowers the line to the ceiling."),
)
