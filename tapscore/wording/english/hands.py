"""What findings about adults' hands, seats and jobs say."""

from tapscore.wording.text import Text

TEXTS: dict[str, Text] = {
    "hands-can-keep-up": Text(
        "{line} asks {adults:the {role}|# adults} to tap faster than hands go: one tap follows "
        "another after {shortest_ms:.0f} milliseconds.",
        "Share it with another adult, or slow the line.",
    ),
    "hand-has-time-to-move": Text(
        "{line} asks the {role} to get from “{start}” to “{end}” in {seconds:.1f} seconds.",
        "Give one of the spots to another adult, or choose spots side by side.",
    ),
    "spots-in-reach": Text(
        "{line}{more:0=|*= (and {more} more)} asks the {role} to tap “{spot}”, {away_cm:.0f} cm "
        "from where they sit; an arm reaches about {reach_cm:.0f} cm.",
        "{nearer:=Choose a spot nearer to a seat, or move the seat.|*=Give it to the {nearer}, "
        "who sits nearer, or choose another spot.}",
    ),
    "hands-clear-of-pupils": Text(
        "{line}{more:0=|*= (and {more} more)} asks the {role} to tap “{spot}”: the way from the "
        "seat goes over the {part:head=head|body=body|legs=legs} of the pupil at {place}.",
        "Move the place, the seat or the spot, or give it to somebody who sits on the other side.",
    ),
    "way-out-clear": Text(
        "The {role} sits {away_cm:.0f} cm from the way out; a wheelchair and a chair need "
        "{needed_cm:.0f}.",
        "Move the seat “{seat}”, or say where else one leaves.",
    ),
    "seats-for-all/none": Text(
        "The {role} taps, but has no seat at the board.",
        "Add a {key.seat}; then reach can be checked, and the floor plan shows it.",
        "Choose under {key.seat} where they sit; then reach can be checked, and the floor plan "
        "shows it.",
    ),
    "seats-for-all/shared": Text(
        "The {role} sits where the {other} sits already: “{seat}”.",
        "Give each a seat of their own.",
    ),
    "bringer-hands-free": Text(
        "{line} asks the {role} to tap while bringing or taking “{prop}”.",
        "Let somebody else tap this line, or somebody else bring it ({key.prop_by}).",
    ),
    "work-shared": Text(
        "The {role} does {jobs} of the {all_jobs} things there are to do.",
        "Give some lines to another adult with {key.by}. If one is away, the story still goes on.",
    ),
    "everyone-has-a-part": Text(
        "The {role} neither taps nor brings a prop anywhere.",
        "Give them lines with {key.by}, or take the role out.",
    ),
    "lines-tapped/many": Text(
        "{lines} lines are only spoken: nobody taps them.",
        "{rhythm:yes=Write `x` for `s` in each {key.lane} where it is to be tapped.|no=Give each a "
        "{key.lane}. In the editor, one key fits a rhythm to the words.}",
        "{rhythm:yes=Give each some taps: “Tap on the beat” does it for all lines chosen.|"
        "no=Give each a rhythm: “Another rhythm” fits one to the words.}",
    ),
    "lines-tapped/one": Text(
        "{line} is only spoken: nobody taps it.",
        "{rhythm:yes=Write `x` for `s` in its {key.lane}|no=Give it a {key.lane}}, or leave it if "
        "silence on the board is meant.",
        "Give it {rhythm:yes=a tap|no=a rhythm}, or leave it if silence on the board is meant.",
    ),
    "lines-tapped/empty": Text(
        "{line} has neither words nor taps.",
        "Give it words or taps, take it out, or put a wait there if pupils are to have time.",
    ),
    "role-has-somebody": Text(
        "Nobody is {role} today, who has {jobs:one thing|# things} to do.",
        "Write under `roles:` in the day file who takes it; `tapscore day` suggests who could.",
        "Choose under “Today's staff” who takes it; the same window suggests who could.",
    ),
}
