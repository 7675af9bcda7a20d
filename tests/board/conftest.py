"""Every test of the board keeps its arrays in a folder of its own."""

from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True, scope="session")
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TAPSCORE_BOARD_CACHE", str(tmp_path_factory.mktemp("board-cache")))
        yield
