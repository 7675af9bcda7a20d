"""Taking a prop or role away, or renaming it, where the story uses it."""

from tapscore.gui.story_window import StoryWindow
from tapscore.model.finding import StoryPath
from tapscore.model.naming import rename, take_out, uses
from tapscore.model.words import printed
from tapscore.screen.rows import Row, kind_name
from tapscore.wording.catalogue import say

TAKE_OUT, LEAVE = say("Take it out there"), say("Leave it")
_MOST_LISTED = 8
_MOST_OTHERS = 4


def take_away(window: StoryWindow, kind: str, names: tuple[str, ...], name: str) -> None:
    """Take something away; says where it is used first, and offers what to do there."""
    story = window.document.story
    where = uses(story, kind, name)
    instead: str | None = None
    if where:
        places = [_place(window, path) for path in where[:_MOST_LISTED]]
        if len(where) > _MOST_LISTED:
            places.append(say("and {count} more places", count=len(where) - _MOST_LISTED))
        others = {say("Put {each} in its place", each=each): each for each in names if each != name}
        some = dict(list(others.items())[:_MOST_OTHERS])
        answer = window.files.asking.choose(
            window,
            say(
                "{kind:prop=The prop|role=The role|place=The place|spot=The spot|seat=The seat"
                "|*=The {kind}} “{name}” is used in the story.",
                kind=kind,
                name=name,
            ),
            "\n".join(places),
            (TAKE_OUT, *some, LEAVE),
        )
        if answer == LEAVE:
            return
        instead = some.get(answer)
    window.document.edit(say("Take {name} away", name=name), take_out(story, kind, name, instead))


def rename_everywhere(window: StoryWindow, kind: str, names: tuple[str, ...], name: str) -> None:
    """Ask for another name and say it wherever the old one stands."""
    new = window.files.asking.words(
        window, say("Rename"), say("Another name for “{name}”:", name=name)
    )
    if new is None or new == name:
        return
    if kind == "place" and not_a_letter(new):
        window.say(not_a_letter(new))
        return
    if new in names:
        window.say(name_taken(kind))
        return
    story = rename(window.document.story, kind, name, new)
    window.document.edit(say("Rename {name}", name=name), story)


def name_taken(kind: str) -> str:
    """What is said where a new thing is called as another one is."""
    return say(
        "There is {kind:prop=a prop|role=a role|place=a place|spot=a spot|seat=a seat"
        "|*=a {kind}} of that name already.",
        kind=kind,
    )


def thing_named(kind: str) -> str:
    """A kind of named thing in words: prop, role, spot, seat, place."""
    return say("{kind:prop=prop|role=role|place=place|spot=spot|seat=seat|*={kind}}", kind=kind)


def things_named(kind: str) -> str:
    """Several of a kind, at the beginning of a sentence."""
    return say(
        "{kind:prop=Props|role=Roles|place=Places|spot=Spots|seat=Seats|*={kind}}", kind=kind
    )


def not_a_letter(name: str) -> str:
    """Why a pupil's place can't be called so; empty if it can."""
    if len(name) == 1 and name.isalpha() and name.isupper():
        return ""
    return say("A pupil's place is one capital letter, never a name.")


def _place(window: StoryWindow, path: StoryPath) -> str:
    if not path:
        return say("In the whole story")
    if path[0] == "props":
        return say("Who brings {prop}", prop=str(path[1]))
    if path[0] == "roles":
        return say("Where {role} sits", role=str(path[1]))
    if path[0] == "board":
        return say("Who is with {pupil}", pupil=str(path[2]))
    number = window.rows.row_of(path)
    return _named(window.rows.rows[number]) if number is not None else say("In the story")


def _named(row: Row) -> str:
    if row.line is not None:
        words = printed(row.line.words)
        return (
            say("Line {number}: {words}", number=row.number, words=words) if row.number else words
        )
    return f"{kind_name(row.kind).capitalize()} {row.title}".strip()
