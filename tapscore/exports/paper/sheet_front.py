"""The head of the leader's sheet: what holds throughout, who is who, and what to mind."""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.board_picture import board_picture
from tapscore.exports.paper.how_items import Usual
from tapscore.exports.paper.part_front import REMINDERS
from tapscore.exports.paper.people import usual_speaker, who_words
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import Piece, own, pieces_of
from tapscore.model.cautions import CAUTIONS
from tapscore.model.loudness import swell_words
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Role, Story
from tapscore.model.tempo import tempo_words
from tapscore.model.wordings import joined
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.running_time import length_words
from tapscore.rhythm.unroll import story_manner
from tapscore.wording.catalogue import say

TITLE_PT = 20.0
PICTURE_PT = 80.0


def story_usual(story: Story) -> Usual:
    """What holds where neither section nor line says anything, in words."""
    manner = story_manner(story)
    return Usual(manner.stroke.shown, manner.spot or "", swell_words(manner.loudness))


def front(story: Story, performance: Performance, sizes: Sizes, width: float) -> list[Band]:
    """Bands from the title down to the beginning of the story."""
    picture = None
    says = story_manner(story).says
    alone = says[0] if len(says) == 1 else story.leader
    # where nobody is called leader, whoever speaks holds the sheet: another one, on some days
    holder = story.leader if story.leader == "leader" else alone
    leader = next((role for role in story.roles if role.name == holder), None)
    if story.board:
        picture = board_picture(
            story.board,
            spots=[spot.name for spot in story.board.spots],
            seat=leader.seat if leader else None,
            most=(width * 0.26, PICTURE_PT),
            label=sizes.label,
        )
    size = sizes.label
    wide = width - (picture.width_pt + size if picture else 0.0)
    title = (Piece(own(story.title), True), Piece(say("  Leader’s cue sheet"), False))
    strips = [bands.paragraph(title, TITLE_PT, wide, tag="H1")]
    strips += [bands.paragraph(pieces, size, wide) for pieces in _facts(story, performance)]
    top = bands.stack(strips, size * 0.12)
    if picture:
        beside = Band((picture.block,), picture.height_pt)
        top = bands.beside(top, beside, width - picture.width_pt)
    return [top, bands.spaced(_mind(story, size, width), size * 0.35)]


def _facts(story: Story, performance: Performance) -> list[tuple[Piece, ...]]:
    manner = story_manner(story)
    telling, in_all = length_words(story, performance)
    pupils = story.pupil_count
    made: list[tuple[Piece, ...]] = [
        pieces_of(
            "**{telling},** {in_all}; at the right, the earliest times.",
            telling=telling,
            in_all=in_all,
        ),
        pieces_of(
            "**Unless a line says otherwise: **{metre}, {tempo} beats a minute; "
            "{tapped:no=nobody taps|*={stroke}, {loudness}{spot:=|*=, at {spot}}; "
            "{role} {tap:one=taps|many=tap}}; {speaker} and {warn:one=warns|many=warn}.",
            tapped="yes" if any(each.taps for each in performance.segments) else "no",
            metre=str(manner.metre),
            tempo=tempo_words(manner.tempo),
            stroke=manner.stroke.shown,
            loudness=swell_words(manner.loudness),
            spot=own(manner.spot) if manner.spot else None,
            role=who_words(manner.by),
            tap=_one_or_many(manner.by),
            speaker=usual_speaker(story),
            warn="many" if EVERYONE in manner.says else _one_or_many(manner.says),
        ),
    ]
    who = [_who(story, role) for role in story.roles]
    if who:
        made.append(
            pieces_of(
                "**{pupils:1 pupil|# pupils}. Adults: **{adults:list}."
                "{props:no=|yes= Props move before the words.}",
                pupils=pupils,
                adults=tuple(who),
                props="yes" if story.props else "no",
            )
        )
    else:
        made.append(pieces_of("**{pupils:1 pupil|# pupils}.**", pupils=pupils))
    return made


def _one_or_many(names: tuple[str, ...]) -> str:
    return "one" if len(names) == 1 or EVERYONE in names else "many"


def _who(story: Story, role: Role) -> str:
    places = [p.name for p in story.board.places if p.partner == role.name] if story.board else []
    said = [own(role.seat)] if role.seat else []
    said += [say("with {places:and}", places=tuple(places))] if places else []
    props = [own(prop.name) for prop in story.props if story.bringer(prop.name) == role.name]
    said += [say("brings {props:and}", props=tuple(props))] if props else []
    return f"{own(role.name)} ({', '.join(said)})" if said else own(role.name)


def _mind(story: Story, size: float, width: float) -> Band:
    """Reminders, and what to think of with each prop; whoever handles it has the whole words."""
    pieces = [Piece(say("Before you start: "), True), Piece(" ".join(REMINDERS))]
    cautioned = [prop for prop in story.props if prop.cautions]
    for number, prop in enumerate(cautioned):
        hazards = joined(
            CAUTIONS[word].title if word in CAUTIONS else word for word in prop.cautions
        )
        pieces.append(Piece("; " if number else say(" Cautions: ")))
        pieces += [Piece(f"{own(prop.name)} ", True), Piece(f"({hazards})")]
    if cautioned:
        pieces.append(Piece("."))
    return bands.paragraph(tuple(pieces), size, width)
