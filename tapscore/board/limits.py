"""What the model leaves out and how far it may be out, in sentences for the teacher."""

from tapscore.board.words import MODEL_SENTENCE
from tapscore.wording.catalogue import say

LIMITS = (
    MODEL_SENTENCE,
    say(
        "It compares taps on one board with one another and says nothing of what a child will feel."
    ),
    say("Nothing in it was checked against a real board: tap, look and listen yourself."),
    say("If the board touches the floor under a pupil, the map is void."),
    say(
        "The way the grain runs changes the map more than anything but the pupils: make sure of it."
    ),
    say(
        "Spots 6 to 9 dB apart come in the right order about nine times in ten within the model, "
        "spots within 2 dB about two times in three; in a real hall it does worse."
    ),
    say(
        "Carpet under the strips, hands that rest on the board and corners that lift are left out."
    ),
    say(
        "What is felt below about 50 Hz depends on the floor and on how bodies lie, and is "
        "uncertain."
    ),
    say(
        "Bodies are taken as the oldest pupil's by a table of children (five years if not "
        "said); how they give way comes from adults."
    ),
)
"""The figures on order are from trying the model with its own figures varied."""
