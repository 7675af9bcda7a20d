"""Whoever brings a prop does not tap at the same time."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import example, tapped, whole_story
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting, setting_of
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Cell, TapDetail
from tapscore.model.lane_edits import change_cells
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Line, Story
from tapscore.model.walk import edit_line, line_at
from tapscore.wording.catalogue import say


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    if len(setting.bare.role_names) < 2:
        return
    for role, prop in _bringing(setting, facts.line).items():
        if role in facts.role_sec:
            yield found(("lane",), role=role, prop=prop)


def _bringing(setting: Setting, line: Line) -> dict[str, str]:
    props = [entrance.prop for entrance in line.props_in] + list(line.props_out)
    return {setting.bare.bringer(prop): prop for prop in reversed(props)}


def _fix(story: Story, finding: Finding) -> Story | None:
    setting, line = setting_of(story), line_at(story, finding.path)
    if line is None:
        return None
    busy = _bringing(setting, line)
    free = [name for name in setting.bare.role_names if name not in busy]
    own = [name for name in line.manner.by if name in free]
    tapping = own or [name for name in free if "tapper" in name or "beat" in name] or free
    if not tapping:
        return None
    by = tuple(tapping) if own or EVERYONE in line.manner.by else (tapping[0],)

    def freed(cell: Cell) -> Cell:
        if cell.detail is None or not cell.detail.adults:
            return cell
        others = tuple(name for name in cell.detail.by if name not in busy and name != EVERYONE)
        single = tuple(each for each in cell.detail.single if each[0] not in busy)
        detail = evolve(cell.detail, by=others, single=single)
        return evolve(cell, detail=None if detail == TapDetail() else detail)

    lane = change_cells(line.lane, freed) if line.lane is not None else None
    return edit_line(
        story,
        finding.path,
        lambda each: evolve(each, lane=lane, manner=evolve(each.manner, by=by)),
    )


RULE = Rule(
    id="bringer-hands-free",
    title=say("Whoever brings a prop has both hands free"),
    why=say("A hand that holds a prop either taps badly or offers badly."),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=whole_story(),
    bad=whole_story(
        (
            "        prop in: {bell: mat}\n",
            "        prop in: {bell: mat}\n        by: prop handler\n",
        )
    ),
    more_good=(
        whole_story(("instead: a tin and a spoon}", "instead: a tin and a spoon, by: leader}")),
        example(
            tapped("Row the lan-tern", "| X . x X . x |", "prop in: bell", "prop out: bell"),
            extra="props: {bell: {what: a bell}}\n",
        ),
    ),
    more_bad=(
        whole_story(("        prop out: bell\n", "        prop out: bell\n        by: everyone\n")),
        whole_story(
            ("instead: a tin and a spoon}", "instead: a tin and a spoon, by: beat-keeper}")
        ),
    ),
    fix=_fix,
    mends=say("Leaves the tapping of this line to the others."),
)
