"""Cautions against the words of the story file, standards and the page."""

import re

import pytest

from tapscore.checks.cautions import (
    DEFERS,
    PLACE_CAUTIONS,
    PUPIL_CAUTIONS,
)
from tapscore.checks.page import CAUTIONS_FILE, RULES_FILE, cautions_page, rules_page
from tapscore.checks.registry import RULES
from tapscore.model.cautions import PROP_CAUTIONS, Caution
from tapscore.resources import resource_path

EVERY = (*PROP_CAUTIONS, *PUPIL_CAUTIONS, *PLACE_CAUTIONS)


@pytest.mark.parametrize("caution", EVERY, ids=lambda caution: caution.name)
def test_reminders_defer_and_never_clear(caution: Caution) -> None:
    assert caution.reminder.endswith(".")
    assert not re.search(r"\bsafe\b|\ballowed for\b|\bno risk\b", caution.reminder)
    assert caution.ask.startswith(("the ", "who", "those "))


def test_figures_of_the_standards() -> None:
    """16 CFR 1501.4 and EN 71-1: cylinder 31.7 mm wide, 25.4 to 57.1 mm deep.

    EN 71-1:2005+A8: cord that can form a noose at most 220 mm, fixed loop at most 380 mm.
    Control of Noise at Work Regulations 2005: 80 and 85 dB(A), limit 87.  WCAG 2.2, 2.3.1:
    three flashes a second.
    """
    said = {caution.name: f"{caution.reminder} {caution.source}" for caution in EVERY}
    for figure in ("31.7 mm", "25.4", "57.1 mm"):
        assert figure in said["small parts"]
    assert "220 mm" in said["cord"]
    assert "380 mm" in said["cord"]
    assert "three flashes a second" in said["flashing"]
    for figure in ("80", "85 dB(A)", "87"):
        assert figure in said["noise"]


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
