"""Taking a prop or role away, or renaming it, where the story uses it."""

from tapscore.gui.story_window import StoryWindow
from tapscore.model.finding import StoryPath
from tapscore.model.naming import rename, take_out, uses
from tapscore.model.words import printed
from tapscore.screen.rows import Row

TAKE_OUT, LEAVE = "Take it out there", "Leave it"
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
            places.append(f"and {len(where) - _MOST_LISTED} more places")
        others = {f"Put {each} in its place": each for each in names if each != name}
        some = dict(list(others.items())[:_MOST_OTHERS])
        answer = window.files.asking.choose(
            window,
            f"The {kind} “{name}” is used in the story.",
            "\n".join(places),
            (TAKE_OUT, *some, LEAVE),
        )
        if answer == LEAVE:
            return
        instead = some.get(answer)
    window.document.edit(f"Take {name} away", take_out(story, kind, name, instead))


def rename_everywhere(window: StoryWindow, kind: str, names: tuple[str, ...], name: str) -> None:
    """Ask for another name and say it wherever the old one stands."""
    new = window.files.asking.words(window, "Rename", f"Another name for “{name}”:")
    if new is None or new == name:
        return
    if kind == "place" and not_a_letter(new):
        window.say(not_a_letter(new))
        return
    if new in names:
        window.say(f"There is a {kind} of that name already.")
        return
    story = rename(window.document.story, kind, name, new)
    window.document.edit(f"Rename {name}", story)


def not_a_letter(name: str) -> str:
    """Why a pupil's place can't be called so; empty if it can."""
    if len(name) == 1 and name.isalpha() and name.isupper():
        return ""
    return "A pupil's place is one capital letter, never a name."


def _place(window: StoryWindow, path: StoryPath) -> str:
    if not path:
        return "In the whole story"
    if path[0] == "props":
        return f"Who brings {path[1]}"
    if path[0] == "roles":
        return f"Where {path[1]} sits"
    if path[0] == "board":
        return f"Who is with {path[2]}"
    number = window.rows.row_of(path)
    return _named(window.rows.rows[number]) if number is not None else "In the story"


def _named(row: Row) -> str:
    number = f"Line {row.number}: " if row.number else ""
    if row.line is not None:
        return f"{number}{printed(row.line.words)}"
    return f"{row.kind.value.capitalize()} {row.title}".strip()
