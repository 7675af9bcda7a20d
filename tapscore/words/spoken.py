"""Numbers, times, signs and abbreviations as the words that are said for them.

Numbers are spelt by the library num2words (British: *one hundred and five*).
"""

import re
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
    "½": "a half",
    "¼": "a quarter",
    "¾": "three quarters",
    "°": "degrees",
    "№": "number",
}
_MONEY = {
    "£": ("pound", "pounds", "pence"),
    "$": ("dollar", "dollars", "cents"),
    "€": ("euro", "euros", "cents"),
}
_TIME = re.compile(r"(\d{1,2})[:.](\d{2})(am|pm)?\Z", re.IGNORECASE)
_ORDINAL = re.compile(r"(\d{1,9})(st|nd|rd|th)\Z", re.IGNORECASE)
_NUMBER = re.compile(r"(\d{1,3}(?:,\d{3})+|\d+)(?:\.(\d+))?\Z")
_PIECES = re.compile(
    r"\d+(?:[,.:]\d+)*(?:(?:st|nd|rd|th)(?![a-z]))?|[^\W\d_]+|[^\w\s]", re.IGNORECASE
)
_FRACTIONS = "½¼¾"
_LONGEST = 12


def needs_words(token: str) -> bool:
    """Whether a token has digits or signs that are said as words, or is shortened."""
    if token.isalpha():
        return token.lower() in _ABBREVIATIONS
    return any(letter.isnumeric() or letter in _SIGNS or letter in _MONEY for letter in token)


@lru_cache(maxsize=2048)
def spoken_words(token: str) -> tuple[str, ...]:
    """The words said for a token without spaces: ``3rd`` is *third*.

    A token of plain letters is itself; signs without a sound give nothing.
    """
    if token.isalpha():
        return tuple(_ABBREVIATIONS.get(token.lower(), token).split())
    return tuple(_spoken(token).replace("-", " ").replace(",", " ").split())


def _spoken(token: str) -> str:
    if token.isdigit() and not token.isascii():
        token = "".join(str(_digit(letter)) for letter in token)
    clock = _TIME.match(token)
    if clock and (":" in token or clock[3]) and int(clock[1]) < 25 and int(clock[2]) < 60:
        return _time(int(clock[1]), clock[2], clock[3])
    ordinal = _ORDINAL.match(token)
    if ordinal:
        return _ordinal(int(ordinal[1]))
    if token[0] in _MONEY and len(token) > 1:
        return _money(token[0], token[1:])
    if _NUMBER.match(token):
        return _number(token)
    return _pieces(token)


def _pieces(token: str) -> str:
    said: list[str] = []
    before = ""
    for piece in _PIECES.findall(token):
        if piece in _FRACTIONS and before.isdecimal():
            said.append("and")
        said.append(_piece(piece))
        before = piece
    return " ".join(said)


def _digit(letter: str) -> int:
    import unicodedata

    return unicodedata.digit(letter, 0)


def _piece(piece: str) -> str:
    if piece in _SIGNS:
        return _SIGNS[piece]
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
    tail = f" {' '.join(half.lower())}" if half else ""
    if minutes == "00":
        return _number(str(hour)) + (tail or " o'clock")
    spoken = f"oh {_number(minutes[1])}" if minutes[0] == "0" else _number(minutes)
    return f"{_number(str(hour))} {spoken}{tail}"


def _money(sign: str, amount: str) -> str:
    one, many, small = _MONEY[sign]
    match = _NUMBER.match(amount)
    if match is None:
        return _pieces(amount)
    whole, pence = match[1], match[2]
    if whole == "0" and pence and pence.strip("0"):
        return f"{_number(pence)} {small}"
    said = f"{_number(whole)} {one if whole == '1' else many}"
    return f"{said} {_number(pence)}" if pence and pence.strip("0") else said
