"""What findings about props say."""

from tapscore.wording.text import Text

_CAUTION = (
    "Ask {ask}. Add `{caution}` to its {key.cautions}, so that the cards remind everybody.",
    "Ask {ask}. Tick “{caution}” under {key.cautions}, so that the cards remind everybody.",
)

TEXTS: dict[str, Text] = {
    "props-set-down-clear/tapped": Text(
        "“{prop}” is set down at “{spot}” while “{tapped}” is tapped there.",
        "Let it come to another spot, or tap another one while it is there.",
    ),
    "props-set-down-clear/lies": Text(
        "“{prop}” is set down at “{spot}”, just where the pupil at {place} is.",
        "Let it come to a spot beside the pupils.",
    ),
    "props-set-down-clear/reach": Text(
        "“{prop}” is set down at “{spot}”, where the {count:pupil|pupils} at {places:and} could "
        "take it: {called}.",
        "Let it stay in an adult's hand: write {key.prop_in} without a spot, or choose one that "
        "no pupil reaches.",
        "Let it stay in an adult's hand: untick it under {key.prop_in} and tick it again, "
        "and it comes without a spot; or move the spot out of reach.",
    ),
    "props-are-used": Text(
        "“{prop}” is in the list of props, but no line uses it.",
        "Bring it in with {key.prop_in}, or take it out of the list.",
    ),
    "props-leave": Text(
        "“{prop}” comes on to the board and never leaves.",
        "Add {key.prop_out} to the line with which it goes; the last one at the latest.",
        "Tick it under {key.prop_out} of the line with which it goes; the last one at the latest.",
    ),
    "props-come-first/offered": Text(
        "“{prop}” is offered before it has come on to the board.",
        "Add {key.prop_in} to the line before the turns.",
        "Tick it under {key.prop_in} of the line before the turns.",
    ),
    "props-come-first/leaves": Text(
        "“{prop}” leaves here, but it is not on the board.",
        "Add {key.prop_in} to an earlier line, or take this {key.prop_out} away.",
        "Tick it under {key.prop_in} of an earlier line, or take its tick away here.",
    ),
    "props-come-first/again": Text(
        "“{prop}” comes here, but it is on the board already.",
        "Take one {key.prop_in} away, or let it leave between.",
        "Take one tick under {key.prop_in} away, or let it leave between.",
    ),
    "enough-sets/more": Text(
        "The turns with “{prop}” take {minutes:.1f} minutes, and most pupils wait all that time.",
        "With {sets} sets of it, it takes no more than {most_minutes} minutes; write `sets: "
        "{sets}` when you have them.",
        "With {sets} sets of it, it takes no more than {most_minutes} minutes; say so under "
        "{key.sets} when you have them.",
    ),
    "turns-long-enough": Text(
        "The turns with “{prop}” are {seconds:1 second|# seconds} each; few pupils have found it "
        "by then.",
        "Make them {usual_sec} seconds at least; with positioning a turn takes a minute and more.",
    ),
    "enough-sets/hands": Text(
        "The turns with “{prop}” take {minutes:.1f} minutes, and most pupils wait all that time.",
        "{sets} adults with a set each take no more than {most_minutes} minutes: write who under "
        "{key.handed_by}, and `sets: {sets}`; or make the turns shorter.",
        "{sets} adults with a set each take no more than {most_minutes} minutes: choose who under "
        "{key.handed_by}, and {key.sets}; or make the turns shorter.",
    ),
    "sets-have-hands": Text(
        "There are {sets} sets of “{prop}”, but only {handlers:and} {count:hands|hand} it to "
        "pupils: {count:one pupil has|# pupils have} it at a time.",
        "Name under {key.handed_by} who else hands it round, or plan with {count:one set|# sets}.",
    ),
    "enough-sets/shorter": Text(
        "The turns with “{prop}” take {minutes:.1f} minutes, and most pupils wait all that time.",
        "Make the turns shorter.",
    ),
    "substitute-named": Text(
        "Nothing is named that could stand in for “{prop}”.",
        "Add {key.instead} with something that feels or sounds like it.",
        "Write under {key.instead} something that feels or sounds like it.",
    ),
    "caution-named/what": Text(
        "“{prop}” is described with “{word}”. {reminder}",
        *_CAUTION,
    ),
    "caution-named/instead": Text(
        "What stands in for “{prop}” is described with “{word}”. {reminder}",
        *_CAUTION,
    ),
    "caution-named/outdoors": Text(
        "What is used of “{prop}” out of doors is described with “{word}”. {reminder}",
        *_CAUTION,
    ),
    "dangers-in-doings": Text(
        "{line} says “{word}” in {key:do={key.do}|warn={key.warn_first}}. {reminder}",
        "Ask {ask}. Write it another way, name the prop in its words, with that caution, or keep "
        "it and say why.",
    ),
    "mouths-kept-clear/look-for": Text(
        "{after:=This|*=After “{after}” this} looks for “{word}”, while “{prop}” must stay away "
        "from mouths: {called}.",
        "Look for another answer, or choose something that may go to the mouth. Ask {ask}.",
    ),
    "mouths-kept-clear/do": Text(
        "{line} brings “{word}” and “{prop}” together, which must stay away from mouths: {called}.",
        "Do it another way, or choose something that may go to the mouth. Ask {ask}.",
    ),
}
