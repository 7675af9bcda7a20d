"""Names a line's ``areas`` may have, exactly as they are published for England."""

EYFS_AREAS = (
    "Communication and Language",
    "Physical Development",
    "Personal, Social and Emotional Development",
    "Literacy",
    "Mathematics",
    "Understanding the World",
    "Expressive Arts and Design",
)
"""The seven areas of learning of the early years foundation stage; the first three are prime."""
PRIME_AREAS = EYFS_AREAS[:3]
ENGAGEMENT_AREAS = ("exploration", "realisation", "anticipation", "persistence", "initiation")
"""The five areas of the engagement model: they stand side by side and are no ladder."""
AREAS = (*EYFS_AREAS, *ENGAGEMENT_AREAS)
MOST_AREAS_A_LINE = 2
