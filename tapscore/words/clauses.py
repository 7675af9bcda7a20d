"""Where a line's words begin something new, as far as plain words show it.

*Boo! Did you get a scare?* is two things said, and mostly two bars.  Teachers' lines often have
no stops, so turned questions (*did you*), subjects (*I want*), *here it comes*, greetings,
counts and what follows a sound or a call are looked for, and a word that leads in (*now it's
gone*) goes with what follows it.  The names stand in learnt features.
"""

from collections.abc import Sequence

from attrs import frozen

from tapscore.words.word_classes import (
    DESCRIBING,
    DOING,
    FULL,
    PARTICLE,
    PAST,
    PREPOSITION,
    VERB,
)

_SUBJECTS = frozenset(("i", "we", "he", "she", "they"))
_EITHER = frozenset(("you", "it"))
_FINITE = frozenset(("be", "helper"))
_AFTER_SUBJECTS = _FINITE | {"not", "light-verb"}
_ASKING = frozenset(
    "look see guess know knows wonder hear say says said tell ask show find remember think "  # noqa: SIM905
    "that all everything".split()
)
_SAYING = frozenset(
    "say says said shout shouts think know knows hope if when till until wherever whenever "  # noqa: SIM905
    "whatever glad sorry sure wave sing".split()
)
_GREETED = frozenset(("morning", "afternoon", "evening", "night", "bye"))
POINTED = frozenset(("here", "there"))
_AWAY = frozenset("in out up down off on round over away back".split())  # noqa: SIM905
MOVING = frozenset("go goes went come comes came".split())  # noqa: SIM905
_THINGS = frozenset(
    ("article", "owner", "pointing", "somebody", "number", "amount", DESCRIBING, FULL)
)
_LEADS_IN = frozenset("now then so yes no oh ah ooh well maybe perhaps look please quick".split())  # noqa: SIM905
_HOLDS = frozenset(("article", "owner", "be", "helper", PREPOSITION, "pointing", "question", "let"))
_DONE_TO = frozenset(("article", "owner", "pronoun", "pointing", "amount", PARTICLE, PREPOSITION))
_VERBS = frozenset((VERB, "be", "helper", "light-verb", "attend", "subject", "let", DOING, PAST))
_BEFORE_NAMES = _HOLDS | {"number", "amount", DESCRIBING, "joining", "sound"}
_WITH_VERBS = _DONE_TO | {"question"}
_ALONE = frozenset(("sound", "call", "number"))
_LONGEST_NAME = 4
_WHOLE_QUESTION = ("question", "helper", "pronoun", VERB)
_NOUNS = frozenset((FULL, DESCRIBING, "number", "amount"))


def clauses_of(words: Sequence[str], kinds: Sequence[str], fine: Sequence[str]) -> list[str]:
    """For each word how something new begins with it: a name, or "" if nothing seems to."""
    found = [""] * len(words)
    for number in range(1, len(words)):
        place = _Place(words, kinds, fine, number)
        name = place.begins()
        at = number
        while name and at > 1 and place.leads_in(at - 1):
            at -= 1
        if at == 1 < number and place.leads_in(0):
            at = number
        if not name or (at == 1 and place.leads_in(0)):
            continue
        if name in ("says", "turned") and place.fronted(at):
            name = "fronted"
        found[at] = found[at] or name
    return found


@frozen
class _Place:
    """A word with those beside it; each question is answered by a name, "" or None (not mine)."""

    words: Sequence[str]
    kinds: Sequence[str]
    fine: Sequence[str]
    at: int

    @property
    def word(self) -> str:
        return self.words[self.at]

    @property
    def kind(self) -> str:
        return self.kinds[self.at]

    def kind_of(self, step: int) -> str:
        """The class of the word so many further on, "" beyond the line."""
        at = self.at + step
        return self.kinds[at] if 0 <= at < len(self.kinds) else ""

    def word_of(self, step: int) -> str:
        """The same for the word itself."""
        at = self.at + step
        return self.words[at] if 0 <= at < len(self.words) else ""

    def leads_in(self, at: int) -> bool:
        """Whether a word goes with what follows it, as in *now it's gone*."""
        return self.words[at] in _LEADS_IN or self.kinds[at] == "joining"

    def fronted(self, at: int) -> bool:
        """Whether what stands before is a place or a time: *on the way to the shop | we met*."""
        first = self.kinds[0] in (PREPOSITION, PARTICLE, "adverb") or self.words[0].endswith("ly")
        return first and not any(one in _VERBS for one in self.fine[:at])

    def begins(self) -> str:
        """How something new begins with this word."""
        before = self.word_of(-1)
        if before == self.word or (self.kind_of(-1) in _HOLDS and before not in POINTED):
            return "counts" if self._counts_up() else ""
        for ask in (
            self._answered,
            self._asked,
            self._said,
            self._there,
            self._called,
            self._joined,
            self._sounded,
            self._counted,
            self._told,
        ):
            name = ask()
            if name is not None:
                return name
        return ""

    def _counts_up(self) -> bool:
        """*There he is, one, two, three*, but not *on one two three*."""
        numbers = self.kind == self.kind_of(1) == self.kind_of(2) == "number"
        return numbers and self.kind_of(-1) == "be"

    def _answered(self) -> str | None:
        """What follows a whole question: *what can you hear? Bees in the clover*."""
        if self.at != len(_WHOLE_QUESTION) or self.kind not in _THINGS | {DESCRIBING, "sound"}:
            return None
        asked = self.words[0] in ("what", "who") and tuple(self.kinds[1:3]) == _WHOLE_QUESTION[1:3]
        return "answers" if asked and self.fine[3] in (VERB, FULL, "attend", "sound") else None

    def _asked(self) -> str | None:
        """A question: *what is it*, *did you*."""
        before, after = self.kind_of(-1), self.kind_of(1)
        if self.kind == "question" and self.word_of(-1) not in _ASKING:
            if after in _FINITE or after == "subject" or "'" in self.word:
                return "asks"
            return "call" if self.word == "what" and after == "article" else ""
        to_whom = self.word_of(1) in _SUBJECTS | _EITHER or after == "somebody"
        if self.kind in _FINITE and self.word != "got" and to_whom:
            return "" if self.word_of(-1) in POINTED or before == "pronoun" else "turned"
        return None

    def _said(self) -> str | None:
        """Somebody does something: *I want*, *it's*."""
        either = self.word in _EITHER and self.kind_of(1) in _AFTER_SUBJECTS
        if not (self.word in _SUBJECTS or self.kind == "subject" or either):
            return None
        before = self.kind_of(-1)
        if self.word_of(-1) in _SAYING | POINTED or before in (PARTICLE, "light-verb"):
            return ""
        relative = self.word in ("that's", "it") and before in _NOUNS
        return "" if relative and self.at + 3 > len(self.words) else "says"

    def _there(self) -> str | None:
        """*Here it comes*, *off we go*."""
        after = self.kind_of(1)
        if (
            self.word in _AWAY
            and self.word_of(1) in MOVING
            and self.kind_of(2) in _THINGS | {DESCRIBING}
        ):
            return "there"
        if self.word in POINTED and after in ("be", "pronoun", "subject", "light-verb"):
            return "there"
        if self.kind != PARTICLE or after not in ("pronoun", "light-verb", "subject"):
            return None
        if not self._verb_before():
            return None
        free = self.kind_of(-1) != "light-verb" and self.fine[self.at - 1] not in _VERBS
        return "there" if free else ""

    def _called(self) -> str | None:
        """*Let's*, greetings and *don't*."""
        before = self.kind_of(-1)
        if self.kind == "let":
            return "" if before == "not" else "let"
        if self.kind == "call" or (self.word == "good" and self.word_of(1) in _GREETED):
            ends = self.at + 1 == len(self.words) or self.word in ("please", "thanks")
            return "" if ends or before == "call" or self.word_of(-1) in _SAYING else "call"
        if self.word == "no" and before in (FULL, "pronoun", "adverb", "sound"):
            return "not"
        denied = self.word in ("not", "don't", "won't") and before in (FULL, "adverb", "sound")
        return "not" if denied else None

    def _joined(self) -> str | None:
        """*and*, *but* ...: whether a clause follows it or only another thing."""
        if self.kind != "joining":
            return None
        if self.at + 1 == len(self.words):
            return ""
        subject = self.word_of(1) in _SUBJECTS | _EITHER
        if subject or self.kind_of(1) in ("subject", "let", "question"):
            return "joins"
        return "joins" if self.fine[self.at + 1] in _VERBS else ""

    def _sounded(self) -> str | None:
        """Sounds after words, and words after sounds."""
        before, after = self.kind_of(-1), self.kind_of(1)
        if self.kind == "sound":
            if before in ("sound", DESCRIBING, "light-verb", "amount", "pronoun", "subject"):
                return None
            return "sounds" if after in ("", "sound") and self.at > 1 else ""
        if before != "sound":
            return None
        if self.kind == "pointing" and after in _FINITE:
            return "this"
        # A deed (*pop a seed in*), or it goes on (*crunch goes the snow*).
        if self.kind in ("light-verb", "joining", PARTICLE, PREPOSITION):
            return ""
        deed = self.kind in ("article", "owner", "pronoun", "number", "pointing")
        return "" if deed and self.kind_of(-2) != "sound" else "after"

    def _counted(self) -> str | None:
        """A count, and what follows one."""
        before = self.kind_of(-1)
        if self.kind == "number" and self.kind_of(1) == "number" and before != "number":
            return "counts"
        over = before == "number" == self.kind_of(-2) and self.kind not in _NOUNS
        return "counts" if over else None

    def _told(self) -> str | None:
        """A new sentence that begins with what it is about (*Sol is here*), or with a verb."""
        if self._names_subject():
            return "this"
        fine = self.fine[self.at]
        if fine in (VERB, "attend", "light-verb") and self.kind_of(1) in _WITH_VERBS:
            return "bids" if self._verb_before() and not self._asked_of() else ""
        doing = fine == DOING and self.kind_of(-1) in (FULL, "pronoun", PARTICLE)
        return "doing" if doing else None

    def _asked_of(self) -> bool:
        """Whether a verb belongs to a helper before it: *will see*, *can you see*."""
        before, further = self.kind_of(-1), self.kind_of(-2)
        return before in _FINITE or (before == "pronoun" and further in _FINITE)

    def _names_subject(self) -> bool:
        first = self.kind in ("pointing", "somebody", FULL, "article", "owner")
        if not first or not self._verb_before():
            return False
        size = 1
        while self.kind_of(size) in _NOUNS and size < _LONGEST_NAME:
            size += 1
        if self.kind_of(size) not in _FINITE and not self.word.endswith("'s"):
            return False
        before, further = self.kind_of(-1), self.kind_of(-2)
        if before == FULL and (self.word == "that" or further in ("sound", FULL)):
            return False
        held = self.fine[self.at - 1] in _VERBS or before in _BEFORE_NAMES
        return not held or (before == DESCRIBING and further == PREPOSITION)

    def _verb_before(self) -> bool:
        """Whether a sentence may be over: there was a verb, a call, a sound or a count."""
        return any(one in _VERBS or one in _ALONE for one in self.fine[: self.at])
