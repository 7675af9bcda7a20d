"""Tags of languages, as BCP 47 (RFC 5646) and the register of subtags have them."""

from functools import lru_cache

LONGEST_TAG = 35


@lru_cache(maxsize=256)
def is_language(tag: str) -> bool:
    """Whether a tag names a language: ``pl``, ``cy-GB``, ``zh-Hant``; not ``polish``."""
    if not tag.isascii() or not 2 <= len(tag) <= LONGEST_TAG:
        return False
    import langcodes

    return langcodes.tag_is_valid(tag)
