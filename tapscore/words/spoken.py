"""Numbers, times, signs and abbreviations as the words that are said for them.

Numbers are spelt by the library num2words (British: *one hundred and five*).
"""

import re
import unicodedata
from functools import lru_cache

_ABBREVIATIONS = {
    "mr": "mister",
    "mrs": "missis",
    "ms": "miz",
    "dr": "doctor",
    "st": "saint",
    "etc": "etcetera",
    "vs": "versus",
    "approx": "approximately",
    "cm": "centimetres",
    "mm": "millimetres",
    "km": "kilometres",
    "kg": "kilograms",
    "ft": "feet",
    "xmas": "christmas",
}
_SIGNS = {
    "&": "and",
    "+": "plus",
    "=": "equals",
    "@": "at",
    "%": "per cent",
    "×": "times",
    "÷": "divided by",
    "°": "degrees",
    "№": "number",
}
_MONEY = {
    "£": ("pound", "pounds", "pence"),
    "$": ("dollar", "dollars", "cents"),
    "€": ("euro", "euros", "cents"),
}
_TIME = re.compile(r"(\d{1,2})[:.](\d{2})(am|pm)?\Z", re.IGNORECASE)
_HOUR = re.compile(r"(\d{1,2})(am|pm)\Z", re.IGNORECASE)
_BELOW_ZERO = re.compile(r"[-\u2212](?=[£$€]?\d)")
_DECADE = re.compile(r"(\d{1,3}0)['’]?s\Z")
_FRACTION = re.compile(r"(?:(\d+) *)?(?<!\d)(\d{1,2})[/\u2044](\d{1,2})\Z")
_RANGE = re.compile(r"([£$€]?\d[\d,.:]*)\u2013([£$€]?\d[\d,.:]*)\Z")
_PARTS = {2: "half", 3: "third", 4: "quarter", 5: "fifth", 6: "sixth", 8: "eighth", 10: "tenth"}
_ROMAN = re.compile(r"(?=X*[IV])(X{0,3})(IX|IV|V?I{0,3})\Z")
_ROMAN_UNITS = ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX")
_REIGNED = frozenset(
    (
        *("alexander", "charles", "edward", "elizabeth", "francis", "george", "henry", "james"),
        *("john", "louis", "mary", "paul", "peter", "philip", "richard", "robert", "william"),
    )
)
"""Names of kings, queens and popes, whose number is said as *the eighth*."""
_NUMBERED = {"no": "number", "nos": "numbers"}
_NOT_NUMBERED = frozenset(("ah", "no", "oh", "ooh"))
"""After these *no.* is the word (*Oh no. 3 are gone*)."""
_ORDINAL = re.compile(r"(\d{1,9})(st|nd|rd|th)\Z", re.IGNORECASE)
_NUMBER = re.compile(r"(\d{1,3}(?:,\d{3})+|\d+)(?:\.(\d+))?\Z")
_PIECES = re.compile(
    r"[£$€]\d+(?:[,.]\d+)*|\d+(?:[,.:]\d+)*(?:(?:st|nd|rd|th)(?![a-z]))?|[^\W\d_]+|[^\w\s]",
    re.IGNORECASE,
)
_LONGEST = 12


def needs_words(token: str) -> bool:
    """Whether a token may be said otherwise than written: figures, signs, shortened words."""
    if token.isalpha():
        small = token.lower()
        return small in _ABBREVIATIONS or small in _NUMBERED or _roman(token) is not None
    return any(letter.isnumeric() or letter in _SIGNS or letter in _MONEY for letter in token)


@lru_cache(maxsize=2048)
def spoken_words(token: str, before: str = "", after: str = "") -> tuple[str, ...]:
    """The words said for a token without spaces: ``3rd`` is *third*.

    ``before`` is the token it follows with nothing but a space between (``at`` before ``10.30``,
    ``Henry`` before ``VIII``), ``after`` what a full stop alone parts from it (``3`` after
    ``No.``).  A token of plain letters is itself; signs without a sound give nothing.
    """
    if token.isalpha() and token.isascii():
        return _said_letters(token, before, after)
    clock = _TIME.match(token)
    if clock and before.lower() == "at" and int(clock[1]) < 13 and int(clock[2]) < 60:
        return tuple(_time(int(clock[1]), clock[2], clock[3]).split())
    said = _spoken(token)
    if before.isdecimal() and _FRACTION.match(_parted(token)):  # 1 1/2
        said = _spoken(f"{before} {token}").removeprefix(_number(before))
    return tuple(said.replace("-", " ").replace(",", " ").split())


def _said_letters(token: str, before: str, after: str) -> tuple[str, ...]:
    small = token.lower()
    if small in _NUMBERED:
        number = (after[:1].isdecimal() or _roman(after)) and before.lower() not in _NOT_NUMBERED
        return (_NUMBERED[small],) if number else (token,)
    roman = _roman(token)
    if roman is not None:
        reigned = before.lower() in _REIGNED
        said = f"the {_ordinal(roman)}" if reigned else _number(str(roman))
        return tuple(said.replace("-", " ").split())
    return tuple(_ABBREVIATIONS.get(small, token).split())


def _roman(token: str) -> int | None:
    """A number in Roman figures, from II to XXXIX; X alone, twice or thrice are kisses."""
    found = _ROMAN.match(token) if len(token) > 1 else None
    return 10 * len(found[1]) + _ROMAN_UNITS.index(found[2]) if found else None


def _spoken(token: str) -> str:
    if token.isdigit() and not token.isascii():
        token = "".join(str(_digit(letter)) for letter in token)
    if _BELOW_ZERO.match(token):
        return f"minus {_spoken(token[1:])}"
    clock = _TIME.match(token)
    if clock and (":" in token or clock[3]) and int(clock[1]) < 25 and int(clock[2]) < 60:
        return _time(int(clock[1]), clock[2], clock[3])
    hour = _HOUR.match(token)
    if hour:
        return _time(int(hour[1]), "", hour[2])
    ordinal = _ORDINAL.match(token)
    if ordinal:
        return _ordinal(int(ordinal[1]))
    decade = _DECADE.match(token)
    if decade:
        return _decade(decade[1])
    fraction = _FRACTION.match(_parted(token))
    if fraction and int(fraction[3]) in _PARTS and int(fraction[2]) < int(fraction[3]):
        return _fraction(fraction[1], int(fraction[2]), int(fraction[3]))
    between = _RANGE.match(token)
    if between:
        return f"{_spoken(between[1])} to {_spoken(between[2])}"
    if token[0] in _MONEY and len(token) > 1:
        return _money(token[0], token[1:])
    if _NUMBER.match(token):
        return _number(token)
    return " ".join(_piece(piece) for piece in _PIECES.findall(_parted(token)))


def _parted(token: str) -> str:
    """The token with ``½`` as ``1⁄2``, parted from the figures before it."""
    return "".join(
        f" {unicodedata.normalize('NFKC', letter)}"
        if unicodedata.decomposition(letter).startswith("<fraction>")
        else letter
        for letter in token
    ).strip()


def _fraction(whole: str | None, parts: int, of: int) -> str:
    one = _PARTS[of]
    if parts > 1:
        said = f"{_number(str(parts))} {one}s"
    else:  # “½ a cake” is half of it
        said = "half" if of == 2 and not whole else f"a {one}"
    return f"{_number(whole)} and {said}" if whole else said


def _decade(years: str) -> str:
    said = _number(years)
    if said.endswith("y"):
        return f"{said[:-1]}ies"
    return f"{said.removeprefix('one ')}s"


def _digit(letter: str) -> int:
    return unicodedata.digit(letter, 0)


def _piece(piece: str) -> str:
    if piece in _SIGNS:
        return _SIGNS[piece]
    if piece[0] in _MONEY and len(piece) > 1:
        return _money(piece[0], piece[1:])
    if piece[0].isdecimal():
        return _spoken(piece) if _NUMBER.match(piece) or _ORDINAL.match(piece) else _digits(piece)
    letters = "".join(letter for letter in piece if letter.isalpha())
    return _ABBREVIATIONS.get(letters.lower(), letters)


def _number(token: str) -> str:
    from num2words import num2words  # type: ignore[import-untyped]

    match = _NUMBER.match(token)
    if match is None:
        return token
    digits = match[1].replace(",", "")
    if len(digits) > _LONGEST or (digits[0] == "0" and len(digits) > 1):
        whole = _digits(digits)
    elif len(digits) == 4 and "," not in token and not match[2] and 1100 <= int(digits) < 2100:
        whole = str(num2words(int(digits), lang="en_GB", to="year"))
    else:
        whole = str(num2words(int(digits), lang="en_GB"))
    return f"{whole} point {_digits(match[2])}" if match[2] else whole


def _digits(digits: str) -> str:
    from num2words import num2words

    return " ".join(
        "oh" if letter == "0" else str(num2words(int(letter), lang="en_GB"))
        for letter in digits
        if letter.isdecimal()
    )


def _ordinal(number: int) -> str:
    from num2words import num2words

    return str(num2words(number, lang="en_GB", to="ordinal"))


def _time(hour: int, minutes: str, half: str | None) -> str:
    # the letter's name: “a” alone would be the article
    tail = f" {half[0].lower().replace('a', 'ay')} m" if half else ""
    if minutes in ("", "00"):
        return _number(str(hour)) + (tail or " o'clock")
    spoken = f"oh {_number(minutes[1])}" if minutes[0] == "0" else _number(minutes)
    return f"{_number(str(hour))} {spoken}{tail}"


def _money(sign: str, amount: str) -> str:
    one, many, small = _MONEY[sign]
    match = _NUMBER.match(amount)
    if match is None:
        return " ".join(_piece(piece) for piece in _PIECES.findall(amount))
    whole, pence = match[1], match[2]
    if whole == "0" and pence and pence.strip("0"):
        return f"{_number(str(int(pence)))} {small}"
    said = f"{_number(whole)} {one if whole == '1' else many}"
    return f"{said} {_number(pence)}" if pence and pence.strip("0") else said
