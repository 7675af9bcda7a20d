"""A picture file without what a camera writes into it: where, when, by what, and small copies.

The pixels are not touched: what stands around them is left out (JPEG, PNG) or emptied where it
stands (HEIC).  Which way up it is shown stays.  Sources: the markers of ITU-T T.81, annex B, with
JFIF and Exif 2.3; the chunks of the PNG specification (W3C, third edition); items of
ISO/IEC 23008-12 as libheif reads them.
"""

import zlib
from collections.abc import Iterator
from io import BytesIO

from tapscore.wording.catalogue import say

_EOI, _SOS, _COM = 0xD9, 0xDA, 0xFE
_ALONE = frozenset((0x01, *range(0xD0, 0xD8)))
"""Markers without a length."""
_KEPT_APP = ((0xE0, b"JFIF\0"), (0xE2, b"ICC_PROFILE\0"), (0xEE, b"Adobe"))
"""What the colours need; Exif, XMP, IPTC, small copies and makers' own data go."""
_PNG = b"\x89PNG\r\n\x1a\n"
_KEPT_CHUNKS = frozenset(
    b"IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB bKGD hIST pHYs cICP acTL fcTL fdAT".split()
)
_ORIENTATION = 0x0112
_EMPTY_TIFF = b"II*\0\x08\0\0\0\0\0\0\0\0\0"
"""Exif with nothing in it."""


class PhotoDataError(ValueError):
    """The file is damaged, or holds its data in a way that is not known."""


def without_photo_data(data: bytes) -> bytes:
    """The same picture without its data; what is no JPEG, PNG or HEIC comes back as it is.

    Raises PhotoDataError.
    """
    try:
        if data.startswith(b"\xff\xd8\xff"):
            return b"".join(_jpeg(data))
        if data.startswith(_PNG):
            return b"".join(_png(data))
        if data[4:8] == b"ftyp":
            return _heif(data)
    except PhotoDataError:
        raise
    except (IndexError, OSError, ValueError, SyntaxError, RuntimeError) as error:
        raise PhotoDataError(say("it is damaged")) from error
    return data


def _jpeg(data: bytes) -> Iterator[bytes]:
    yield data[:2]
    exif = _exif_of_orientation(data)
    if exif:
        whole = b"Exif\0\0" + exif
        yield b"\xff\xe1" + (len(whole) + 2).to_bytes(2, "big") + whole
    at = 2
    while True:
        if data[at] != 0xFF:
            raise PhotoDataError(say("it is damaged"))
        while data[at + 1] == 0xFF:
            at += 1
        marker = data[at + 1]
        if marker == _EOI:
            yield b"\xff\xd9"
            return
        if marker in _ALONE:
            yield data[at : at + 2]
            at += 2
            continue
        end = at + 2 + int.from_bytes(data[at + 2 : at + 4], "big")
        if end <= at + 3 or end > len(data):
            raise PhotoDataError(say("it is damaged"))
        goes = marker == _COM or (0xE0 <= marker <= 0xEF and not _keeps(marker, data[at + 4 : end]))
        if not goes:
            yield data[at:end]
        at = end
        if marker == _SOS:
            end = _end_of_scan(data, at)
            yield data[at:end]
            at = end


def _keeps(marker: int, body: bytes) -> bool:
    return any(marker == kept and body.startswith(name) for kept, name in _KEPT_APP)


def _end_of_scan(data: bytes, at: int) -> int:
    """Where the next marker stands after a scan's own bytes."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            raise PhotoDataError(say("it is damaged"))
        following = data[at + 1]
        if following == 0xFF:
            at += 1
        elif following == 0 or 0xD0 <= following <= 0xD7:
            at += 2
        else:
            return at


def _png(data: bytes) -> Iterator[bytes]:
    yield _PNG
    at = len(_PNG)
    exif = _exif_of_orientation(data)
    while True:
        length, kind = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        end = at + 12 + length
        if len(kind) < 4 or end > len(data):
            raise PhotoDataError(say("it is damaged"))
        if kind in _KEPT_CHUNKS:
            yield data[at:end]
        if kind == b"IHDR" and exif:
            checked = b"eXIf" + exif
            yield len(exif).to_bytes(4, "big") + checked + zlib.crc32(checked).to_bytes(4, "big")
        if kind == b"IEND":
            return
        at = end


def _exif_of_orientation(data: bytes) -> bytes:
    """Exif that says which way up the picture is and nothing else; empty where it is as stored."""
    from PIL import Image

    with Image.open(BytesIO(data), formats=("JPEG", "PNG")) as opened:
        turned = opened.getexif().get(_ORIENTATION, 1)
    if turned not in range(2, 9):
        return b""
    entry = _ORIENTATION.to_bytes(2, "little") + b"\3\0\1\0\0\0" + bytes((turned, 0, 0, 0))
    return b"II*\0\x08\0\0\0\1\0" + entry + bytes(4)


def _heif(data: bytes) -> bytes:
    """The data's items filled with nothing; the picture is turned by properties of its own."""
    import pi_heif  # type: ignore[import-untyped]

    emptied = bytearray(data)
    for image in pi_heif.open_heif(BytesIO(data)):
        exif = image.info.get("exif") or b""
        known = [exif.removeprefix(b"Exif\0\0"), image.info.get("xmp") or b""]
        known += [each["data"] for each in image.info.get("metadata", ())]
        for said in known:
            if not said:
                continue
            at = data.find(said)
            if at < 0:
                raise PhotoDataError(say("it holds its data in a way that is not known"))
            is_exif = said[:4] in (b"II*\0", b"MM\0*") and len(said) >= len(_EMPTY_TIFF)
            nothing = _EMPTY_TIFF if is_exif else b""
            emptied[at : at + len(said)] = nothing.ljust(len(said), b"\0" if is_exif else b" ")
    return bytes(emptied)
