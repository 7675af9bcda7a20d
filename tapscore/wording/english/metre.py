"""What findings about metre and words say."""

from tapscore.wording.text import Text

_HOW_LONG = "{line} has {steps:1 step|# steps} {bar:0=in the pickup|*=in bar {bar}}, but "
_A_BAR_HAS = "a bar of {metre} has {wanted}."
_LACKS = "{lacks:0=nothing|1=1 step|*={lacks} steps}"
_BRINGS = "{brings:0=nothing|1=1 step|*={brings} steps}"

_COUNTED = (
    "Look at its bar lines and at those of the line before. If they are right, please report this "
    "with the story file."
)

TEXTS: dict[str, Text] = {
    "metre-agrees/bar": Text(
        "{line}: {bar:0=the pickup|*=bar {bar}} fills {own:.2f} of a bar by our count and "
        "{theirs:.2f} by music theory's.",
        _COUNTED,
    ),
    "metre-agrees/strength": Text(
        "{line}: by its bar lines {where} has weight {own:.2f}, but counted through in {metre} it "
        "has {theirs:.2f}.",
        _COUNTED,
    ),
    "metre-agrees/tie": Text(
        "{line}: {where} {own:0=ends before the bar line|*=is held over the bar line} by our "
        "count, and {theirs:0=ends before it|*=is held over it} by music theory's.",
        _COUNTED,
    ),
    "metre-agrees/join": Text(
        "{line}: its pickup {own:0=doesn't complete|*=completes} the bar before by our count, and "
        "{theirs:0=doesn't|*=does} by music theory's.",
        _COUNTED,
    ),
    "metre-agrees/missing": Text(
        "{line}: music theory's count in {metre} has no place for {where}.", _COUNTED
    ),
    "bars-full/long": Text(
        _HOW_LONG + _A_BAR_HAS,
        "Take {over} out, or put a {mark.bar} where a bar ends.",
        "Mending divides the bar and keeps every tap.",
    ),
    "bars-full/short": Text(
        _HOW_LONG + _A_BAR_HAS,
        "Add {short:1 step|# steps}; {mark.silence} is a step of silence.",
        "Mending fills the bar with silence and keeps every tap.",
    ),
    "bars-full/pickup": Text(
        _HOW_LONG + "a pickup is shorter than a bar, and " + _A_BAR_HAS,
        "Put a bar line in front: it is no pickup but a bar.",
        "Mending makes it a bar and keeps every tap.",
    ),
    "pickup-joins": Text(
        "{line} ends with a bar that lacks "
        + _LACKS
        + ", and the next line's pickup brings "
        + _BRINGS
        + "; together they should make one bar.",
        "End this line so that its last bar lacks "
        + _BRINGS
        + "{brings:0=, that is, fill it|*=}.{lacks:0=|*= Or give the next line a pickup.}",
    ),
    "accent-on-beat": Text(
        "{line} has a strong tap{syllable:=|*= on “{syllable}”} "
        "{bar:0=in the pickup|*=in bar {bar}} that falls between two beats.",
        "Move it on to a beat, or write `x` instead of `X`.",
        "Move it on to a beat, or make it a plain tap.",
    ),
    "stress-on-beat": Text(
        "{line} has “{light}”, which is said lightly, on a stronger beat than “{heavy}”.",
        "Say it aloud with the beat. If it sounds wrong, move “{heavy}” on to the beat; if it "
        "sounds right, leave it.",
    ),
    "same-words-same-rhythm": Text(
        "{line} has the same words as {model:inside}, but another "
        "{differs:rhythm=rhythm|metre=metre|tempo=tempo|loudness=loudness|stroke=stroke"
        "|*={differs}}.",
        "Make both the same, or better, write the words once as a refrain.",
    ),
    "one-breath/seconds": Text(
        "{line} takes {seconds:.0f} seconds to say, which is long for one breath and for one card.",
        "Divide it into two lines where you would breathe.",
    ),
    "one-breath/syllables": Text(
        "{line} has {syllables} syllables, which is long for one breath and for one card.",
        "Divide it into two lines where you would breathe.",
    ),
    "words-unhurried": Text(
        "{line} has {a_second:.1f} syllables a second at its fastest: faster than people read "
        "aloud.",
        "Slow the line, or leave out a word or two.",
    ),
    "beat-easy-to-follow": Text(
        "{what:story=The story|section=The section “{called}”|return=The return of “{called}”"
        "|line={called:=This line|*=The line “{called}”}} has {tempo} beats a minute, "
        "too {much:slow=slow|fast=fast} for adults to tap together.",
        "Stay between {slowest} and {fastest}; 50 to 90 is like speech.",
    ),
    "words-fit-a-card": Text(
        "{line} is about {letters:.0f} letters long and needs two cards if it is to be read from "
        "a metre away.",
        "Divide it into two lines, or say it with at most {most} letters.",
    ),
}
