"""Folding sections and refrains away, and showing them again."""

from tapscore.gui.story_window import StoryWindow
from tapscore.screen.folds import Folds
from tapscore.screen.rows import Row, RowKind


def foldable(window: StoryWindow) -> bool:
    """Whether there is something at the current row to fold or unfold."""
    return _head(window) is not None


def toggle(window: StoryWindow) -> None:
    """Fold what is below the current heading or return, or show it."""
    head = _head(window)
    if head is not None:
        window.view.go_to(head.path)
        window.rows.fold(head, shown=head.folded is not None)


def sections_are_folded(window: StoryWindow) -> bool:
    """Whether every section shows its heading alone."""
    heads = _sections(window)
    return bool(heads) and all(row.folded is not None for row in heads)


def toggle_sections(window: StoryWindow) -> None:
    """Show headings alone, or everything."""
    folds = window.rows.folds
    row = window.view.current_row
    keys = frozenset[tuple[str, int]]()
    if not sections_are_folded(window):
        keys = frozenset(row.fold for row in _sections(window) if row.fold is not None)
    window.rows.fold_as(Folds(keys, folds.returns_open, folds.other_returns))
    _stay(window, row)


def toggle_refrains(window: StoryWindow) -> None:
    """Show refrains in full at every return, or nowhere but where they are written."""
    folds = window.rows.folds
    row = window.view.current_row
    window.rows.fold_as(Folds(folds.sections, not folds.returns_open))
    _stay(window, row)


def _stay(window: StoryWindow, row: Row | None) -> None:
    """Let the row of before be current, or the one that it is folded into."""
    if row is not None:
        number = window.rows.row_of(row.within or row.path)
        if number is not None:
            window.view.rest_at(number)


def _sections(window: StoryWindow) -> list[Row]:
    return [row for row in window.rows.rows if row.kind is RowKind.SECTION]


def _head(window: StoryWindow) -> Row | None:
    """The heading or return that folds the current row."""
    row = window.view.current_row
    if row is None or row.fold is not None:
        return row
    path = row.within or row.path[:2]
    number = window.rows.row_of(path)
    found = window.rows.rows[number] if number is not None else None
    return found if found is not None and found.fold is not None else None
