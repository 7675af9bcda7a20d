"""Tags of languages, as BCP 47 (RFC 5646) and the register of subtags have them."""

from functools import lru_cache

LONGEST_TAG = 35
_TWO_LETTERS = (
    "aa ab ae af ak am an ar as av ay az ba be bg bh bi bm bn bo br bs ca ce ch co cr cs cu cv cy "
    "da de dv dz ee el en eo es et eu fa ff fi fj fo fr fy ga gd gl gn gu gv ha he hi ho hr ht hu "
    "hy hz ia id ie ig ii ik in io is it iu iw ja ji jv jw ka kg ki kj kk kl km kn ko kr ks ku kv "
    "kw ky la lb lg li ln lo lt lu lv mg mh mi mk ml mn mo mr ms mt my na nb nd ne ng nl nn no nr "
    "nv ny oc oj om or os pa pi pl ps pt qu rm rn ro ru rw sa sc sd se sg sh si sk sl sm sn so sq "
    "sr ss st su sv sw ta te tg th ti tk tl tn to tr ts tt tw ty ug uk ur uz ve vi vo wa wo xh yi "
    "yo za zh zu"
)
"""The register's languages that most families' words are in: reading the whole register takes a
sixth of a short check.  One that is missing here is looked up there."""
_KNOWN = frozenset(_TWO_LETTERS.split())


@lru_cache(maxsize=256)
def is_language(tag: str) -> bool:
    """Whether a tag names a language: ``pl``, ``cy-GB``, ``zh-Hant``; not ``polish``."""
    if not tag.isascii() or not 2 <= len(tag) <= LONGEST_TAG:
        return False
    if tag in _KNOWN:
        return True
    import langcodes

    return langcodes.tag_is_valid(tag)
