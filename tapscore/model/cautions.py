"""The hazards of props: what each is called, and what it asks of adults.  It reminds, never clears.

The one home of all that is said of them: in the story file, on cards, on the cautions page and
in findings.  The words in which they hide are in ``checks/hazard_words.py``.
"""

from attrs import frozen

from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

LOCAL = say("common practice, no source")


@frozen
class Caution:
    """One hazard."""

    name: str
    """The word in the story file, or what the hazard is."""
    reminder: str
    ask: str
    """Who decides; follows ``Ask``."""
    source: str = LOCAL
    called: str = ""
    """The name on cards, where that says more."""
    on_card: str = ""
    """What a card has room for."""
    mouth: bool = False
    """Whether what carries it must stay away from mouths."""
    in_hand: bool = False
    """Whether what carries it stays in an adult's hand, near pupils."""

    @property
    def title(self) -> str:
        """What it is called on paper."""
        return self.called or term(self.name)

    @property
    def card_sentence(self) -> str:
        """What stands on cards: ``Water: dry the board and the floor at once.``"""
        return f"{self.title[:1].upper()}{self.title[1:]}: {self.on_card}"


PROP_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "small parts",
        say(
            "Pupils who put things in their mouths need the rule for children under three, "
            "whatever their age: what goes into a cylinder 31.7 mm wide is too small."
        ),
        say(
            "the speech and language therapist, with the pupil's mealtime plan, and the "
            "occupational therapist"
        ),
        say("16 CFR 1501 and EN 71-1: cylinder 31.7 mm wide, 25.4 to 57.1 mm deep"),
        on_card=say("keep them away from mouths. Ask whoever advises on eating and drinking."),
        mouth=True,
    ),
    Caution(
        "cord",
        say(
            "A cord that can make a noose is at most 220 mm long and a loop at most 380 mm "
            "round; longer ones stay in an adult's hand."
        ),
        say("whoever is responsible for health and safety at school"),
        say("EN 71-1:2005+A8, superseded: look at the edition in force"),
        called=say("cord, beads or bangle"),
        on_card=say("keep it in your hand, never round a neck. Follow the school's safety rules."),
        in_hand=True,
    ),
    Caution(
        "battery",
        say(
            "A button battery that is swallowed is an emergency: call the emergency services at "
            "once. The compartment must be closed with a screw."
        ),
        say("whoever is responsible for health and safety at school"),
        called=say("battery inside"),
        on_card=say(
            "check that its cover is screwed shut. If a battery is swallowed, call an ambulance."
        ),
        mouth=True,
    ),
    Caution(
        "latex",
        say("Some pupils and adults are allergic to latex. No balloons."),
        say("the school nurse"),
        on_card=say("ask the nurse about allergies first. No balloons."),
        mouth=True,
    ),
    Caution(
        "scent",
        say("A scent can bring on a headache, nausea or a seizure, and can't be taken back."),
        say("the school nurse"),
        on_card=say("ask the nurse first."),
    ),
    Caution(
        "food",
        say(
            "Allergies, tube feeding and choking: nothing is tasted that isn't in the pupil's plan."
        ),
        say(
            "the school nurse, and the speech and language therapist, with the pupil's mealtime "
            "plan"
        ),
        on_card=say("ask the nurse first; check allergies and feeding plans."),
        mouth=True,
    ),
    Caution(
        "static",
        say(
            "Static electricity can disturb cochlear implants: take plastics that crackle away "
            "from the head, and ask before play."
        ),
        say("the teacher of the deaf or the audiology team"),
        called=say("static electricity"),
        on_card=say(
            "can make hearing aids and implants crackle. Ask the teacher of the deaf first."
        ),
    ),
    Caution(
        "magnet",
        say(
            "Magnets can change the setting of a programmable shunt valve: keep them away from "
            "the head, and ask first. Swallowed magnets are an emergency."
        ),
        say("the neurosurgery team and the school nurse"),
        on_card=say("keep it away from shunts and implants. Ask the nurse first."),
        mouth=True,
    ),
    Caution(
        "light",
        say(
            "Bright or sudden light can bring on a seizure or hurt eyes that can't turn away: "
            "start dim, away from the eyes, and leave it steady."
        ),
        say(
            "the neurology team or the school nurse, and the teacher of children with vision "
            "impairment"
        ),
        on_card=say("hold it steady, never flashing. Ask about seizures first."),
    ),
    Caution(
        "water",
        say("Wet boards and hands are slippery, and water spreads germs from pupil to pupil."),
        say("the school nurse, and whoever looks after the board"),
        called=say("wet or slippery"),
        on_card=say("dry the board and the floor at once."),
    ),
    Caution(
        "heat",
        say(
            "Skin that feels little is burnt before anybody notices: try it on the inside of "
            "your own wrist, every time, and take nothing from a microwave or a radiator "
            "straight to a pupil."
        ),
        say("the school nurse and the physiotherapist"),
        called=say("heat or cold"),
        on_card=say(
            "try it on your wrist first, and never leave it lying on a pupil. Ask the nurse."
        ),
    ),
    Caution(
        "vibration",
        say(
            "A thing that buzzes may bring on a seizure or spasm, and can disturb shunt valves, "
            "pumps, stimulators and fragile bones; the board carries it to everybody on it."
        ),
        say("the school nurse and the physiotherapist"),
        on_card=say("not on the head, the neck or an implant. Ask the nurse first."),
    ),
    Caution(
        "airborne",
        say(
            "What floats in the air is breathed in: with a tracheostomy, on oxygen or with "
            "asthma a little powder, down or spray is enough."
        ),
        say("the school nurse and the physiotherapist"),
        called=say("powder, down or spray"),
        on_card=say("keep it away from noses, mouths and tracheostomies. Ask the nurse first."),
        mouth=True,
    ),
    Caution(
        "face",
        say(
            "Nothing is laid or drawn over a face that the pupil can't take off alone; plastic "
            "never. It stops breath, hides the pupil's colour and frightens."
        ),
        say("the school nurse, and the teacher of children with vision impairment"),
        called=say("over the face"),
        on_card=say("never leave it there, and stop at once if the pupil turns away."),
    ),
    Caution(
        "plants",
        say(
            "Many plants and most berries are poisonous, prickly or bring on hay fever: know "
            "what it is before it is on the table, and count what is there."
        ),
        say("the school nurse and whoever is responsible for health and safety at school"),
        on_card=say(
            "keep them away from mouths and eyes, and count them back in. Ask the nurse first."
        ),
        mouth=True,
    ),
    Caution(
        "foam",
        say(
            "Pieces are bitten off foam blocks and choked on; shaving foam stings eyes, smells "
            "and is slippery."
        ),
        say(
            "the school nurse, and the speech and language therapist, with the pupil's mealtime "
            "plan"
        ),
        on_card=say("keep it away from mouths and eyes; look for pieces bitten off."),
        mouth=True,
    ),
    Caution(
        "foil",
        say(
            "Foil has sharp edges, tears into pieces that are swallowed, and its noise comes "
            "suddenly."
        ),
        say("the school nurse and whoever is responsible for health and safety at school"),
        on_card=say("no torn edges or loose pieces; crumple it far from ears first."),
        mouth=True,
    ),
    Caution(
        "flashing",
        say(
            "No flashing or flickering at all, and none by hand either: three flashes a second "
            "is the most that any guideline allows, and a torch flicked on and off is soon there."
        ),
        say("the neurology team or the school nurse"),
        say("WCAG 2.2, success criterion 2.3.1"),
        called=say("flashing light"),
        on_card=say("never flash or flick it: leave it steady. Ask about seizures first."),
    ),
    Caution(
        "noise",
        say(
            "A sudden noise close by startles, and close to an ear it can hurt: far away first, "
            "from the front, and seen before it is heard."
        ),
        say("the teacher of the deaf or the audiology team, and the school nurse"),
        on_card=say("never close to an ear; let it be seen before it is heard."),
    ),
    Caution(
        "one each",
        say(
            "What one pupil has had at the mouth, nose or eyes goes to nobody else: one for each "
            "pupil, with the name on its bag, washed or thrown away after."
        ),
        say("the school nurse"),
        called=say("one for each pupil"),
        on_card=say("never share it; wash it or throw it away afterwards."),
    ),
)
CAUTIONS = {caution.name: caution for caution in PROP_CAUTIONS}
"""By the word in the story file."""


def title_of(name: str) -> str:
    """What a caution is called on paper; one that isn't known as written."""
    return CAUTIONS[name].title if name in CAUTIONS else name
