"""The session plan: intended outcomes, what is needed, each part with its time, next steps."""

from attrs import evolve

from tapscore.exports.paper.bands import Band, keep_with_next, spaced
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import (
    heading,
    printed,
    running_pages,
    sheet_of,
    text,
    tick,
    title,
    write_on,
)
from tapscore.exports.paper.steps import Step, steps
from tapscore.exports.paper.text_flow import own
from tapscore.model.comfort import STAGE_WORDS
from tapscore.model.story import Story
from tapscore.model.wordings import clock_range, seconds_words
from tapscore.model.words import printed as plain
from tapscore.rhythm.performance import Performance, SegmentKind
from tapscore.rhythm.running_time import length_words, running_time
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


def session_plan(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print the plan of one session.

    Raises ValueError for a paper or margin there is no room on.
    """
    pages = session_plan_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(
        story, pages, what=say("session plan"), subject=say("Outcomes, needs, times and next steps")
    )


def session_plan_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``session_plan`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    shares = running_time(performance)
    made = [
        title(say("{title}: session plan", title=story.title), "", wide),
        write_on(say("Date and class"), wide),
    ]
    made.append(write_on(say("Who was there: adults, and pupils by place letter"), wide, 2))
    stage = story.comfort.stage.value if story.comfort and story.comfort.stage else None
    if stage:
        made.append(
            text(
                say("{stage}; each pupil has one of their own.", stage=term(stage)),
                wide,
                bold=say("Position: "),
            )
        )
    else:
        made.append(
            text(
                say("{stages:list} (ring one)", stages=tuple(map(term, STAGE_WORDS))),
                wide,
                bold=say("Position: "),
            )
        )
    made += [
        text(
            say(
                "{times:list}. These are guesses to plan by: the pupils decide.",
                times=length_words(story, performance),
            ),
            wide,
            bold=say("Time: "),
        ),
        text(", ".join(map(own, performance.roles)), wide, bold=say("Adults: ")),
        text(", ".join(_props(story)) or say("none"), wide, bold=say("Props: ")),
    ]
    areas = _areas(performance)
    made.append(heading(say("Intended outcomes"), wide))
    if areas:
        for area, numbers in areas.items():
            label = say(
                "{area} ({lines:list}): pupils may",
                area=term(area)[:1].upper() + term(area)[1:],
                lines=tuple(numbers),
            )
            made.append(write_on(label, wide, 2))
    else:
        made += [write_on(say("Pupils may"), wide, 2), write_on(say("Pupils may"), wide, 2)]
    coming = iter(shares.sections)
    section = None
    for step in steps(performance):
        name = step.segments[0].section
        if name != section:
            section = name
            share = next((each for each in coming if each.title == name), None)
            long = f" ({clock_range(share.likely_sec)})" if share else ""
            made.append(heading(f"{own(name)}{long}", wide, 15.0))
        made += _step(step, wide)
    made.append(heading(say("Afterwards"), wide))
    made.append(tick(say("board and props cleaned, box packed"), wide))
    made.append(write_on(say("Keep"), wide, 2))
    # the last one never stands on a page by itself
    made.append(evolve(write_on(say("Change"), wide, 2), with_next=True))
    made.append(write_on(say("Next steps, by place letter"), wide, 2))
    return running_pages(made, size, say("{title}: session plan", title=story.title))


def _props(story: Story) -> list[str]:
    return [
        say("{prop} ({sets:1 set|# sets})", prop=own(prop.name), sets=prop.sets)
        if prop.sets > 1
        else own(prop.name)
        for prop in story.props
    ]


def _areas(performance: Performance) -> dict[str, list[str]]:
    """Areas of learning with the lines that carry them, in order of appearance."""
    found: dict[str, list[str]] = {}
    for step in steps(performance):
        for segment in step.lines:
            where = step.refrain or say("line {number}", number=step.number)
            for area in segment.line.areas if segment.line else ():
                lines = found.setdefault(area, [])
                if where not in lines:
                    lines.append(where)
    return found


def _step(step: Step, wide: float) -> list[Band]:
    if step.refrain_time > 1:
        return [
            text(
                say(
                    "again ({time}){otherwise:0=|*=, in another way}",
                    time=step.refrain_time,
                    otherwise=int(step.otherwise),
                ),
                wide,
                bold=say("Refrain {name} ", name=step.refrain),
            )
        ]
    made: list[Band] = []
    for segment in step.segments:
        line = segment.line
        if line is None:
            keep_with_next(made)
        if segment.kind is SegmentKind.WAIT:
            made.append(
                text(
                    "",
                    wide,
                    bold=say("Wait {seconds} seconds or more", seconds=round(segment.length_sec)),
                )
            )
        elif segment.prop is not None:
            each = seconds_words(segment.turn_sec)
            made.append(
                text(
                    say(", {each} or more each", each=each),
                    wide,
                    bold=say("Offer {prop}", prop=own(segment.prop)),
                )
            )
        if line is not None:
            bold = f"{step.number}  " if step.number else say("Refrain {name}  ", name=step.refrain)
            if step.refrain and segment is not step.lines[0]:
                bold = ""
            made.append(text(plain(line.words), wide, bold=bold))
            for label, said in ((say("Do "), line.do), (say("Warn first: "), line.warn_first)):
                if said:
                    _add_below(made, said, wide, label)
            if line.areas:
                _add_below(made, ", ".join(map(term, line.areas)), wide)
        look = segment.look_for or (line.look_for if line else None)
        if look:
            _add_below(made, look, wide, say("Look for "))
    return made


def _add_below(made: list[Band], said: str, wide: float, label: str = "") -> None:
    """Set in below the last band, and on its page."""
    keep_with_next(made)
    band = text(said, wide - 20, bold=label, space=1.0)
    made.append(spaced(Band(band.at(20.0, 0), band.height), band.space_before))
