"""Damage to files: bytes, lines, numbers and pieces of one file in another."""

import re
from random import Random

ODD = (
    *(b"\0", b"\xff", b"\xfe\xff", b"\xef\xbb\xbf", b"\r", b"\n\n", b"\t", b"  ", b"- ", b": "),
    *(b"#", b" # x", b"'", b'"', b"{", b"}", b"[", b"]", b"&a", b"*a", b"!t ", b"|", b">", b"%"),
    *(b"---\n", b"...\n", b"? ", b"<<: ", b"nan", b"inf", b"-1", b"0", b"1e999", b"99999999999"),
    *(b"\xe2\x80\xa8", b"\xe2\x80\xae", b"\x1b[2J", b"<b>", b"&amp;", b"%s", b"\xf0\x9f\x99\x82"),
    *(b"true", b"null", b"~", b"1:30", b"0x1F", b"../..", b"con", b"x(", b"| X", b"to", b"free"),
)
_NUMBER = re.compile(rb"\d+(?:\.\d+)?")
_NUMBERS = (b"0", b"1", b"-1", b"0.5", b"10", b"100", b"500", b"600", b"9999", b"1000000", b"1e9")


def damaged(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    """One file damaged in one to five places."""
    for _ in range(random.randint(1, 5)):
        data = random.choice(_WAYS)(data, others, random)
    return data[:3_000_000]


def _cut(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    start, end = _stretch(data, random)
    return data[:start] + data[end:]


def _end(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    return data[: random.randrange(len(data) + 1)]


def _odd(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    at = random.randrange(len(data) + 1)
    return data[:at] + random.choice(ODD) + data[at:]


def _flip(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    if not data:
        return data
    at = random.randrange(len(data))
    return data[:at] + bytes([data[at] ^ (1 << random.randrange(8))]) + data[at + 1 :]


def _again(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    start, end = _stretch(data, random)
    return data[:end] + data[start:end] * random.choice([1, 1, 1, 2, 20, 200]) + data[end:]


def _lines(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    lines = data.split(b"\n")
    at = random.randrange(len(lines))
    taken = lines[at : at + random.choice([1, 1, 2, 8])]
    if random.random() < 0.5:
        del lines[at : at + len(taken)]
    to = random.randrange(len(lines) + 1)
    shift = random.choice([0, 0, 2, -2, 4])
    moved = [b" " * shift + line if shift >= 0 else line[-shift:] for line in taken]
    return b"\n".join([*lines[:to], *moved, *lines[to:]])


def _numbers(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    found = list(_NUMBER.finditer(data))
    if not found:
        return data
    one = random.choice(found)
    return data[: one.start()] + random.choice(_NUMBERS) + data[one.end() :]


def _from_another(data: bytes, others: tuple[bytes, ...], random: Random) -> bytes:
    other = random.choice(others)
    start, end = _stretch(other, random)
    at = random.randrange(len(data) + 1)
    return data[:at] + other[start:end] + data[at:]


def _stretch(data: bytes, random: Random) -> tuple[int, int]:
    start = random.randrange(len(data) + 1)
    return start, min(len(data), start + random.choice([0, 1, 1, 3, 20, 200, 2000]))


_WAYS = (_cut, _end, _odd, _odd, _flip, _again, _lines, _lines, _numbers, _from_another)
