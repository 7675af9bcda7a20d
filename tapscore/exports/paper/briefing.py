"""One page for somebody who joins today and has never seen the story."""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.cautions import REMINDERS
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import (
    NOTICE_PAD,
    heading,
    notice,
    printed,
    running_pages,
    sheet_of,
    text,
    title,
)
from tapscore.exports.paper.steps import first_returns, steps, times_heard
from tapscore.exports.paper.text_flow import own, pieces_of
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Story
from tapscore.model.wordings import joined, seconds_words
from tapscore.model.words import printed as plain
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.role_view import RoleView
from tapscore.rhythm.running_time import length_words, running_time
from tapscore.rhythm.unroll import story_manner
from tapscore.wording.catalogue import say

WHAT_WE_DO = say(
    "We sit round a thin board and tap a story on it with our hands. Pupils on it or beside it"
    " hear the taps and feel them. It is the same story every time, and it belongs to the"
    " pupils: they set the pace."
)
WHAT_TO_DO = (
    (
        say("Tap what your sheet shows. "),
        say("The marks stand under the syllables: tap as they are said."),
    ),
    (
        say("Bigger mark, louder tap. "),
        say("The word beside it says how loud; the shape says which part of the hand."),
    ),
    (
        say("Wait when it says wait. "),
        say(
            "Hands still, no words, eyes on the pupils. The number is the"
            " least; a pupil’s answer ends it, you don’t."
        ),
    ),
    (
        say("Let the one who warns do it, "),
        say(
            "by at least two of voice, touch and sight. If that is you, your"
            " sheet says so. Nothing louder comes unannounced."
        ),
    ),
    (say("A look, a breath, a still body are answers. "), say("So is turning away.")),
)


def briefing(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print the briefing.  Raises ValueError for a paper or margin there is no room on."""
    pages = briefing_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what=say("briefing"), subject=say("For somebody who joins today"))


def briefing_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the page that ``briefing`` prints, as data; a long story takes a further one."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    made = [
        title(story.title, say("If you join us today"), wide),
        text(WHAT_WE_DO, wide, space=8.0),
    ]
    made.append(heading(say("What you do"), wide))
    heard = _refrains(performance, wide)
    come_in = (
        say("Rest, listen for the refrain, and come in there.")
        if heard
        else say("Rest, listen, and come in at the next line.")
    )
    for bold, rest in (*WHAT_TO_DO, (say("Lost your place? "), come_in)):
        made.append(text(rest, wide, bold=bold))
    made.append(heading(say("Who does what"), wide))
    made += [_role(story, performance, role, wide) for role in performance.roles]
    if heard:
        made += [heading(say("The refrain: everybody knows it"), wide), *heard]
    made += [heading(say("How it goes"), wide), *_sections(story, performance, wide)]
    inner = wide - NOTICE_PAD
    made.append(notice([text(sentence, inner) for sentence in REMINDERS], wide))
    return running_pages(made, size, say("{title}: briefing", title=story.title))


def _role(story: Story, performance: Performance, name: str, wide: float) -> Band:
    told = next((role for role in story.roles if role.name == name), None)
    said: list[str] = []
    if told and told.seat:
        said.append(say("seat “{seat}”", seat=told.seat))
    view = RoleView(story, name)
    lines = performance.lines
    if view.places():
        said.append(say("is with {places:and} first of all", places=view.places()))
    usual = story_manner(story).says
    speaks = {line.path for line in lines if view.says(line)}
    if name in usual or EVERYONE in usual:
        said.append(say("speaks the words"))
    elif speaks:
        said.append(say("speaks in {lines:1 line|# lines}", lines=len(speaks)))
    if any(view.warns(line) for line in lines):
        said.append(say("warns"))
    tapped = [
        step.refrain
        for step in steps(performance)
        if any(tap.role == name for line in step.lines for tap in line.taps)
    ]
    if numbers := tapped.count(None):
        said.append(say("taps {numbers:1 line|# lines}", numbers=numbers))
    if returning := dict.fromkeys(refrain for refrain in tapped if refrain):
        said.append(say("taps the refrain {names:list}", names=tuple(returning)))
    # what whoever taps does with her line goes without saying
    besides = [each for each in lines if each.line and (each.line.done_by or not each.taps)]
    does = {each.path for each in besides if view.does(each)}
    if does:
        said.append(say("has something to do in {lines:1 line|# lines}", lines=len(does)))
    brings = [prop.name for prop in story.props if story.bringer(prop.name) == name]
    if brings:
        said.append(say("brings {props:list}", props=tuple(brings)))
    offers = dict.fromkeys(s.prop for s in performance.segments if s.prop and view.offers(s))
    hands = [prop for prop in offers if prop and prop not in brings]
    if hands:
        said.append(say("hands {props:list} to pupils", props=tuple(hands)))
    sentence = joined(said, "list") or say("watches, and helps where help is needed")
    return text(f"{sentence}.", wide, bold=f"{name[:1].upper()}{name[1:]}: ")


def _refrains(performance: Performance, wide: float) -> list[Band]:
    made: list[Band] = []
    told = steps(performance)
    often = times_heard(told)
    for refrain, lines in first_returns(told).items():
        words = " ".join(plain(line.line.words) for line in lines if line.line)
        times = often[refrain]
        said = say(" ({times:once|# times})", times=times) if times > 1 else ""
        made.append(text(f"{words}{said}", wide, 16.0))
    return made


def _sections(story: Story, performance: Performance, wide: float) -> list[Band]:
    shares = running_time(performance)
    made: list[Band] = []
    for share in shares.sections:
        name = f"{own(share.title)}: " if share.title else ""
        made.append(
            text(
                say("{time} at least.", time=seconds_words(share.least_sec)),
                wide,
                bold=name,
            )
        )
    telling, in_all = length_words(story, performance)
    pieces = pieces_of(
        "**All of it **{telling}, {in_all}: the pupils decide.", telling=telling, in_all=in_all
    )
    made.append(bands.spaced(bands.paragraph(pieces, 12.0, wide), 3.0))
    return made
