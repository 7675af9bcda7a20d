"""What to remember about pupils and the place, and whom to ask.  It reminds and never clears."""

from tapscore.model.cautions import Caution
from tapscore.wording.catalogue import say

PUPIL_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        say("startle"),
        say(
            "What comes unexpectedly startles, not only what is loud: warn first, build up, hide "
            "no accent."
        ),
        say("the school nurse, the neurology team and the physiotherapist"),
    ),
    Caution(
        say("seizure"),
        say("Stop tapping at once and follow the pupil's own plan."),
        say("the school nurse"),
    ),
    Caution(
        say("infantile spasms and reflex seizures"),
        say(
            "A touch, a tap or a sound that isn't expected can itself bring on a seizure, and a "
            "spasm can look like a startle or a smile: know which of them this pupil has."
        ),
        say("the neurology team and the school nurse"),
    ),
    Caution(
        say("tracheostomy"),
        say(
            "Nothing that floats, sheds or sprays comes near, nothing covers the neck, and the "
            "pupil's voice may be a breath: look for other answers."
        ),
        say("the school nurse and the respiratory team"),
    ),
    Caution(
        say("oxygen and suction"),
        say(
            "Oxygen means no flame, no spark and no grease close by; suction needs its trained "
            "adult, its machine and its lead within reach, on the same side all the time."
        ),
        say("the school nurse and the respiratory team"),
    ),
    Caution(
        say("pump or stimulator that is implanted"),
        say(
            "Vibration and magnets can disturb pumps for medicine, nerve stimulators and "
            "pacemakers, and nobody lies or leans on one."
        ),
        say("the team that looks after the implant, and the school nurse"),
    ),
    Caution(
        say("shunt"),
        say(
            "Magnets can change programmable valves; ask about vibration too, and about lying on "
            "that side."
        ),
        say("the neurosurgery team and the school nurse"),
    ),
    Caution(
        say("hearing aid or cochlear implant"),
        say(
            "Hearing aids can whistle close to a surface; static electricity can disturb "
            "implants; and without them on a warning by voice isn't heard."
        ),
        say("the teacher of the deaf or the audiology team"),
    ),
    Caution(
        say("low vision"),
        say(
            "Contrast, place and light decide what can be seen; what comes from the blind side "
            "comes without warning."
        ),
        say("the qualified teacher of children with vision impairment"),
    ),
    Caution(
        say("hearing and vision both"),
        say(
            "A pupil who is deafblind needs each thing told by touch, by one known hand, before "
            "it happens, and more time between."
        ),
        say("the teacher of children with multi-sensory impairment"),
    ),
    Caution(
        say("fragile bones"),
        say("No knocks close by, and nobody pulls an arm or a leg."),
        say("the physiotherapist"),
    ),
    Caution(
        say("spine, hips and recent surgery"),
        say(
            "How a pupil may lie or sit, and whether the board's movement is wanted at all, may "
            "have changed since the last time."
        ),
        say("the physiotherapist and the surgical team"),
    ),
    Caution(
        say("lying, lifting, tube feeding"),
        say(
            "Each pupil's own plan says how they lie, are lifted and are fed, and when; a hoist "
            "is never worked by fewer than two adults."
        ),
        say(
            "the physiotherapist, the occupational therapist, the moving-and-handling lead and "
            "the school nurse"
        ),
    ),
    Caution(
        say("pressure care"),
        say(
            "Ply is hard. How long a pupil may lie on it, on what, and who turns them when, "
            "stands in the pupil's plan; look at the skin afterwards."
        ),
        say("the school nurse and the physiotherapist"),
    ),
    Caution(
        say("temperature and sensation"),
        say(
            "Lying still near the floor chills, and skin that feels little doesn't complain of "
            "cold, heat or an edge."
        ),
        say("the school nurse and the physiotherapist"),
    ),
    Caution(
        say("reflux after feeds"),
        say(
            "Lying flat, being rocked or tapped soon after a feed can bring it up: how long to "
            "wait, and how high the head is, stands in the pupil's plan."
        ),
        say("the school nurse, and the speech and language therapist, with the mealtime plan"),
    ),
    Caution(
        say("eating and drinking"),
        say(
            "Nothing goes to the mouth that isn't in the mealtime plan, and what goes there "
            "anyway is told to the adult in charge."
        ),
        say("the speech and language therapist, with the mealtime plan"),
    ),
    Caution(
        say("self-injury"),
        say(
            "Know what comes before it and what it says; move the board's edge and hard props "
            "away, stop, and follow the pupil's own plan."
        ),
        say("those who wrote the pupil's behaviour support plan"),
    ),
    Caution(
        say("touch that is too much"),
        say(
            "Some pupils can't bear to be touched lightly or by surprise: firm, slow, told "
            "before, by their own hand where they can, and never held there."
        ),
        say("the occupational therapist"),
    ),
)
PLACE_CAUTIONS: tuple[Caution, ...] = (
    Caution(say("hygiene"), say("Clean board and props between pupils."), say("the school nurse")),
    Caution(
        say("fingers in the gap"),
        say(
            "Fingers and toes get under a sheet that sinks: look along every edge before anybody "
            "sits down on it, and stand nobody on it."
        ),
        say("whoever is responsible for health and safety at school"),
    ),
    Caution(
        say("edge to trip over"),
        say(
            "A raised sheet is an edge that a foot, a frame or a wheel catches on: mark it, and "
            "keep the way out free of it, of leads and of props."
        ),
        say("whoever is responsible for health and safety at school"),
    ),
    Caution(
        say("on to the board and off"),
        say(
            "To lift a child to the floor and up again is moving and handling: with a hoist and "
            "two adults at least, or as the pupil's plan says, and never in a hurry."
        ),
        say("the moving-and-handling lead"),
        say("Manual Handling Operations Regulations 1992: avoid it, or assess and reduce it"),
    ),
    Caution(
        say("plywood"),
        say("Edges sanded, surface sealed, screws sunk; look at it each time before it is used."),
        say("the site staff"),
    ),
    Caution(
        say("noise"),
        say(
            "Figures for staff at work (action at 80 and 85 dB(A), limit 87) are no limits for "
            "children. Nobody has published how loud a hand on a board is: have it measured."
        ),
        say("whoever is responsible for health and safety, and the audiology team"),
        say("Control of Noise at Work Regulations 2005"),
    ),
    Caution(
        say("coming away"),
        say("Everybody may come away from the board at any time, and that is an answer too."),
        say("those who know the pupil best"),
    ),
)
OUTDOOR_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        say("wind"),
        say(
            "Light things fly at faces and into eyes, words are carried off, and a hearing aid "
            "hears little else: sit close with backs to it, hold what is light, and warn by touch "
            "and sight."
        ),
        say("the teacher of the deaf or the audiology team, and whoever leads the outing"),
    ),
    Caution(
        say("sun"),
        say(
            "Shade first: eyes that can't turn away are not put towards it, some medicines make "
            "skin burn sooner, and metal, slides and dark boards grow hot: feel them with your "
            "own wrist."
        ),
        say(
            "the school nurse, with the school's policy on sun and sunscreen, and the qualified "
            "teacher of children with vision impairment"
        ),
    ),
    Caution(
        say("wet"),
        say(
            "Wet wood, grass and leaves are slippery, damp clothes chill, and aids, pumps and "
            "switches don't bear rain: dry hands, seats and props, and know the way in."
        ),
        say("the school nurse, and whoever is responsible for health and safety at school"),
    ),
    Caution(
        say("cold"),
        say(
            "A pupil who moves little grows cold long before an adult does, says nothing of it, "
            "and stiffens: cover first, keep it short, look at hands and colour, and go in early."
        ),
        say("the school nurse and the physiotherapist"),
    ),
    Caution(
        say("ground and growth"),
        say(
            "What lies on the ground goes to mouths; insects sting, and some plants prick or "
            "poison: look over the place before anybody sits down."
        ),
        say("the school nurse and whoever is responsible for health and safety at school"),
    ),
    Caution(
        say("far from the room"),
        say(
            "Rescue medicines, suction and a telephone come along, with the adult who may use "
            "them, and the way back is free for a chair."
        ),
        say("the school nurse, and whoever leads the outing"),
    ),
)
DEFERS = say(
    "These are reminders. They don't replace your school's policy, a pupil's own plan, "
    "or the people named. Nothing here says that something is safe for anybody."
)
