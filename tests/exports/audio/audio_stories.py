"""Stories built in Python for the tests of the audio guide."""

from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tapscore.model.lane import Cell, Lane, Mark
from tapscore.model.manner import PartialManner
from tapscore.model.story import Entrance, Item, Line, Offer, Prop, Role, Section, Story, Wait
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance


def lane(*bars: str, pickup: str = "") -> Lane:
    """A bar is letters, a step each: ``x`` ``X`` ``t`` ``o`` ``.`` ``-``."""
    steps = [
        tuple((Cell(Mark(letter.lower()), letter.isupper()),) for letter in bar)
        for bar in (pickup, *bars)
    ]
    return Lane(steps[0], tuple(steps[1:]))


def story(
    *items: Item, roles: tuple[str, ...] = ("leader",), heading: str = "Evening", **manner: Any
) -> Story:
    return Story(
        "The L\u00f6ng Tale",
        manner=PartialManner(**manner),
        roles=tuple(Role(name) for name in roles),
        props=(Prop("beads"), Prop("scarf")),
        sections=(Section(heading, tuple(items)),),
    )


def guide_performance(told: Story) -> Performance:
    return perform(told, count_in_bars=1, longest_offer_sec=Fraction(10))


def varied() -> Story:
    return story(
        Line("Out on the wa-ter", lane("X.x.x.x."), props_in=(Entrance("beads"),)),
        Wait(Fraction(5)),
        Line("Crash went the wave", lane("X...x..."), warn_first="lean in"),
        Offer("beads"),
        Line("Home", lane("X......."), props_out=("beads",)),
        roles=("leader", "beat-keeper"),
        by=("everyone",),
    )


def samples(path: Path) -> NDArray[np.float64]:
    """Samples of a WAV file, shape (frames, 2), and nothing of the project's own."""
    import soundfile  # type: ignore[import-untyped]

    read, rate = soundfile.read(path, dtype="float64", always_2d=True)
    assert rate == 48_000
    found: NDArray[np.float64] = read
    return found


def found_onsets_sec(sound: NDArray[np.float64]) -> list[float]:
    """Where the energy of the next 4 ms rises far above that of the 8 ms before."""
    hop = 24  # half a millisecond
    mono = sound.mean(axis=1)
    energy = np.square(mono[: len(mono) // hop * hop]).reshape(-1, hop).mean(axis=1)
    floor = 1e-4 * energy.max()  # a board's ringing swells once more, 30 dB below its tap
    before, after = 16, 8
    padded = np.concatenate((np.zeros(before), energy, np.zeros(after))) + floor
    total = np.concatenate(([0.0], np.cumsum(padded)))
    at = np.arange(len(energy)) + before
    rise = (total[at + after] - total[at]) / after / ((total[at] - total[at - before]) / before)
    found: list[float] = []
    for i in np.flatnonzero(rise > 6):
        near = rise[max(i - 60, 0) : i + 61]
        if rise[i] == near.max():
            found.append(float(i) * hop / 48_000)
    return found
