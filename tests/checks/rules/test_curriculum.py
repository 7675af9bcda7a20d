"""Names of the curriculum as they are published."""

from tapscore.model.curriculum import AREAS, ENGAGEMENT_AREAS, EYFS_AREAS, PRIME_AREAS


def test_eyfs_areas_of_learning() -> None:
    """Statutory framework for the early years foundation stage (DfE), areas of learning."""
    assert list(PRIME_AREAS) == [
        "Communication and Language",
        "Physical Development",
        "Personal, Social and Emotional Development",
    ]
    assert list(EYFS_AREAS[3:]) == [
        "Literacy",
        "Mathematics",
        "Understanding the World",
        "Expressive Arts and Design",
    ]


def test_engagement_model() -> None:
    """The engagement model (DfE), five areas of engagement."""
    assert sorted(ENGAGEMENT_AREAS) == [
        "anticipation",
        "exploration",
        "initiation",
        "persistence",
        "realisation",
    ]
    assert len(AREAS) == len(set(AREAS)) == 12
