"""Pictures without what a camera writes into them.

Outside: Pillow and pillow-heif write the pictures and read them back; the places and times are
those of Exif 2.3 (IFD tags 0x0132, 0x8825), XMP, IPTC and a comment.
"""

from io import BytesIO

import numpy as np
import pillow_heif
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps
from PIL.PngImagePlugin import PngInfo

from tapscore.exports.photo_data import PhotoDataError, without_photo_data

pillow_heif.register_heif_opener()
SECRETS = (b"2026:05:03", b"Phone of K.", b"secret")
KINDS = ("JPEG", "progressive", "PNG", "HEIF")


def photo(kind: str, orientation: int = 6) -> bytes:
    """A picture of noise with a place, a time, a maker, XMP and a comment in it."""
    noise = np.random.default_rng(1).integers(0, 256, (64, 48, 3), np.uint8)
    picture = Image.fromarray(noise)
    exif = Image.Exif()
    exif[0x0112], exif[0x0132], exif[0x010F] = orientation, "2026:05:03 10:00:00", "Phone of K."
    place = exif.get_ifd(0x8825)
    place[1], place[2] = "N", (51.0, 30.0, 0.0)
    out = BytesIO()
    profile = b"a profile of colours " * 9
    if kind == "PNG":
        said = PngInfo()
        said.add_text("Comment", "secret")
        picture.save(out, "PNG", exif=exif.tobytes(), pnginfo=said, icc_profile=profile)
    elif kind == "HEIF":
        picture.save(out, "HEIF", exif=exif.tobytes(), xmp=b"<x>secret</x>")
    else:
        picture.save(
            out,
            "JPEG",
            exif=exif.tobytes(),
            comment=b"secret",
            icc_profile=profile,
            progressive=kind == "progressive",
            restart_marker_blocks=2,
        )
        return out.getvalue() + b"a second picture behind it: secret"
    return out.getvalue()


@pytest.mark.parametrize("kind", KINDS)
def test_place_time_and_maker_go_and_the_pixels_stay(kind: str) -> None:
    before = photo(kind)
    after = without_photo_data(before)
    assert any(secret in before for secret in SECRETS)
    assert not [secret for secret in SECRETS if secret in after]
    with Image.open(BytesIO(before)) as one, Image.open(BytesIO(after)) as other:
        assert np.array_equal(np.asarray(one), np.asarray(other))
        assert other.info.get("icc_profile") == one.info.get("icc_profile")
        assert set(other.getexif()) <= {0x0112}
        assert dict(other.getexif().get_ifd(0x8825)) == {}
        shown, now = ImageOps.exif_transpose(one), ImageOps.exif_transpose(other)
        assert np.array_equal(np.asarray(shown), np.asarray(now)), "it is still the same way up"
    assert without_photo_data(after) == after


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_each_way_up_is_kept(kind: str, orientation: int) -> None:
    after = without_photo_data(photo(kind, orientation))
    with Image.open(BytesIO(after)) as picture:
        assert picture.getexif().get(0x0112, 1) == orientation


def test_what_is_no_picture_we_know_comes_back_as_it_is() -> None:
    assert without_photo_data(b"a picture") == b"a picture"
    assert without_photo_data(b"") == b""


@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_picture_is_refused_and_never_half_done(kind: str) -> None:
    whole = photo(kind)
    end = whole.index(b"a second picture") if b"a second picture" in whole else len(whole)
    for cut in (20, 60, end // 3, end // 2, end - 6):
        with pytest.raises(PhotoDataError):
            without_photo_data(whole[:cut])


@given(
    st.binary(max_size=200),
    st.sampled_from([b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"....ftypheic"]),
)
def test_anything_is_answered(rest: bytes, head: bytes) -> None:
    try:
        without_photo_data(head + rest)
    except PhotoDataError:
        return


def _scan_of(data: bytes) -> int:
    """Where the bytes of a JPEG's first scan begin."""
    at = data.index(b"\xff\xda")
    return at + 2 + int.from_bytes(data[at + 2 : at + 4], "big")


def test_bytes_that_only_fill_are_passed_over() -> None:
    """ITU-T T.81, B.1.1.2: any number of 0xFF may stand before a marker."""
    plain = photo("JPEG")
    at = plain.index(b"\xff\xdb")  # a table of quantisation
    end = plain.rindex(b"\xff\xd9")
    filled = plain[:at] + b"\xff\xff\xff" + plain[at:end] + b"\xff\xff" + plain[end:]
    after, before = without_photo_data(filled), without_photo_data(plain)
    assert not [secret for secret in SECRETS if secret in after]
    with Image.open(BytesIO(before)) as one, Image.open(BytesIO(after)) as other:
        assert np.array_equal(np.asarray(one), np.asarray(other))
    assert after.endswith(b"\xff\xd9")


def test_a_scan_that_breaks_off_without_a_marker_is_refused() -> None:
    whole = photo("JPEG")
    begin = _scan_of(whole)
    first = whole.index(b"\xff", begin)
    for end in (begin, first, first + 1):
        with pytest.raises(PhotoDataError):
            without_photo_data(whole[:end])


def test_what_is_emptied_in_heic_is_exif_of_nothing_and_blanks() -> None:
    before = photo("HEIF")
    after = without_photo_data(before)
    assert len(after) == len(before)
    xmp = before.index(b"<x>secret</x>")
    assert after[xmp : xmp + 13] == b" " * 13
    exif = before.rindex(b"Exif\0\0") + 6
    empty = b"II*\0\x08\0\0\0\0\0\0\0\0\0"
    changed = [at for at in range(len(before)) if before[at] != after[at]]
    last = max(at for at in changed if not xmp <= at < xmp + 13)
    assert after[exif : last + 1] == empty.ljust(last + 1 - exif, b"\0")
