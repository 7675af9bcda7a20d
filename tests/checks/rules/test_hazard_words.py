"""The words of hazards on props made for the tests: some they were chosen on, some kept apart."""

from pathlib import Path

import pytest

from tapscore.checks.cautions import prop_hazards
from tapscore.checks.hazard_words import hazards_in, words_of_hazards
from tapscore.model.cautions import CAUTIONS
from tapscore.model.story import Prop

_DATA = Path(__file__).parents[2] / "data"


def _props(name: str) -> list[tuple[str, set[str]]]:
    lines = (_DATA / name).read_text(encoding="utf-8").splitlines()
    said = [line.partition("=") for line in lines if not line.startswith("#")]
    return [(what.strip(), {h for h in map(str.strip, of.split(",")) if h}) for what, _, of in said]


TUNED, KEPT_APART = _props("props_tuned.txt"), _props("props_kept_apart.txt")
UNSEEN = _props("props_unseen.txt")


def test_there_are_enough_props_and_every_hazard_is_among_them() -> None:
    assert len(TUNED) >= 150
    assert len(KEPT_APART) >= 100
    assert not {what for what, _ in TUNED} & {what for what, _ in KEPT_APART}
    for props in (TUNED, KEPT_APART):
        assert set().union(*(of for _, of in props)) == set(CAUTIONS)


def test_the_words_are_about_the_cautions_there_are() -> None:
    assert list(words_of_hazards()) == list(CAUTIONS)
    assert all(suggests for suggests, _ in words_of_hazards().values())


@pytest.mark.parametrize(("what", "hazards"), TUNED, ids=[what for what, _ in TUNED])
def test_each_prop_that_the_words_were_chosen_on(what: str, hazards: set[str]) -> None:
    """Every hazard is found; more may be said, but of what is harmless hardly ever."""
    assert {hazard for hazard, _ in hazards_in(what)} >= hazards


@pytest.mark.parametrize(
    ("props", "harmless_left_alone"), [(KEPT_APART, 0.9), (UNSEEN, 0.7)], ids=["apart", "unseen"]
)
def test_figures_of_props_that_no_word_was_chosen_on(
    props: list[tuple[str, set[str]]], harmless_left_alone: float
) -> None:
    """110 of 114 and 48 of 50 hazards found, 29 of 30 and 11 of 15 harmless ones left alone.

    On 2026-11-26; all lists have one author, so a stranger's props will fare worse.
    """
    said = [({hazard for hazard, _ in hazards_in(what)}, of) for what, of in props]
    wanted = sum(len(of) for _, of in said)
    found = sum(len(of & got) for got, of in said)
    harmless = [got for got, of in said if not of]
    assert found >= 0.9 * wanted
    assert sum(not got for got in harmless) >= harmless_left_alone * len(harmless)


def test_a_torch_flicked_on_and_off_as_substitute() -> None:
    prop = Prop("star", "a big felt star", instead="a torch flicked on and off")
    assert ("flashing", "instead") in {(hazard, key) for hazard, _, key in prop_hazards(prop)}
