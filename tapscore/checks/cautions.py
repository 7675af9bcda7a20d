"""What to remember about props and pupils, and whom to ask.  It reminds and never clears."""

from collections.abc import Iterator
from functools import lru_cache

from attrs import frozen

from tapscore.model.story import Prop


@frozen
class Caution:
    """One hazard."""

    name: str
    """The word in the story file, or what the hazard is."""
    reminder: str
    ask: str
    """Who decides; follows ``Ask``."""
    source: str
    hints: tuple[str, ...] = ()
    """Words in a prop's description that suggest it."""


_LOCAL = "common practice, no source"


def _hint(words: str) -> tuple[str, ...]:
    return tuple(words.split(", "))


PROP_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "small parts",
        "Pupils who put things in their mouths need the rule for children under three, whatever "
        "their age: what goes into a cylinder 31.7 mm wide is too small.",
        "the speech and language therapist and the occupational therapist",
        "16 CFR 1501 and EN 71-1: cylinder 31.7 mm wide, 25.4 to 57.1 mm deep",
        _hint(
            "bead, button, pebble, shell, marble, rice, lentil, pasta, sequin, acorn, "
            "conker, pom-pom, pompom, gravel, seed, coin"
        ),
    ),
    Caution(
        "cord",
        "A cord that can make a noose is at most 220 mm long and a loop at most 380 mm round; "
        "longer ones stay in an adult's hand.",
        "whoever is responsible for health and safety at school",
        "EN 71-1:2005+A8, superseded: look at the edition in force",
        _hint(
            "cord, string, ribbon, rope, bead, necklace, bangle, lace, wool, yarn, streamer, "
            "elastic, strap, leash, thread"
        ),
    ),
    Caution(
        "battery",
        "A button battery that is swallowed is an emergency: call the emergency services at "
        "once. The compartment must be closed with a screw.",
        "whoever is responsible for health and safety at school",
        _LOCAL,
        _hint("battery, batteries, torch, led, fairy light, electric, musical card"),
    ),
    Caution(
        "latex",
        "Some pupils and adults are allergic to latex. No balloons.",
        "the school nurse",
        _LOCAL,
        _hint("latex, balloon, rubber, elastic band"),
    ),
    Caution(
        "scent",
        "A scent can bring on a headache, nausea or a seizure, and can't be taken back.",
        "the school nurse",
        _LOCAL,
        _hint("scent, perfume, lavender, oil, spice, incense, vinegar, cinnamon"),
    ),
    Caution(
        "food",
        "Allergies, tube feeding and choking: nothing is tasted that isn't in the pupil's plan.",
        "the school nurse and the speech and language therapist",
        _LOCAL,
        _hint("food, fruit, bread, flour, honey, chocolate, milk, jelly, biscuit"),
    ),
    Caution(
        "static",
        "Static electricity can disturb cochlear implants: take plastics that crackle away from "
        "the head, and ask before play.",
        "the teacher of the deaf or the audiology team",
        _LOCAL,
        _hint(
            "static, plastic sheet, nylon, bubble wrap, foil blanket, fleece blanket, "
            "balloon, polystyrene"
        ),
    ),
    Caution(
        "magnet",
        "Magnets can change the setting of a programmable shunt valve: keep them away from the "
        "head, and ask first. Swallowed magnets are an emergency.",
        "the neurosurgery team and the school nurse",
        _LOCAL,
        _hint("magnet, magnetic"),
    ),
    Caution(
        "light",
        "No flashing light at all: three flashes a second is the most that any guideline allows.",
        "the neurology team or the school nurse",
        "WCAG 2.2, success criterion 2.3.1",
        _hint(
            "lights, fairy light, tea light, torch, lantern, glow, led, disco, strobe, "
            "laser, lamp, candle"
        ),
    ),
    Caution(
        "water",
        "Wet boards are slippery, and water spreads germs from pupil to pupil.",
        "the school nurse, and whoever looks after the board",
        _LOCAL,
        _hint("water, spray, ice, wet, bubbles, snow, mist"),
    ),
)
PUPIL_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "startle",
        "What comes unexpectedly startles, not only what is loud: warn first, build up, hide no "
        "accent.",
        "the school nurse, the neurology team and the physiotherapist",
        _LOCAL,
    ),
    Caution(
        "seizure",
        "Stop tapping at once and follow the pupil's own plan.",
        "the school nurse",
        _LOCAL,
    ),
    Caution(
        "hearing aid or cochlear implant",
        "Hearing aids can whistle close to a surface; static electricity can disturb implants.",
        "the teacher of the deaf or the audiology team",
        _LOCAL,
    ),
    Caution(
        "shunt",
        "Magnets can change programmable valves; ask about vibration too.",
        "the neurosurgery team and the school nurse",
        _LOCAL,
    ),
    Caution(
        "fragile bones",
        "No knocks close by, and nobody pulls an arm or a leg.",
        "the physiotherapist",
        _LOCAL,
    ),
    Caution(
        "lying, lifting, tube feeding",
        "Each pupil's own plan says how they lie, are lifted and are fed, and when.",
        "the physiotherapist, the occupational therapist and the school nurse",
        _LOCAL,
    ),
    Caution(
        "low vision",
        "Contrast, place and light decide what can be seen.",
        "the qualified teacher of children with vision impairment",
        _LOCAL,
    ),
)
PLACE_CAUTIONS: tuple[Caution, ...] = (
    Caution("hygiene", "Clean board and props between pupils.", "the school nurse", _LOCAL),
    Caution(
        "plywood",
        "Edges sanded, surface sealed, screws sunk; look at it each time before it is used.",
        "the site staff",
        _LOCAL,
    ),
    Caution(
        "noise",
        "Figures for staff at work (action at 80 and 85 dB(A), limit 87) are no limits for "
        "children. Nobody has published how loud a hand on a board is: have it measured.",
        "whoever is responsible for health and safety, and the audiology team",
        "Control of Noise at Work Regulations 2005",
    ),
    Caution(
        "coming away",
        "Everybody may come away from the board at any time, and that is an answer too.",
        "those who know the pupil best",
        _LOCAL,
    ),
)
CAUTION_PAGE = {caution.name: caution for caution in PROP_CAUTIONS}
DEFERS = (
    "These are reminders. They don't replace your school's policy, a pupil's own plan, or the "
    "people named. Nothing here says that something is safe for anybody."
)


@lru_cache(maxsize=512)
def _hints(text: str) -> tuple[tuple[str, str], ...]:
    words = "".join(c if c.isalnum() or c == "-" else " " for c in text).split()
    line = f" {' '.join(words)} "
    found: list[tuple[str, str]] = []
    for caution in PROP_CAUTIONS:
        forms = (hint + ending for hint in caution.hints for ending in ("", "s", "es"))
        word = next((form for form in forms if f" {form} " in line), None)
        if word is not None:
            found.append((caution.name, word))
    return tuple(found)


def hinted_cautions(prop: Prop) -> Iterator[tuple[str, str]]:
    """Cautions that a prop's name or description suggests, each with the word that does."""
    yield from _hints(f"{prop.name} | {prop.what}".casefold())
