"""Unknown words from known ones: ``splashes``, ``moonboat``, ``unbutton``, ``colour``."""

import re
from collections.abc import Callable, Iterator

from tapscore.words.split import VOWELS, cut_window

Shape = tuple[tuple[int, int], ...]
"""Letters and stress of every syllable."""

Find = Callable[[str], Shape | None]

_OWN = {
    "ing": 1,
    "ings": 1,
    "er": 1,
    "ers": 1,
    "est": 1,
    "ish": 1,
    "y": 1,
    "ier": 2,
    "iest": 2,
    "ies": 1,
    "ied": 1,
    "ily": 2,
    "iness": 2,
    "ly": 1,
    "ness": 1,
    "less": 1,
    "ful": 1,
    "able": 2,
    "ment": 1,
    "ments": 1,
    "like": 1,
    "ship": 1,
    "hood": 1,
    "some": 1,
    "wards": 1,
    "ward": 1,
    "ism": 2,
    "ist": 1,
    "ists": 1,
    "kins": 1,
    "kin": 1,
}
_FOR_Y = ("ier", "iest", "ily", "iness")
"""The i of these is the stem's y, which keeps its syllable: sil-li-er."""
_HISS = ("s", "x", "z", "ch", "sh", "ce", "ge", "se", "ze", "che", "she")
_ACHE = re.compile(r"(?<![cn])(?<!st)ache\Z")
_WEAK_LE = re.compile(r"[^aeiouylrw]le\Z")
_NOT_FIRST = frozenset(("con", "dis", "mis", "non", "per", "pre", "pro", "res", "ret", "trans"))
"""Beginnings that look like the first half of ``rain-coat`` and are not: ``re-train``."""

_PREFIXES = {"un": (2, 0), "dis": (3, 0), "mc": (2, 0)}
_HEAD_WORDS = (
    "ache back bag ball band bank basket beam bed bell bird board boat body bone book boot "
    "bow box boy bread bridge brush bucket bug cake cap car cart case cat chair cloth coat "
    "cup day dish dog door dress drop drum dust eye face field fire fish flake flower foot "
    "friend game garden gate girl glass glow grass guard hair hat head hill hole home hook "
    "horse house jump keeper lamp land leaf light line load made maker mark moon mouse "
    "mouth music nest night nose nut paint paper park path piece pipe place plant plate "
    "play pond pool pot rain road rock room root rope sand seed shell shine ship shirt shoe "
    "shop shore side sky snow song sound spoon spot stick stone storm story string sun "
    "table tail tale thing time tooth top town toy track train tree tune walk wall wash "
    "water wave way weed well wheel wind window wing wolf wood wool work world worm yard "
)
_HEADS = frozenset(_HEAD_WORDS.split())
_BRITISH = (
    ("our", "or"),
    ("tre", "ter"),
    ("bre", "ber"),
    ("ise", "ize"),
    ("isi", "izi"),
    ("isa", "iza"),
    ("yse", "yze"),
    ("ogue", "og"),
    ("ll", "l"),
    ("pp", "p"),
    ("ae", "e"),
    ("oe", "e"),
    ("ence", "ense"),
    ("cy", "sy"),
    ("mould", "mold"),
    ("plough", "plow"),
    ("grey", "gray"),
    ("tyre", "tire"),
    ("yjama", "ajama"),
    ("ph", "f"),
)


def derive(word: str, find: Find) -> Shape | None:
    """Shape of a word (small letters a-z) that ``find`` knows parts of, or None."""
    for way in (_inflected, _compound, _prefixed):
        shape = way(word, find)
        if shape and _can_be_said(word, shape):
            return shape
    return None


def _can_be_said(word: str, shape: Shape) -> bool:
    """Not so where the stem was letters spelt out: ``viper`` is no V-I-P with an ending."""
    at = 0
    for letters, _stress in shape:
        at += letters
        carried = word[at - 1] in VOWELS or word[:at].endswith(("sm", "thm"))
        if letters == 0 or (letters == 1 and not carried):
            return False
    return True


def british_twins(word: str) -> Iterator[str]:
    """American spellings that a British one may stand for: ``favourite``, ``theatre``."""
    for british, american in _BRITISH:
        at = word.find(british, 1)
        if at > 0 and (len(word) > 5 or american != "e"):
            yield word[:at] + american + word[at + len(british) :]


def _stems(word: str, ending: str) -> Iterator[str]:
    stem = word[: -len(ending)]
    if len(stem) < 3:
        return
    if ending[0] == "i" and ending not in ("ing", "ings", "ish", "ism", "ist", "ists"):
        yield stem + "y"
        return
    vowel = ending[0] in VOWELS
    if vowel and stem[-1] == stem[-2] and stem[-1] not in "aeiou":
        yield stem[:-1]
    if not (stem[-1] == "e" == ending[0]):
        yield stem
    if vowel:
        yield stem + "e"


def _inflected(word: str, find: Find) -> Shape | None:
    if len(word) < 4:
        return None
    return _plural(word, find) or _past(word, find) or _ended(word, find)


def _plural(word: str, find: Find) -> Shape | None:
    if word.endswith("s") and not word.endswith("ss"):
        shorter = word[:-2] if word.endswith(("ses", "xes", "zes", "hes", "oes")) else ""
        for stem in (word[:-1], shorter):
            shape = find(stem) if len(stem) > 2 else None
            if shape:
                return _with_s(stem, shape, word)
    return None


def _past(word: str, find: Find) -> Shape | None:
    for stem in _stems(word, "ed") if word.endswith("ed") else ():
        shape = find(stem)
        if shape:
            return _with_ed(stem, shape, word)
    return None


def _ended(word: str, find: Find) -> Shape | None:
    weak = word[:-1] + "e"
    shape = find(weak) if _WEAK_LE.search(weak) and word.endswith("ly") else None
    if shape:
        return _merged_le(shape, word)
    for size in (1, 2, 3, 4, 5):
        ending = word[-size:]
        if ending == "y" and (word.endswith(("ly", "ny", "ry", "ity")) or word[-2] in VOWELS):
            continue
        for stem in _stems(word, ending) if ending in _OWN else ():
            shape = find(stem)
            if shape:
                return _with_ending(shape, word, stem, ending, _OWN[ending])
    return None


def _with_s(stem: str, shape: Shape, word: str) -> Shape:
    if stem.endswith(_HISS) and not _ACHE.search(stem):
        return _recut(shape, word, len(word) - 2, 1)
    return _stretched(shape, word)


def _with_ed(stem: str, shape: Shape, word: str) -> Shape:
    if stem.removesuffix("e").endswith(("t", "d")):
        return _recut(shape, word, len(word) - 2, 1)
    return _stretched(shape, word)


def _stretched(shape: Shape, word: str) -> Shape:
    """The last syllable takes all letters that are left."""
    *before, (_letters, stress) = shape
    taken = sum(letters for letters, _ in before)
    return (*before, (len(word) - taken, stress))


def _recut(shape: Shape, word: str, nucleus: int, more: int) -> Shape:
    """One syllable more, carried by the letter ``nucleus``; its cut is made anew."""
    *before, (_letters, stress) = shape
    start = sum(letters for letters, _ in before)
    left = next(
        (at for at in range(start, nucleus) if word[at] in VOWELS),
        start,
    )
    at = cut_window(word, left, nucleus)
    shape = (*before, (at - start, stress), (len(word) - at, 0))
    if more == 2:
        shape = _recut((*shape[:-1], (0, 0)), word, _second_nucleus(word, nucleus), 1)
    return shape


def _second_nucleus(word: str, nucleus: int) -> int:
    following = [at for at in range(nucleus + 1, len(word)) if word[at] in VOWELS]
    return following[0] if following else len(word) - 1


def _with_ending(shape: Shape, word: str, stem: str, ending: str, more: int) -> Shape:
    start = len(word) - len(ending)
    if _WEAK_LE.search(stem) and ending in ("ing", "ings", "er", "ers", "y", "est"):
        return _merged_le(shape, word)
    if ending in ("ies", "ied"):
        return _stretched(shape, word)
    if ending in _FOR_Y:
        return (*shape, (len(ending) - 1, 0))
    if ending[0] in VOWELS or ending[0] == "y":
        if ending[0] == "i" and stem.endswith("y"):
            return _after_y(shape, word, start, more)
        return _recut(shape, word, start, more)
    before = _stretched(shape, word[:start])
    if more == 2:
        return (*before, (len(ending) - 3, 0), (3, 0))
    return (*before, (len(ending), 2 if ending == "like" else 0))


def _merged_le(shape: Shape, word: str) -> Shape:
    """``tickle`` + ing is tick-ling: the weak vowel of -le gives way."""
    *before, (_letters, _stress) = shape
    start = sum(letters for letters, _ in before)
    if not before:
        return _stretched(shape, word)
    return (*before, (len(word) - start, 0))


def _after_y(shape: Shape, word: str, start: int, more: int) -> Shape:
    """``baby`` + ish, ``crony`` + ism: the y keeps its syllable."""
    before = _stretched(shape, word[:start])
    if more == 2:
        return (*before, (len(word) - start - 1, 0), (1, 0))
    return (*before, (len(word) - start, 0))


def _compound(word: str, find: Find) -> Shape | None:
    for at in range(3, len(word) - 2):
        head = word[at:]
        if word[:at] in _NOT_FIRST:
            continue
        if head in _HEADS or (head[-1] == "s" and head[:-1] in _HEADS):
            first, second = find(word[:at]), find(head)
            if first and second:
                return (*first, *((letters, 2 if stress else 0) for letters, stress in second))
    return None


def _prefixed(word: str, find: Find) -> Shape | None:
    for prefix, (size, stress) in _PREFIXES.items():
        if word.startswith(prefix) and len(word) - size > 3:
            rest = find(word[size:])
            if rest:
                return ((size, stress), *rest)
    return None
