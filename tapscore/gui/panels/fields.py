"""Fields that show a value without a signal, and say when the user changed it."""

from collections.abc import Callable

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QFormLayout, QLineEdit, QSpinBox, QWidget


def words_field(form: QFormLayout, name: str, changed: Callable[[str], None]) -> QLineEdit:
    """A field for words; ``changed`` is called at every key."""
    field = QLineEdit()
    _add(form, name, field)
    field.textEdited.connect(lambda text: changed(" ".join(text.split())))
    return field


def choice_field(form: QFormLayout, name: str, changed: Callable[[str], None]) -> QComboBox:
    """A choice of words."""
    field = QComboBox()
    field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    field.setMinimumContentsLength(12)
    _add(form, name, field)
    field.textActivated.connect(changed)
    return field


def whole_field(
    form: QFormLayout, name: str, low: int, high: int, unit: str, changed: Callable[[int], None]
) -> QSpinBox:
    """A whole number."""
    field = QSpinBox()
    field.setRange(low, high)
    field.setSuffix(unit)
    field.setKeyboardTracking(False)
    _add(form, name, field)
    field.valueChanged.connect(changed)
    return field


def number_field(
    form: QFormLayout,
    name: str,
    low: float,
    high: float,
    unit: str,
    changed: Callable[[float], None],
) -> QDoubleSpinBox:
    """A number with one decimal."""
    field = QDoubleSpinBox()
    field.setRange(low, high)
    field.setDecimals(1)
    field.setSuffix(unit)
    field.setKeyboardTracking(False)
    _add(form, name, field)
    field.valueChanged.connect(changed)
    return field


def show_words(field: QLineEdit, text: str) -> None:
    """Show words; what is being typed stays as it is."""
    if " ".join(field.text().split()) != text:
        with QSignalBlocker(field):
            field.setText(text)


def show_choice(field: QComboBox, words: tuple[str, ...], current: str) -> None:
    """Show a choice and what there is to choose from."""
    with QSignalBlocker(field):
        wanted = list(words) if current in words else [current, *words]
        if [field.itemText(i) for i in range(field.count())] != wanted:
            field.clear()
            field.addItems(wanted)
        field.setCurrentText(current)


def show_number(field: QSpinBox | QDoubleSpinBox, value: float) -> None:
    """Show a number."""
    with QSignalBlocker(field):
        field.setValue(value)  # type: ignore[arg-type]


def _add(form: QFormLayout, name: str, field: QWidget) -> None:
    field.setAccessibleName(name)
    form.addRow(name, field)
