"""What findings about the shape of a story say: refrain, waits, start and finish."""

from tapscore.wording.text import Text

_THIS_WAIT = "{after:=This wait|*=The wait after “{after}”}"

TEXTS: dict[str, Text] = {
    "taps-thin-enough": Text(
        "From {line:inside} on, {lines} lines in a row have about {rate:.1f} taps a second: to "
        "many pupils that is a buzz without a beat.",
        "Tap the beats alone in some of them and only say the rest, slow down, or put a wait "
        "between.",
    ),
    "adults-for-the-hoist": Text(
        "Pupils are on the board, but only {adults:one role is|# roles are} named: a hoist is "
        "never worked by fewer than {least} adults.",
        "Name who helps as another role, and ask the moving-and-handling lead; or tell the story "
        "beside the board.",
    ),
    "refrain-returns/none": Text(
        "The story has no refrain: nothing returns that pupils could come to know.",
        "Choose a line that pupils like and make it a refrain that returns every line or two.",
    ),
    "refrain-returns/seldom": Text(
        "{line} is the {without:5=fifth|*={without}th} line in a row without the refrain.",
        "Let the refrain return before it; every line or two is best.",
    ),
    "waits-are-there/none": Text(
        "The story has no wait: there is no time for pupils to answer.",
        "Add `- wait: {usual_sec}` after the refrain, and after what pupils know well.",
        "Add a wait of {usual_sec} seconds after the refrain, and after what pupils know well.",
    ),
    "waits-are-there/seldom": Text(
        "{line} is the {without}th line in a row without a wait or a turn.",
        "Add `- wait: {usual_sec}` before it.",
        "Add a wait of {usual_sec} seconds before it.",
    ),
    "waits-long-enough": Text(
        _THIS_WAIT + " is {seconds} seconds; many pupils need longer to answer.",
        "Make it at least {least_sec}; {advised_sec} reaches more pupils, and some need a minute.",
    ),
    "look-for-named/wait": Text(
        _THIS_WAIT + " doesn't say what to look for.",
        "Add {key.look_for} with what an answer may be, however small: a look, a still body.",
        "Write under {key.look_for} what an answer may be, however small: a look, a still body.",
    ),
    "look-for-named/turn": Text(
        "The turn with “{prop}” doesn't say what to look for.",
        "Add {key.look_for} with what an answer may be, however small: a look, a still body.",
        "Write under {key.look_for} what an answer may be, however small: a look, a still body.",
    ),
    "not-too-many-lines": Text(
        "The story has {lines} lines; with more than {most} it is hard to keep the whole story in "
        "mind.",
        "About {usual} is usual. Take out what pupils would miss least, or make two stories.",
    ),
    "start-and-finish/start": Text(
        "{line} starts the story without a cue that it begins.",
        "Add {key.do}, {key.warn_first} or a prop that always comes first, or start with the "
        "refrain.",
        "Write under {key.do} what always begins it, let a prop come first, or start with the "
        "refrain.",
    ),
    "start-and-finish/finish": Text(
        "{line} ends the story without a cue that it is finished.",
        "Add {key.do} with what always ends it, let a prop go with {key.prop_out}, or end with "
        "the refrain.",
        "Write under {key.do} what always ends it, let a prop go out, or end with the refrain.",
    ),
    "one-new-thing": Text(
        "{line} brings {count} props at once: {props:quoted list}.",
        "Let each come on a line of its own.",
    ),
    "two-areas-a-line": Text(
        "{line} names {count} areas of learning.",
        "Keep the {most} that matter most in it.",
    ),
    "areas-spread": Text(
        "Lines name {covered:quoted and}, but none names {gaps:quoted or}.",
        "See whether a line does it already; {key.areas} of a line may name two. Gaps are no "
        "fault: another story may fill them.",
        "See whether a line does it already; a line may name two. Gaps are no fault: another "
        "story may fill them.",
    ),
}
