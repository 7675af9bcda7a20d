"""What findings about acceptances and about the program itself say."""

from tapscore.wording.text import Text

_WHERE = "{where:=|*= at “{where}”}"

TEXTS: dict[str, Text] = {
    "rule-broke": Text(
        "The check “{title}” stopped because of a fault in the program ({error}).",
        "The other checks went on. Please report this with the story file.",
    ),
    "accepted-unknown": Text(
        "There is no check called `{check}` to accept.{near:=|*= Did you mean `{near}`?}",
        "`tapscore rules` lists them. Correct the name, or take this entry out.",
    ),
    "accepted-must-mend": Text(
        "`{check}`" + _WHERE + " must be mended; it can't be accepted.",
        "Mend it, and take this entry out.",
    ),
    "accepted-not-needed": Text(
        "`{check}`" + _WHERE + " is accepted, but is no longer found.",
        "Take this entry out; or, if the line was reworded, write its new words in "
        "{key.accepted_where}.",
    ),
}
