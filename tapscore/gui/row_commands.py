"""What commands do to the rows that are chosen, or to the tap the cursor is on."""

from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor

from attrs import evolve
from PySide6.QtGui import QGuiApplication

from tapscore.gui.clipboard import copied_now, copied_rows, read_copied, with_refrains
from tapscore.gui.editor.editing import stepped
from tapscore.gui.story_window import StoryWindow
from tapscore.gui.tap_in import TapInDialog
from tapscore.model.fewer_taps import Tapped
from tapscore.model.lane_edits import event_places, free_place_after
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Offer, RefrainUse, Wait
from tapscore.model.words import printed
from tapscore.rhythm.layout import line_layout, tap_levels
from tapscore.rhythm.unroll import as_written
from tapscore.screen.rows import Row, RowKind
from tapscore.wording.catalogue import say
from tapscore.workflow.find_words import find_words
from tapscore.workflow.fit_report import section_advice

NO_ROOM = say("There is no room for that here.")


def chosen_rows(window: StoryWindow) -> tuple[Row, ...]:
    """The rows that are chosen and can be taken away."""
    kinds = (RowKind.REFRAIN, RowKind.HINT)
    return tuple(row for row in window.view.chosen_rows if row.kind not in kinds)


def has_rhythm(window: StoryWindow) -> bool:
    """Whether the current row is a line with a rhythm."""
    row = window.view.current_row
    return row is not None and row.line is not None and row.line.lane is not None


def undo(window: StoryWindow) -> None:
    """Take back the last step; what is being typed is a step of its own."""
    window.view.end_typing()
    window.document.undo_stack.undo()


def redo(window: StoryWindow) -> None:
    """Do again what was taken back."""
    window.view.end_typing()
    window.document.undo_stack.redo()


def copy(window: StoryWindow) -> None:
    """Put what is chosen on the clipboard."""
    rows = window.view.selected_rows
    QGuiApplication.clipboard().setMimeData(copied_rows(rows, window.document.story))
    window.say(say("Copied.") if len(rows) == 1 else say("Copied {count} rows.", count=len(rows)))


def cut(window: StoryWindow) -> None:
    """Put what is chosen on the clipboard and take it away."""
    copy(window)
    _take_away(window, tuple(r for r in window.view.selected_rows if r.item is not None))


def paste(window: StoryWindow) -> None:
    """Put what was copied below the last row chosen."""
    found = read_copied(copied_now())
    if found.problem:
        window.say(found.problem)
        return
    rows = window.view.selected_rows
    row = rows[-1] if rows else None
    if found.words:
        paths = window.editing.paste_words(row, found.words)
    else:
        paths = window.editing.insert_all(
            say("Paste"),
            row,
            found.items,
            lambda story: with_refrains(story, found.refrains),
            found.source,
        )
    window.view.choose(paths)


def delete(window: StoryWindow) -> None:
    """Take away what is chosen."""
    _take_away(window, chosen_rows(window))


def _take_away(window: StoryWindow, rows: tuple[Row, ...]) -> None:
    if rows:
        at = window.view.first_chosen
        window.editing.delete(rows)
        window.view.rest_at(at)


def repeat(window: StoryWindow) -> None:
    """The same once more below."""
    window.view.choose(window.editing.repeat(window.view.selected_rows))


def move(window: StoryWindow, by: int) -> None:
    """Move what is chosen up or down."""
    window.view.choose(window.editing.move(window.view.selected_rows, by))


def cut_in_two(window: StoryWindow) -> None:
    """Make two lines of one: before the cursor in the words, or before the tap."""
    row = window.view.current_row
    if row is None or row.line is None:
        window.say(say("Go to a line first."))
        return
    at = window.view.syllable_here()
    if at is None:
        window.say(say("Go to the tap, or in the words to the place, where the next line begins."))
        return
    window.view.end_typing()
    paths = window.editing.cut_in_two(row, at)
    if paths:
        window.view.go_to(paths[1])
    else:
        window.say(say("A line is cut before a word that is not its first."))


def join(window: StoryWindow) -> None:
    """Make one line of those chosen, or of this one and the next."""
    window.view.end_typing()
    rows = tuple(row for row in window.view.selected_rows if row.item is not None)
    paths = window.editing.join(rows) if rows else ()
    if paths:
        window.view.go_to(paths[0])
    else:
        window.say(say("Only lines that follow one another can be joined."))


def copy_words(window: StoryWindow) -> None:
    """Put the words of what is chosen on the clipboard, and nothing else."""
    lines = [row.line for row in window.view.selected_rows if row.line is not None]
    QGuiApplication.clipboard().setText("\n".join(printed(line.words) for line in lines))
    window.say(say("Copied the words of {count:1 line|# lines}.", count=len(lines)))


def go_to_line(window: StoryWindow) -> None:
    """Ask for a line's number, or some of its words, and go there."""
    last = max((row.number or 0 for row in window.rows.rows), default=0)
    wanted = window.files.asking.words(
        window,
        say("Go to a line"),
        say("Its number (1 to {last}), or some of its words:", last=last),
    )
    if wanted is None:
        return
    story = window.document.story
    if wanted.isdecimal():
        found = [each.path for each in as_written(story) if each.number == int(wanted)]
    else:
        found = [each.path for each in find_words(story, wanted)]
    if found:
        window.view.go_to(found[0])
    else:
        window.say(say("There is no line with “{wanted}”.", wanted=wanted))


def make_refrain(window: StoryWindow) -> None:
    """Make the lines chosen a refrain, or write a return out."""
    rows = window.view.selected_rows
    paths = window.editing.make_refrain(rows)
    if paths:
        window.view.choose(paths)
    elif [row.kind for row in rows] == [RowKind.RETURN]:
        window.say(say("The refrain that returns here is not written yet: choose another one."))
    else:
        window.say(say("Choose lines that follow one another and are in no refrain yet."))


def add_line(window: StoryWindow) -> None:
    """A new line below, with its words open."""
    window.view.go_to(window.editing.insert(window.view.current_row, Line("")), edit=True)


def add_wait(window: StoryWindow) -> None:
    """A wait of ten seconds below."""
    _add(window, Wait(Fraction(10)))


def add_offer(window: StoryWindow) -> None:
    """An offering of the first prop below."""
    _add(window, Offer(window.document.story.props[0].name))


def add_return(window: StoryWindow) -> None:
    """The first refrain returns below."""
    _add(window, RefrainUse(window.document.story.refrains[0].name))


def _add(window: StoryWindow, item: Wait | Offer | RefrainUse) -> None:
    window.view.go_to(window.editing.insert(window.view.current_row, item))


def add_section(window: StoryWindow) -> None:
    """A new section after this one, with its heading open."""
    window.view.go_to(window.editing.insert_section(window.view.current_row), edit=True)


def another_rhythm(window: StoryWindow, *, back: bool = False) -> None:
    """The next-best rhythm for each line chosen, or the one before it."""
    said = window.editing.another_rhythm(window.view.selected_rows, back=back)
    if said:
        window.say(said)


def fewer_taps(window: StoryWindow, which: Tapped) -> None:
    """Tap those syllables of the lines or sections that are chosen."""
    if not window.editing.fewer_taps(window.view.selected_rows, which):
        window.say(say("They are tapped like that already."))


def which_metre(window: StoryWindow) -> None:
    """Say what other metre would suit the section the current row stands in."""
    row = window.view.current_row
    story = window.document.story
    if row is None or row.path[:1] != ("story",) or not isinstance(row.path[1], int):
        window.say(say("Go to a line of a section first."))
        return
    title, advice = section_advice(story, row.path[1])
    window.say(f"{title}: {advice}" if title else advice)


def toggle_tapping(window: StoryWindow) -> None:
    """Begin or end the mode in which single keys change taps."""
    window.view.set_tapping(not window.view.tapping)


def with_tap(window: StoryWindow, do: Callable[[Row, int], bool]) -> None:
    """Do something with the tap the cursor is on."""
    row, tap = window.view.current_row, window.view.cursor_event
    if row is not None and tap is not None and not do(row, tap):
        window.say(NO_ROOM)


def toggle_tap(window: StoryWindow) -> None:
    """Take or give a tap; while listening, the space bar is for that."""
    if not window.listening.space():
        with_tap(window, window.editing.toggle_tap)


def add_tap(window: StoryWindow) -> None:
    """A tap in the next empty step."""
    row = window.view.current_row
    if row is None or row.line is None or row.line.lane is None:
        return
    place = free_place_after(row.line.lane, window.view.cursor_event)
    if place is None or not window.editing.add_tap(row, place):
        window.say(say("There is no empty step after this one. Go to an earlier tap."))
        return
    row = window.view.current_row
    if row is not None and row.line is not None and row.line.lane is not None:
        window.view.move_cursor_to(event_places(row.line.lane).index(place))


def tap_in(window: StoryWindow) -> None:
    """Open the window in which a rhythm is tapped on the space bar."""
    row = window.view.current_row
    if row is None or row.line is None or not row.line.syllables:
        window.say(say("Go to a line with words first."))
        return
    path = row.path
    TapInDialog(
        window,
        row.line,
        row.metre,
        lambda lane: window.editing.set_lane(path, lane),
        asking=window.files.asking,
    ).open()


def louder(window: StoryWindow, by: int) -> None:
    """Make the tap, or else the lines chosen, louder or quieter.

    A tap goes on from how loud it is, and not from how loud the line begins: in a swell it could
    become quieter by being made louder.
    """
    row, event = window.view.current_row, window.view.cursor_event
    if row is None or row.line is None or event is None:
        window.editing.louder(window.view.selected_rows, by)
        return
    timed = line_layout(row.line, row.metre)
    if event not in timed.tapped:
        window.say(say("This is said without a tap."))
        return
    heard = tap_levels(timed, row.manner.loudness)[timed.tapped.index(event)]
    level = stepped(Loudness(floor(heard) if by > 0 else ceil(heard)), by)
    window.editing.change_tap_at(
        say("Change loudness"), row.path, event, lambda tap: evolve(tap, loudness=level)
    )


def tap_at(window: StoryWindow, spot: str) -> str:
    """Let the tap the cursor is on, or the lines chosen, be tapped at a spot; what was done."""
    row, event = window.view.current_row, window.view.cursor_event
    if row is not None and row.line is not None and event is not None:
        window.editing.change_tap(
            say("Tap at {spot}", spot=spot), row, event, lambda tap: evolve(tap, spot=spot)
        )
        return say("This tap is at {spot}.", spot=spot)
    paths = [each.path for each in window.view.selected_rows if each.line is not None]
    if not paths:
        return say("Choose lines first, then {spot}.", spot=spot)
    window.editing.change_items(
        say("Tap at {spot}", spot=spot),
        paths,
        lambda line: evolve(line, manner=evolve(line.manner, spot=spot)),
    )
    return say("Tapped at {spot}.", spot=spot)
