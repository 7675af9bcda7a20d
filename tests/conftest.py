"""Settings for all tests; shared helpers are imported as ``tests.strategies``."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("tapscore", deadline=None, suppress_health_check=[HealthCheck.too_slow])
# The same examples at every run of CI; new ones at a developer's.
settings.register_profile("ci", settings.get_profile("tapscore"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "tapscore")


@pytest.fixture(scope="session")
def data_folder() -> Path:
    """The public-domain rhymes and other story files that tests read."""
    return Path(__file__).parent / "data"


@pytest.fixture(scope="session")
def demo_path() -> Path:
    """A story that comes with the program."""
    from tapscore.resources import demo_stories

    return next(path for path in demo_stories() if path.name == "the-lantern-boat.yaml")


@pytest.fixture(autouse=True, scope="session")
def _own_caches(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keeps the board's arrays, spoken lines and kept versions out of the user's folders."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TAPSCORE_BOARD_CACHE", str(tmp_path_factory.mktemp("board-cache")))
        patch.setenv("TAPSCORE_VERSIONS", str(tmp_path_factory.mktemp("versions")))
        patch.setenv("TAPSCORE_VOICE_CACHE", str(tmp_path_factory.mktemp("voice-cache")))
        yield
