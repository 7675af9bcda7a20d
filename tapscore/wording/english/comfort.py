"""What findings about comfort, and about what is felt, say."""

from tapscore.wording.text import Text

_STAGE = (
    "{stage:on the board= Pupils lie on the board: they feel it with the whole body."
    "|beside the board= Pupils touch the board with arms or feet and feel it there.|*=}"
)
_MODEL = "The model may be wrong: try it at the board."

TEXTS: dict[str, Text] = {
    "warn-before-loud": Text(
        "{line} starts {level:loudness} after {earlier:=silence|*={earlier:loudness}}, without a "
        "warning.",
        "Add {key.warn_first} with what tells the pupils, or build the loudness up." + _STAGE,
        "Write under {key.warn_first} what tells the pupils, or build the loudness up." + _STAGE,
    ),
    "no-sudden-tap": Text(
        "{line} jumps from {earlier:loudness} to {level:loudness} in "
        "{bar:0=the pickup|*=bar {bar}}, without a warning.",
        "Add {key.warn_first}, or let the loudness grow over more taps." + _STAGE,
        "Write a warning under {key.warn_first}, or let the loudness grow over more taps." + _STAGE,
    ),
    "under-the-ceiling": Text(
        "{line} is {level:loudness}, above {by:ceiling=the ceiling|gentle=a gentle "
        "introduction}: {ceiling:loudness}.",
        "Make it {ceiling:loudness} or quieter, or change {key.ceiling}.",
    ),
    "no-hidden-accent": Text(
        "{line} has one strong tap hidden among quiet ones, in {bar:0=the pickup|*=bar {bar}}.",
        "Write `x` for it, make the beats before it strong too, or add {key.warn_first}.",
        "Make it a plain tap, make the beats before it strong too, or write a warning under "
        "{key.warn_first}.",
    ),
    "loud-not-long": Text(
        "It is loud for {seconds:.0f} seconds on end from {line:inside} on "
        "({lines:one line|# lines}).",
        "Put something quiet or a wait between, or keep the loudness for the last taps." + _STAGE,
    ),
    "clear-of-pupils": Text(
        "“{spot}” is tapped ({line:inside}{more:0=|*= and {more} more}), but it is "
        "{near:head={away_cm:.0f} cm from the head of the pupil lying|body=just where the pupil "
        "is} at {place}.",
        "Move the place or the spot on the board, or tap another spot.",
    ),
    "bodies-on-the-sheet": Text(
        "The {part:head=head|body=body|legs=legs} of the pupil {lying:yes=lying|no=sitting} at "
        "{place} would be {past_cm:.0f} cm past the edge of the board.",
        "Move the place, turn {place} round, or put something firm beside the board, as high as "
        "it is. Drawn for a child {tall_cm:.0f} cm tall: say how old the oldest pupil is.",
    ),
    "bodies-apart/overlap": Text(
        "The pupils at {other} and {place} would lie on one another.",
        "Move one of the places.",
    ),
    "bodies-apart/close": Text(
        "Between the pupils at {other} and {place} there are only {apart_cm:.0f} cm.",
        "Move one of the places.",
    ),
    "room-for-all/places": Text(
        "There are {pupils} pupils, but only {places:one place|# places}.",
        "Give each pupil a place, on the board or beside it; or write how many are in this group.",
    ),
    "room-for-all/sheet": Text(
        "The sheet has no room for {places:one pupil|# pupils} to lie and sit.",
        "Let some be beside the board, or take turns on it.",
    ),
    "sheet-carries": Text(
        "The pupils' weight may take about {percent:.0f} % of what breaks the sheet; "
        "{working:.0f} % is as much as it should.",
        "Ask whoever built or looks after the board how much it carries, or let fewer be on it at "
        "once. It is an estimate: nothing was measured.",
    ),
    "stage-fits-places/nobody-on-it": Text(
        "Pupils are said to be “on the board”, but no pupil's place is on it.",
        "Move a place on to the board, or change {key.stage}.",
    ),
    "stage-fits-places/on-it": Text(
        "Pupils are said to be “{stage}”, but {count:place|places} {places:and} {count:is|are} on "
        "the board.",
        "Move {count:it|them} beside the board, or change {key.stage} if {count:this pupil has|"
        "these pupils have} come so far.",
    ),
    "warned-two-ways/one": Text(
        "The warning of {line:inside} goes by {through:and} alone.",
        "Let it go by two of voice, touch and sight: a whisper reaches no deaf child, and raised "
        "hands no blind one.",
    ),
    "warned-two-ways/unsaid": Text(
        "{line} is warned of, but it is not said how: by voice, touch or sight.",
        "Say two of them at {key.warned_through}; some pupils hear no whisper and see no hands.",
    ),
    "few-things-at-once": Text(
        "{line} has {count} things at once: {things:prop=“{each}” comes|do=something to do"
        "|strokes=a change of stroke|stroke=another stroke|tempo=another tempo"
        "|loudness=another loudness}.",
        "Keep at most {most}: let the others come a line earlier or later.",
    ),
    "easing-at-the-end": Text(
        "{line} ends the story as fast and as loud as the rest.",
        "Let the last line slow down (`tempo: {usual} to {slower}`) or grow quieter (`loudness: "
        "quiet to very quiet`).",
        "Let the last line slow down ({usual} to {slower} beats a minute) or grow quieter (quiet "
        "to very quiet).",
    ),
    "clear-of-floor": Text(
        "The board may sink {sinks_mm:.0f} mm of its {gap_mm:.0f} mm gap; if it touches the "
        "floor, its felt map is void.",
        "Measure the gap under the seated pupils, and raise the board with higher strips. "
        "`tapscore help board` says how.",
        "Measure the gap under the seated pupils, and raise the board with higher strips. "
        "“Measure your board” says how.",
    ),
    "grain-known": Text(
        "It is not known which way the grain of the board runs: what is said of where taps are "
        "felt may be wrong even in its order.",
        "Lay the sheet on two battens with a weight, once each way: it sinks less along the "
        "grain. Then write `grain: long` or `grain: short`. `tapscore help board` says how.",
        "Lay the sheet on two battens with a weight, once each way: it sinks less along the "
        "grain. Then choose it under “Grain runs”. “Measure your board” says how.",
    ),
    "felt-jump": Text(
        "{line} is felt about {louder_db} dB more at {place} than the tap felt there before, "
        "without a warning, though the loudness hardly changes.",
        "Add {key.warn_first}, tap nearer to where it was tapped before, or begin more softly. "
        + _MODEL,
        "Write a warning under {key.warn_first}, tap nearer to where it was tapped before, or "
        "begin more softly. " + _MODEL,
    ),
    "felt-weak": Text(
        "{line} is hardly felt at {places:and}.",
        "Tap nearer, harder or with another stroke; or let the pupil there lay a hand on the "
        "board. " + _MODEL,
    ),
    "felt-left-out": Text(
        "In “{section}” nothing is felt well at {places:and}.",
        "Tap some of its lines nearer, harder or with another stroke, or move the place. " + _MODEL,
    ),
}
