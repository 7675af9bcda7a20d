"""Files built to be strange: right in their grammar, wrong in what they say.

``damage`` breaks bytes; here trees, chunks and events are put together anew, so that a reader
gets past the first check: keys twice, texts where lists belong, numbers of any size, letters of
any kind, zips that lie about what they hold, MIDI events out of order, WAV and PNG heads
that promise what does not follow.  After APPNOTE (zip), the Standard MIDI File
specification, RIFF and the PNG specification.
"""

import io
import json
import struct
import warnings
import zipfile
import zlib
from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

import yaml

Tree = Any
Build = Callable[[tuple[bytes, ...], Random], bytes]

STRANGE = (
    *("", " ", "yes", "no", "null", "~", "1:30", "0x1F", "1e400", "-0", ".inf", ".nan", "٣", "½"),
    *("9" * 400, "-" + "9" * 30, "0." + "0" * 300 + "1", "1/0", "54 to", "to 54", "54 to 54 to 54"),
    *("\u202e", "\u2028", "\ufeff", "\u0000", "\ud7ff", "\U0010ffff", "e" + "\u0301" * 300),
    *(
        "👩‍👩‍👧‍👦" * 40,
        "שלום عالم",
        "a\tb",
        "a\nb: c",
        "# no",
        "- no",
        "'",
        '"',
        "&a",
        "*a",
        "!!x",
        "%Y",
    ),
    *("CON", "../../x", "a" * 25_000, "-" * 300, "| X |", "| " + "X " * 3_000 + "|", "X(" * 200),
    *(
        "| X(loud, loud, spot, everyone) |",
        "{",
        "[",
        "]",
        "`",
        "@",
        "<script>",
        "%s%n",
        "\\",
        "$HOME",
    ),
)


def tree_of(data: bytes) -> Tree:
    """A YAML file as lists of pairs, lists and text, nothing guessed at."""
    return _plain(yaml.compose(data.decode("utf-8"), Loader=yaml.SafeLoader))


def _plain(node: Any) -> Tree:
    if isinstance(node, yaml.MappingNode):
        return {"pairs": [[_plain(key), _plain(value)] for key, value in node.value]}
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item) for item in node.value]
    return "" if node is None else node.value


def _strange_tree(tree: Tree, others: list[Tree], random: Random) -> Tree:
    """A tree changed in a few places."""
    for _ in range(random.choice([1, 1, 2, 3, 6])):
        places = list(_places(tree))
        at, key = random.choice(places)
        way = random.randrange(9)
        value = at[key]
        if way == 0:
            at[key] = random.choice(STRANGE)
        elif way == 1:
            at[key] = deepcopy(random.choice(others))  # another type than belongs there
        elif way == 2:
            at[key] = _deep(value, random.choice([3, 30, 120]), random)
        elif way == 3:
            at[key] = [deepcopy(value) for _ in range(random.choice([0, 2, 40]))]
        elif way == 4:
            at[key] = str(random.choice([0, -1, 1, 10**9, 10**30, 0.1, 1e-9, 1e308]))
        elif way == 5 and isinstance(value, dict):
            value["pairs"] += deepcopy(value["pairs"][:2])  # keys twice
        elif way == 6 and isinstance(value, list):
            random.shuffle(value)
        elif way == 7 and isinstance(value, dict):
            value["pairs"].append([random.choice(STRANGE), random.choice(STRANGE)])
        elif isinstance(value, str):
            cut = random.randrange(len(value) + 1)
            at[key] = value[:cut] + random.choice(STRANGE) + value[cut:]
    return tree


def _deep(value: Tree, times: int, random: Random) -> Tree:
    for _ in range(times):
        value = [value] if random.random() < 0.5 else {"pairs": [["a", value]]}
    return value


def _places(tree: Tree) -> Any:
    children = tree["pairs"] if isinstance(tree, dict) else tree if isinstance(tree, list) else []
    if isinstance(tree, dict):
        for pair in children:
            yield pair, 0
            yield pair, 1
            yield from _places(pair[1])
    else:
        for number, child in enumerate(children):
            yield children, number
            yield from _places(child)


def _yaml_text(tree: Tree, random: Random, depth: int = 0) -> str:
    """The text of a tree, in any of YAML's ways, right or nearly right."""
    pad = "  " * min(depth, 60)
    flow = (depth > 3 and random.random() < 0.5) or depth > 50
    if isinstance(tree, dict):
        pairs = [(_scalar(key, random), value) for key, value in tree["pairs"]]
        if flow or not pairs:
            inside = ", ".join(f"{k}: {_yaml_text(v, random, depth + 60)}" for k, v in pairs)
            return f"{{{inside}}}"
        return "".join(f"\n{pad}{k}: {_yaml_text(v, random, depth + 1)}" for k, v in pairs)
    if isinstance(tree, list):
        items = [_yaml_text(item, random, depth + (60 if flow else 1)) for item in tree]
        if flow or not items:
            return f"[{', '.join(items)}]"
        return "".join(f"\n{pad}- {item.lstrip(chr(10)).lstrip(' ')}" for item in items)
    return _scalar(tree, random)


def _scalar(value: Tree, random: Random) -> str:
    if not isinstance(value, str):
        return "? "
    way = random.randrange(12)
    if way == 0:
        return json.dumps(value)
    if way == 1:
        return json.dumps(value, ensure_ascii=False)
    if way == 2:
        return "'" + value.replace("'", "''") + "'"
    if way == 3:
        return random.choice(["&a ", "!!str ", "*a ", "!t "]) + value
    return value


def story(whole: tuple[bytes, ...], random: Random) -> bytes:
    """A story file built anew."""
    trees = [tree_of(data) for data in whole[:3]]
    parts = [value for tree in trees for _, value in tree["pairs"]]
    try:
        text = _yaml_text(_strange_tree(random.choice(trees), parts, random), random)
    except RecursionError:  # deeper than we can write ourselves
        text = "title: " + "[" * 2_000
    if random.random() < 0.1:
        text = text.replace("\n", random.choice(["\r\n", "\r", "\n\n", "\n# c\n", "\n\t"]))
    return text.lstrip("\n").encode("utf-8", "surrogatepass") + b"\n"


def record(whole: tuple[bytes, ...], random: Random) -> bytes:
    """A JSON file of ours with other things in it."""

    def strange(value: Any, depth: int) -> Any:
        if random.random() < 0.25 or depth > 4:
            return random.choice(
                [
                    *(None, True, 0, -1, 10**400, 1e308, float("nan"), float("inf"), [], {}, [[]]),
                    *STRANGE[:40],
                ]
            )
        if isinstance(value, dict):
            made = {key: strange(each, depth + 1) for key, each in value.items()}
            return made | ({random.choice(STRANGE[:60]): 1} if random.random() < 0.3 else {})
        if isinstance(value, list):
            return [strange(each, depth + 1) for each in value] * random.choice([1, 1, 3, 300])
        return value

    text = json.dumps(strange(json.loads(random.choice(whole)), 0))
    if random.random() < 0.1:
        text = "[" * 5_000 + text
    return text.encode("utf-8", "surrogatepass")


def zipped(whole: tuple[bytes, ...], random: Random) -> bytes:
    """A zip with the same parts, told otherwise: twice, elsewhere, swollen, locked, without end."""
    with zipfile.ZipFile(io.BytesIO(random.choice(whole))) as archive:
        parts = [(info.filename, archive.read(info)) for info in archive.infolist()]
    for _ in range(random.choice([1, 2, 3])):
        at = random.randrange(len(parts))
        name, data = parts[at]
        way = random.randrange(8)
        if way == 0:
            del parts[at : at + (1 if len(parts) > 1 else 0)]
        elif way == 1:
            parts.append((name, data[: len(data) // 2]))
        elif way == 2:
            parts[at] = (random.choice(["../", "/", "a/", "\\"]) + name, data)
        elif way == 3:
            parts[at] = (name, data[:400_000] * random.choice([2, 50]))
        elif way == 4:
            parts[at] = (name, b"\0" * 20_000_000)
        elif way == 5:
            parts[at] = (name, b"<a>" * 20_000 + data)
        elif way == 6:
            parts += [(f"{name}{number}", b"x") for number in range(500)]
        else:
            parts[at] = (name, data.replace(b"w:", random.choice([b"x:", b"", b"w:w"]), 20))
    made = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(made, "w") as archive:
        warnings.simplefilter("ignore")  # of names that stand twice
        for name, data in parts:
            archive.writestr(zipfile.ZipInfo(name), data, random.choice([0, 8, 8, 12, 14]))
    packed = bytearray(made.getvalue())
    for _ in range(random.choice([0, 0, 1, 2])):  # a head that lies: sizes, methods, flags
        mark = random.choice([b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"])
        at = packed.find(mark)
        if at >= 0:
            at += random.randrange(4, 22)
            packed[at : at + 1] = bytes([random.choice([0, 1, 8, 99, 255])])
    return bytes(packed)


def midi(whole: tuple[bytes, ...], random: Random) -> bytes:
    """A Standard MIDI File of any events in any order."""
    tracks = b""
    count = random.choice([0, 1, 1, 2, 20])
    for _ in range(count):
        events = b""
        for _ in range(random.choice([0, 3, 40, 3000])):
            events += _length(random.choice([0, 1, 96, 2**14, 2**28 - 1])) + _event(random)
        if random.random() < 0.8:
            events += b"\x00\xff\x2f\x00"
        size = len(events) if random.random() < 0.9 else random.choice([0, 5, 2**32 - 1])
        tracks += b"MTrk" + struct.pack(">I", size) + events
    told = random.choice([count, count, 0, 65_535])
    division = random.choice([480, 480, 1, 0, 32_767, 0xE728, 0x8000, 0xFFFF])
    head = struct.pack(">HHH", random.choice([0, 1, 1, 2, 9]), told, division)
    return b"MThd" + struct.pack(">I", random.choice([6, 6, 6, 5, 40])) + head + tracks


def _event(random: Random) -> bytes:
    any_bytes = bytes(random.randrange(256) for _ in range(random.choice([0, 1, 4, 40])))
    kinds = (
        bytes([0x90 + random.randrange(16), random.randrange(128), random.randrange(128)]),
        bytes([random.randrange(128), random.randrange(128)]),  # running status, or none to run
        bytes([0xFF, 0x51, 3]) + random.choice([b"\0\0\0", b"\xff\xff\xff", b"\x07\xa1\x20"]),
        bytes([0xFF, 0x58, 4, random.randrange(256), random.randrange(256), 0, 0]),
        bytes([0xFF, 0x59, 2, random.randrange(256), random.randrange(256)]),
        bytes([0xFF, random.randrange(128)]) + _length(len(any_bytes)) + any_bytes,
        bytes([0xFF, random.randrange(128)]) + _length(2**20),
        b"\xf0" + _length(len(any_bytes)) + any_bytes,
        bytes([random.randrange(0xF0, 0x100)]),
    )
    return random.choice(kinds)


def _length(value: int) -> bytes:
    found = [value & 0x7F]
    while value := value >> 7:
        found.insert(0, 0x80 | (value & 0x7F))
    return bytes(found)


def wav(whole: tuple[bytes, ...], random: Random) -> bytes:
    """A WAV whose head may promise anything."""
    kind = random.choice([1, 1, 3, 2, 6, 7, 0x55, 0xFFFE, 0])
    channels = random.choice([0, 1, 2, 8, 65_535])
    rate_hz = random.choice([0, 1, 8_000, 48_000, 192_000, 2**32 - 1])
    bits = random.choice([0, 1, 8, 16, 24, 32, 64, 65_535])
    block = random.choice([channels * bits // 8 % 65_536, 0, 1])
    body = struct.pack("<HHIIHH", kind, channels, rate_hz, random.choice([0, 96_000]), block, bits)
    if kind == 0xFFFE:
        body += struct.pack("<HHI", 22, bits, 3) + bytes(16)
    sound = random.choice(
        [
            *(b"", b"\0" * 40_000, bytes(random.randrange(256) for _ in range(8_000))),
            struct.pack("<f", float("nan")) * 4_000,
            struct.pack("<f", float("inf")) * 4_000,
            struct.pack("<f", 3e38) * 4_000,
        ]
    )
    chunks = [b"fmt " + struct.pack("<I", len(body)) + body]
    chunks.append(b"data" + struct.pack("<I", random.choice([len(sound), 2**32 - 1, 0])) + sound)
    if random.random() < 0.4:
        chunks.insert(
            random.randrange(3), b"LIST" + struct.pack("<I", random.choice([4, 10**9])) + b"INFO"
        )
    if random.random() < 0.2:
        random.shuffle(chunks)
    return (
        random.choice([b"RIFF", b"RIFF", b"RF64", b"RIFX"])
        + struct.pack("<I", random.choice([4 + sum(map(len, chunks)), 0, 2**32 - 1]))
        + b"WAVE"
        + b"".join(chunks)
    )


def png(whole: tuple[bytes, ...], random: Random) -> bytes:
    """A PNG whose head may promise anything, its checksums right."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    sizes = [0, 1, 16, 200, 9_999, 60_000, 2**31 - 1]
    wide, high = random.choice(sizes), random.choice(sizes)
    head = struct.pack(
        ">IIBBBBB",
        *(wide, high, random.choice([1, 2, 4, 8, 16, 3]), random.choice([0, 2, 3, 4, 6, 7])),
        *(0, 0, random.choice([0, 1, 7])),
    )
    row = b"\0" + bytes(random.randrange(256) for _ in range(min(wide, 200) * 4))
    chunks = [
        chunk(b"IHDR", head),
        chunk(b"IDAT", zlib.compress(row * min(high, 200))),
        chunk(b"IEND", b""),
    ]
    odd = (
        chunk(b"PLTE", bytes(random.choice([0, 3, 5, 768, 9_999]))),
        chunk(b"tEXt", b"a\0" + b"b" * 100_000),
        chunk(b"zTXt", b"a\0\0" + zlib.compress(b"\0" * 30_000_000)),
        chunk(b"iCCP", b"a\0\0" + zlib.compress(b"\0" * 1000)),
        chunk(b"eXIf", b"II*\0" + bytes(random.randrange(256) for _ in range(60))),
        chunk(b"acTL", struct.pack(">II", 2**31 - 1, 0)),
        chunk(b"tRNS", bytes(random.choice([0, 1, 300]))),
    )
    for extra in random.sample(odd, random.choice([0, 1, 3])):
        chunks.insert(random.randrange(1, 3), extra)
    if random.random() < 0.2:
        del chunks[random.randrange(3)]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


BUILT: dict[str, Build] = {
    **{"story": story, "export": story, "docx": zipped, "midi": midi, "recording": wav},
    **{"board cache": zipped, "speech cache": zipped, "settings": record, "kept work": record},
    **{"made files": record, "picture": png},
}
"""By the kind of file (``kinds``); the others are too plain to have a grammar."""
