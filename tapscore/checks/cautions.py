"""Hazards that the words of a prop suggest."""

from collections.abc import Iterator

from tapscore.checks.hazard_words import hazards_in
from tapscore.model.story import Prop


def prop_hazards(prop: Prop) -> Iterator[tuple[str, str, str]]:
    """Hazards that a prop suggests: name, the word that does, and the key it stands under."""
    said = set()
    for key, text in (
        ("what", f"{prop.name} | {prop.what}"),
        ("instead", prop.instead or ""),
        ("outdoors", prop.outdoors or ""),
    ):
        for hazard, word in hazards_in(text):
            if hazard not in said:
                said.add(hazard)
                yield hazard, word, key
