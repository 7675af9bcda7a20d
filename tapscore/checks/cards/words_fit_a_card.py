"""The words of a line fit one card at the reading distance."""

from collections.abc import Iterator

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

MOST_LETTERS = 80
"""What was found to fit an A5 card with its marks in 40 point (``tests/checks`` measures it)."""
BETWEEN_SYLLABLES = 0.5
"""Room for the dot inside a word, in letters."""


def card_letters(facts: LineFacts) -> float:
    """How much room the words take on a card, in letters of usual width."""
    syllables = facts.line.syllables
    if not syllables:
        return 0.0
    letters = sum(len(syllable.text) for syllable in syllables)
    words = syllables[-1].word + 1
    return letters + words - 1 + BETWEEN_SYLLABLES * (len(syllables) - words)


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    letters = card_letters(facts)
    if letters > MOST_LETTERS:
        yield found(("words",), letters=letters, most=MOST_LETTERS)


def _long(words: str) -> str:
    return example(f"- words: {words.strip()}")


RULE = Rule(
    id="words-fit-a-card",
    title=say("The words of a line fit one card"),
    why=say(
        "Nobody can turn a card while tapping with both hands. Print is not made smaller to "
        "fit, as then it could not be read at the board."
    ),
    source=say(
        "print sizes after Legge & Bigelow (2011) and UKAAF G003 (2019); the number of "
        "letters was measured on an A5 card at one metre"
    ),
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example(
        "- words: Through brown leaves small mice brought bread, brought cheese, brought plums, "
        "brought pears, brought nuts\n"
        '  lane: "| X . x . X . x . | X . x . X . x . | X . x . X . x . | X . x . X . . . |"',
        metre="4/4",
        extra="tempo: 90\n",
    ),
    more_good=(
        _long("lan-tern " * 9 + "oh"),
        example(tapped("Splash!", "| X . . . . . |")),
    ),
    more_bad=(
        _long("lan-tern " * 10 + "oh"),
        _long("lan-tern " * 10),
    ),
)
