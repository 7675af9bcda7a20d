"""The front of the first part sheet: who I am, what holds throughout, what to mind, and a key.

It is read in the hand before the story begins, so its print is large print whatever the
distance of the sheet (UKAAF G003, 2019: 16 pt at least); what is looked up while tapping
is as large as the labels.
"""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band, Item
from tapscore.exports.paper.board_picture import board_picture
from tapscore.exports.paper.cautions import named_cautions, split_caution
from tapscore.exports.paper.drawing import Panel, StraightLine, TaggedBlock
from tapscore.exports.paper.how_items import Usual
from tapscore.exports.paper.inks import INK, MUTED, TEAL
from tapscore.exports.paper.mark_key import key_items
from tapscore.exports.paper.part_pieces import Part
from tapscore.exports.paper.people import usual_speaker, with_whom
from tapscore.exports.paper.photos import photo_row
from tapscore.exports.paper.sizes import FLOOR_PT, Sizes
from tapscore.exports.paper.text_flow import Piece, own, pieces_of
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Role
from tapscore.model.tempo import tempo_words
from tapscore.model.wordings import joined
from tapscore.rhythm.describe import describe
from tapscore.rhythm.performance import SegmentKind
from tapscore.rhythm.role_view import LinePart
from tapscore.rhythm.unroll import story_manner
from tapscore.wording.catalogue import say

PHOTO_EM = 4.0
"""Height of own pictures, in sizes of the text."""
REMINDERS = (
    say("Anyone may come away from the board at any time."),
    say("A seizure: stop tapping and follow that pupil’s own plan."),
    say("Each pupil’s plan and the school’s policies come before this sheet."),
)


def my_lines(part: Part) -> Iterator[LinePart]:
    """The lines of a part that its adult taps or does something in.

    Those of a refrain once, and again where it is told otherwise.
    """
    for piece in part.pieces:
        for step in piece.steps:
            if not piece.mine or (step.refrain_time > 1 and not step.otherwise):
                continue
            for segment in step.lines:
                if part.view.involved_in(segment):
                    found = part.view.part(segment)
                    assert isinstance(found, LinePart)
                    yield found


def usual_of(part: Part) -> Usual:
    """How most of a part's lines are tapped; nothing for what has no most."""
    strokes: Counter[str] = Counter()
    spots: Counter[str] = Counter()
    louds: Counter[str] = Counter()
    for line in my_lines(part):
        if not line.taps:
            continue
        found = describe(line.segment, {tap.event for tap in line.taps}, line.taps[0].role)
        strokes[found.stroke.words] += 1
        spots[found.spot.words] += 1
        louds[found.loudness.words] += 1
    return Usual(*(_most(counted) for counted in (strokes, spots, louds)))


def back_at_usual(part: Part, usual: Usual) -> frozenset[Fraction]:
    """Beats at which lines start that are tapped at the usual spot again, after another one.

    There the spot is said: who has just tapped elsewhere would stay.
    """
    back: set[Fraction] = set()
    before = usual.spot
    lines = (s for piece in part.pieces for step in piece.steps for s in step.lines)
    for segment in lines:
        found = part.view.part(segment)
        if isinstance(found, LinePart) and found.taps:
            events = {tap.event for tap in found.taps}
            spot = describe(segment, events, found.taps[0].role).spot.words
            if before != spot == usual.spot:
                back.add(segment.start_beats)
            before = spot
    return frozenset(back)


def usual_words(usual: Usual, tempo: str = "") -> tuple[Piece, ...]:
    """What holds throughout, in a sentence; nothing where nothing does."""
    found = [word for word in (usual.stroke, usual.loudness) if word]
    if usual.spot:
        found.append(say("at {spot}", spot=own(usual.spot)))
    if not found:
        return (Piece(f"{tempo[:1].upper()}{tempo[1:]}."),) if tempo else ()
    more = f"; {tempo}" if tempo else ""
    return (
        Piece(say("Unless a line says otherwise: ")),
        Piece(joined(found, "list"), True),
        Piece(f"{more}."),
    )


def front(
    part: Part,
    name: str,
    usual: Usual,
    sizes: Sizes,
    width: float,
    pictures: OwnPictures = NO_PICTURES,
    *,
    small: float = FLOOR_PT,
) -> list[Band]:
    """Bands of the front, from whose sheet it is, and which, to the rule above the first line.

    ``small`` is the size of what is read in the hand, in points.
    """
    story = part.view.story
    gap = small * 0.5
    role = next((r for r in story.roles if r.name == part.view.role), Role(part.view.role))
    title = (
        Piece(f"{role.name[:1].upper()}{role.name[1:]}", True, TEAL),
        Piece(f", {name}", True),
        Piece(f"  {own(story.title)}"),
    )
    picture = _picture(part, role.seat, sizes, width)
    wide = width - (picture[1] + sizes.label * 0.6 if picture else 0.0)
    strips = [bands.paragraph(title, sizes.number, wide, tag="H1")]
    taps = any(line.taps for line in my_lines(part))
    pace = tempo_words(story_manner(story).tempo)
    tempo = say("{tempo} beats a minute", tempo=pace) if taps else ""
    throughout = usual_words(usual, tempo)
    if throughout:
        strips.append(bands.paragraph(throughout, sizes.label, wide))
    speaker = usual_speaker(story, role.name)
    about = with_whom(part.view)
    said = _and_ends_waits(part, f"{speaker[:1].upper()}{speaker[1:]}")
    if picture and picture[2]:
        said = say("{said} In the picture {picture}.", said=said, picture=picture[2])
    strips.append(bands.paragraph((Piece(said),), small, wide))
    if about:
        strips.append(bands.paragraph((Piece(about, True),), sizes.label, wide))
    ready = _ready(part)
    if ready:
        pieces = pieces_of("**Have ready: **{props}.", props=ready)
        strips.append(bands.paragraph(pieces, small, wide))
    handled = [prop for prop in story.props if prop.name in part.handled]
    photos = photo_row(pictures, handled, small, wide, small * PHOTO_EM)
    if photos:
        strips.append(photos)
    top = bands.stack(strips, gap * 0.6)
    if picture:
        top = bands.beside(top, picture[0], width - picture[1])
    key = key_items([(line.segment, line.taps) for line in my_lines(part)], small)
    made = [top, bands.spaced(_before_you_start(part, width, small), gap)]
    if key:
        first = Item(say("Key"), TEAL, True)
        made.append(bands.spaced(bands.items_line([first, *key], small, width), gap))
    rule = TaggedBlock("Artifact", (StraightLine(0, 0.6, width, 0.6, INK, 1.2),))
    made.append(bands.spaced(Band((rule,), 1.2), gap))
    return made


def _most(counted: Counter[str]) -> str:
    """The word that holds for more than half."""
    if not counted:
        return ""
    word, times = counted.most_common(1)[0]
    return word if 2 * times > counted.total() else ""


def _ready(part: Part) -> str:
    """The props that the adult brings, with what they are."""
    story = part.view.story
    said: list[str] = []
    for name in (name for name in part.handled if story.bringer(name) == part.view.role):
        prop = story.prop(name)
        details = [own(prop.what)] if prop and prop.what else []
        if prop and prop.sets > 1:
            details.append(say("{sets:1 set|# sets}", sets=prop.sets))
        if prop and prop.instead:
            details.append(say("or instead {thing}", thing=own(prop.instead)))
        said.append(f"{own(name)} ({', '.join(details)})" if details else own(name))
    return joined(said) if said else ""


def _before_you_start(part: Part, width: float, size: float) -> Band:
    """Reminders, and cautions of the props that the adult handles, in a frame."""
    pad = size * 0.5
    inner = width - 2 * pad
    lines = [bands.paragraph((Piece(say("Before you start"), True),), size, inner, tag="H2")]
    for hazard, rest in map(split_caution, named_cautions(part.view.story, part.handled)):
        lines.append(bands.paragraph((Piece(hazard, True), Piece(rest)), size, inner))
    lines.append(bands.paragraph((Piece(" ".join(REMINDERS)),), size, inner))
    inside = bands.stack(lines, size * 0.1)
    high = inside.height + 2 * pad * 0.7
    frame = Panel(0.6, 0.6, width - 1.2, high - 1.2, 6.0, None, MUTED, 1.2)
    return Band((TaggedBlock("Artifact", (frame,)), *inside.at(pad, pad * 0.7)), high)


def _and_ends_waits(part: Part, speaker: str) -> str:
    """Who speaks, and that the one voice goes on when pupils have answered."""
    waits = any(
        segment.kind is SegmentKind.WAIT
        for piece in part.pieces
        for step in piece.steps
        for segment in step.segments
    )
    names = story_manner(part.view.story).says
    if not waits or len(names) != 1 or EVERYONE in names:
        return say("{speaker}.", speaker=speaker)
    if part.view.role in names:
        return say("{speaker} and end each wait.", speaker=speaker)
    return say("{speaker} and ends each wait.", speaker=speaker)


def _picture(
    part: Part, seat: str | None, sizes: Sizes, width: float
) -> tuple[Band, float, str] | None:
    board = part.view.story.board
    if board is None:
        return None
    spots = {tap.spot for line in my_lines(part) for tap in line.taps if tap.spot is not None}
    spots |= {e.at for line in my_lines(part) for e in line.brings if e.at is not None}
    if not spots and (seat is None or board.seat(seat) is None):
        return None
    label = sizes.label
    most = (min(width * 0.24, label * 6.2), label * 5.8)
    picture = board_picture(board, spots=sorted(spots), seat=seat, most=most, label=label)
    return Band((picture.block,), picture.height_pt), picture.width_pt, picture.key
