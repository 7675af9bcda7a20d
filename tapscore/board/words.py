"""Levels as words, in steps of 3 dB: finer than that the model does not know."""

from tapscore.wording.catalogue import say

STEP_DB = 3
MODEL_SENTENCE = say("Relative, a model, not a measurement.")

USUAL_JUMP_DB = 10.0
"""So much more than the last tap felt at a place is a jump (the teacher may change it)."""
USUAL_WEAK_DB = -15.0
"""So much less than the reference tap is weak (the teacher may change it)."""

Word = str
WORDS: tuple[Word, ...] = (
    say("hardly"),
    say("weaker"),
    say("like the reference"),
    say("stronger"),
    say("much stronger"),
)
"""Weakest first."""

WORD_EDGES_DB = (-13.5, -1.5, 1.5, 7.5)
"""Where one word ends and the next begins: half-way between steps."""


def step_db(level_db: float) -> int:
    """The nearest step of 3 dB; a level of nothing at all (-inf) counts as -60."""
    bounded = min(max(level_db, -60.0), 60.0)
    return STEP_DB * round(bounded / STEP_DB)


def level_word(level_db: float) -> Word:
    """Put a level in words; for example -2 dB is ``"weaker"``."""
    return WORDS[sum(level_db >= edge for edge in WORD_EDGES_DB)]
