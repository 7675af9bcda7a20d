"""Own pictures on paper: no larger than a space, with a description for who can't see them."""

from collections.abc import Sequence

from tapscore.exports.own_pictures import OwnPicture, OwnPictures
from tapscore.exports.paper.bands import Band, paragraph, right_of, stack
from tapscore.exports.paper.drawing import Photo, TaggedBlock
from tapscore.exports.paper.text_flow import Piece, own
from tapscore.model.story import Prop
from tapscore.wording.catalogue import say


def photo_band(picture: OwnPicture, alt: str, most: tuple[float, float]) -> tuple[Band, float]:
    """A picture as large as fits ``most`` (width and height in points), and its width."""
    scale = min(most[0] / picture.width_px, most[1] / picture.height_px)
    wide, high = picture.width_px * scale, picture.height_px * scale
    block = TaggedBlock("Figure", (Photo(0, 0, wide, high, picture.jpeg),), alt)
    return Band((block,), high), wide


def photo_row(
    pictures: OwnPictures, props: Sequence[Prop], size_pt: float, width: float, high: float
) -> Band | None:
    """The pictures of some props side by side, each over its name; None where there is none."""
    x = tallest = 0.0
    blocks: list[TaggedBlock] = []
    for prop in props:
        picture = pictures.of(prop.picture)
        if picture is None:
            continue
        photo, wide = photo_band(
            picture, say("Picture of {prop}", prop=prop.name), (high * 1.5, high)
        )
        name = paragraph((Piece(own(prop.name), True),), size_pt, max(wide, high))
        whole = stack([photo, name])
        room = max(wide, right_of(name))
        if x + room > width:
            break
        blocks += whole.at(x, 0)
        x += room + size_pt
        tallest = max(tallest, whole.height)
    return Band(tuple(blocks), tallest) if blocks else None
