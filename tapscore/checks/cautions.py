"""What to remember about pupils and the place, and whom to ask.  It reminds and never clears."""

from collections.abc import Iterator

from tapscore.checks.hazard_words import hazards_in
from tapscore.model.cautions import Caution
from tapscore.model.story import Prop

_NURSE = "the school nurse"
_PHYSIO = "the physiotherapist"
_SAFETY = "whoever is responsible for health and safety at school"
_MOVING = "the moving-and-handling lead"
_VISION = "the qualified teacher of children with vision impairment"

PUPIL_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "startle",
        "What comes unexpectedly startles, not only what is loud: warn first, build up, hide no "
        "accent.",
        f"{_NURSE}, the neurology team and {_PHYSIO}",
    ),
    Caution(
        "seizure",
        "Stop tapping at once and follow the pupil's own plan.",
        _NURSE,
    ),
    Caution(
        "infantile spasms and reflex seizures",
        "A touch, a tap or a sound that isn't expected can itself bring on a seizure, and a "
        "spasm can look like a startle or a smile: know which of them this pupil has.",
        f"the neurology team and {_NURSE}",
    ),
    Caution(
        "tracheostomy",
        "Nothing that floats, sheds or sprays comes near, nothing covers the neck, and the "
        "pupil's voice may be a breath: look for other answers.",
        f"{_NURSE} and the respiratory team",
    ),
    Caution(
        "oxygen and suction",
        "Oxygen means no flame, no spark and no grease close by; suction needs its trained adult, "
        "its machine and its lead within reach, on the same side all the time.",
        f"{_NURSE} and the respiratory team",
    ),
    Caution(
        "pump or stimulator that is implanted",
        "Vibration and magnets can disturb pumps for medicine, nerve stimulators and pacemakers, "
        "and nobody lies or leans on one.",
        f"the team that looks after the implant, and {_NURSE}",
    ),
    Caution(
        "shunt",
        "Magnets can change programmable valves; ask about vibration too, and about lying on "
        "that side.",
        f"the neurosurgery team and {_NURSE}",
    ),
    Caution(
        "hearing aid or cochlear implant",
        "Hearing aids can whistle close to a surface; static electricity can disturb implants; "
        "and without them on a warning by voice isn't heard.",
        "the teacher of the deaf or the audiology team",
    ),
    Caution(
        "low vision",
        "Contrast, place and light decide what can be seen; what comes from the blind side comes "
        "without warning.",
        _VISION,
    ),
    Caution(
        "hearing and vision both",
        "A pupil who is deafblind needs each thing told by touch, by one known hand, before it "
        "happens, and more time between.",
        "the teacher of children with multi-sensory impairment",
    ),
    Caution(
        "fragile bones",
        "No knocks close by, and nobody pulls an arm or a leg.",
        _PHYSIO,
    ),
    Caution(
        "spine, hips and recent surgery",
        "How a pupil may lie or sit, and whether the board's movement is wanted at all, may have "
        "changed since the last time.",
        f"{_PHYSIO} and the surgical team",
    ),
    Caution(
        "lying, lifting, tube feeding",
        "Each pupil's own plan says how they lie, are lifted and are fed, and when; a hoist is "
        "never worked by fewer than two adults.",
        f"{_PHYSIO}, the occupational therapist, {_MOVING} and {_NURSE}",
    ),
    Caution(
        "pressure care",
        "Ply is hard. How long a pupil may lie on it, on what, and who turns them when, stands in "
        "the pupil's plan; look at the skin afterwards.",
        f"{_NURSE} and {_PHYSIO}",
    ),
    Caution(
        "temperature and sensation",
        "Lying still near the floor chills, and skin that feels little doesn't complain of cold, "
        "heat or an edge.",
        f"{_NURSE} and {_PHYSIO}",
    ),
    Caution(
        "reflux after feeds",
        "Lying flat, being rocked or tapped soon after a feed can bring it up: how long to wait, "
        "and how high the head is, stands in the pupil's plan.",
        f"{_NURSE}, and the speech and language therapist, with the mealtime plan",
    ),
    Caution(
        "eating and drinking",
        "Nothing goes to the mouth that isn't in the mealtime plan, and what goes there anyway is "
        "told to the adult in charge.",
        "the speech and language therapist, with the mealtime plan",
    ),
    Caution(
        "self-injury",
        "Know what comes before it and what it says; move the board's edge and hard props away, "
        "stop, and follow the pupil's own plan.",
        "those who wrote the pupil's behaviour support plan",
    ),
    Caution(
        "touch that is too much",
        "Some pupils can't bear to be touched lightly or by surprise: firm, slow, told before, "
        "by their own hand where they can, and never held there.",
        "the occupational therapist",
    ),
)
PLACE_CAUTIONS: tuple[Caution, ...] = (
    Caution("hygiene", "Clean board and props between pupils.", _NURSE),
    Caution(
        "fingers in the gap",
        "Fingers and toes get under a sheet that sinks: look along every edge before anybody "
        "sits down on it, and stand nobody on it.",
        _SAFETY,
    ),
    Caution(
        "edge to trip over",
        "A raised sheet is an edge that a foot, a frame or a wheel catches on: mark it, and keep "
        "the way out free of it, of leads and of props.",
        _SAFETY,
    ),
    Caution(
        "on to the board and off",
        "To lift a child to the floor and up again is moving and handling: with a hoist and two "
        "adults at least, or as the pupil's plan says, and never in a hurry.",
        _MOVING,
        "Manual Handling Operations Regulations 1992: avoid it, or assess and reduce it",
    ),
    Caution(
        "plywood",
        "Edges sanded, surface sealed, screws sunk; look at it each time before it is used.",
        "the site staff",
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
    ),
)
DEFERS = (
    "These are reminders. They don't replace your school's policy, a pupil's own plan, or the "
    "people named. Nothing here says that something is safe for anybody."
)


def prop_hazards(prop: Prop) -> Iterator[tuple[str, str, str]]:
    """Hazards that a prop suggests: name, the word that does, and the key it stands under."""
    said = set()
    for key, text in (("what", f"{prop.name} | {prop.what}"), ("instead", prop.instead or "")):
        for hazard, word in hazards_in(text):
            if hazard not in said:
                said.add(hazard)
                yield hazard, word, key
