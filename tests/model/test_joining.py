"""Refrains written out everywhere, and sections put in one."""

from attrs import evolve

from tapscore.model.edits import join_sections, without_refrain
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Refrain, RefrainUse, Section, Story

STORY = Story(
    "A",
    refrains=(
        Refrain("small", (Line("tick"),)),
        Refrain("large", (Line("tock"), RefrainUse("small"))),
    ),
    sections=(
        Section("One", (RefrainUse("large"), Line("a"))),
        Section("Two", (RefrainUse("small"),)),
        Section("Three", (Line("b"),), PartialManner(metre=Metre(3, 4))),
    ),
)


def test_a_refrain_is_written_out_wherever_it_returns() -> None:
    plain = without_refrain(STORY, "small")
    assert [r.name for r in plain.refrains] == ["large"]
    assert plain.refrains[0].items == (Line("tock"), Line("tick"))
    assert plain.sections[1].items == (Line("tick"),)
    assert without_refrain(plain, "small") is plain
    assert without_refrain(plain, "large").sections[0].items == (
        Line("tock"),
        Line("tick"),
        Line("a"),
    )


def test_a_refrain_within_itself_stays() -> None:
    odd = evolve(STORY, refrains=(Refrain("small", (RefrainUse("small"),)),))
    assert without_refrain(odd, "small") is odd


def test_sections_that_say_the_same_are_put_in_one() -> None:
    joined = join_sections(STORY)
    assert [(s.title, len(s.items)) for s in joined.sections] == [("One", 3), ("Three", 1)]
