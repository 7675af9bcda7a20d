"""Cautions against the words of the story file, standards and the page."""

import re

import pytest

from tapscore.checks.page import CAUTIONS_FILE, RULES_FILE, cautions_page, rules_page
from tapscore.checks.registry import RULES
from tapscore.model.cautions import PROP_CAUTIONS, Caution
from tapscore.model.pupil_cautions import DEFERS, PLACE_CAUTIONS, PUPIL_CAUTIONS
from tapscore.resources import resource_path

EVERY = (*PROP_CAUTIONS, *PUPIL_CAUTIONS, *PLACE_CAUTIONS)


@pytest.mark.parametrize("caution", EVERY, ids=lambda caution: caution.name)
def test_reminders_defer_and_never_clear(caution: Caution) -> None:
    assert caution.reminder.endswith(".")
    assert not re.search(r"\bsafe\b|\ballowed for\b|\bno risk\b", caution.reminder)
    assert caution.ask.startswith(("the ", "who", "those "))


INCH_MM = 25.4
FIGURES: dict[str, tuple[tuple[float, ...], str]] = {
    # The cylinder is an inch and a quarter wide, and from one to two and a quarter inches deep.
    "small parts": (
        (1.25 * INCH_MM, 1.00 * INCH_MM, 2.25 * INCH_MM),
        "16 CFR 1501.4, in inches; EN 71-1 in millimetres",
    ),
    "cord": ((220, 380), "EN 71-1:2005+A8, clause 5.4, from memory"),
    "noise, place": ((80, 85, 87), "Control of Noise at Work Regulations 2005, regulation 4"),
}
"""Figures of standards as the standards have them, and where: all that any caution names."""


@pytest.mark.parametrize("caution", EVERY, ids=lambda caution: caution.name)
def test_figures_are_those_of_the_standards(caution: Caution) -> None:
    """Every number in a caution's words; numbers and years of standards are no figures."""
    source = re.sub(
        r"\b(?:16 CFR 1501|EN 71-1(?::2005\+A8)?|2\.\d(?:\.\d)?|\d{4})\b", "", caution.source
    )
    said = {float(found) for found in re.findall(r"\d+(?:\.\d+)?", f"{caution.reminder} {source}")}
    key = f"{caution.name}, place" if caution in PLACE_CAUTIONS else caution.name
    figures, _ = FIGURES.get(key, ((), ""))
    # Millimetres are cut off after the tenth, as the standards print them.
    assert said == {int(figure * 10 + 1e-9) / 10 for figure in figures}


def test_figures_in_words() -> None:
    """WCAG 2.2, 2.3.1: no more than three flashes in any one second period.

    A hoist has two adults: common practice, no source.
    """
    said = {caution.name: caution.reminder for caution in EVERY}
    assert "three flashes a second is the most" in said["flashing"]
    assert "children under three" in said["small parts"]
    assert "never worked by fewer than two adults" in said["lying, lifting, tube feeding"]
    assert "a hoist and two adults at least" in said["on to the board and off"]


def test_pages_are_as_generated() -> None:
    """To write them anew: ``python -m tapscore.checks.page``."""
    assert resource_path(RULES_FILE).read_text(encoding="utf-8") == rules_page()
    assert resource_path(CAUTIONS_FILE).read_text(encoding="utf-8") == cautions_page()


def test_pages_hold_everything() -> None:
    page = rules_page()
    for rule in RULES:
        assert f"`{rule.id}`" in page
        assert rule.why in page
    assert DEFERS.split(". ", maxsplit=1)[0] in cautions_page()
    for caution in EVERY:
        assert f"\n{caution.name}\n" in cautions_page()
    assert all(len(line) <= 90 for line in cautions_page().splitlines())


def test_the_help_names_every_caution_of_props() -> None:
    words = " ".join(resource_path("story.txt").read_text(encoding="utf-8").split())
    named = words.partition("asks): ")[2].partition(". Areas")[0].split(", ")
    assert named == [caution.name for caution in PROP_CAUTIONS]
