"""Settings for all tests; shared helpers are imported as ``tests.strategies``."""

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("tapscore", deadline=None, suppress_health_check=[HealthCheck.too_slow])
# The same examples at every run of CI; new ones at a developer's.
settings.register_profile("ci", settings.get_profile("tapscore"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "tapscore")


# Whatever the computer speaks: the system's own words for errors, commas in numbers.
os.environ["LC_ALL"] = "C.UTF-8"
os.environ.pop("LANGUAGE", None)
# Whatever printers the computer has.
os.environ["CUPS_SERVER"] = "/no/such/socket"


MAY_BE_SKIPPED = {
    "tests/exports/written/test_documents.py": "LibreOffice is half a gigabyte, for one DOCX",
    "tests/disc/test_whole.py::test_attributes_stay": "some discs keep no attributes",
    "tests/gui/sound/test_pulse.py": "a sound server can't run everywhere",
    "tests/workflow/test_recording_lines.py": "which sounds ffmpeg can write differs by its build",
}
"""Tests, or files of tests, that CI may leave out, and why; any other one skipped fails it."""
_left_out: list[str] = []


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Note what CI did not do; under xdist the reports come together in the first process."""
    known = report.nodeid.startswith(tuple(MAY_BE_SKIPPED))
    if report.skipped and not hasattr(report, "wasxfail") and not known:
        _left_out.append(f"{report.nodeid}: {report.longrepr}")


def pytest_collectreport(report: pytest.CollectReport) -> None:
    """A whole file that was left out while tests were looked for."""
    if report.skipped and not report.nodeid.startswith(tuple(MAY_BE_SKIPPED)):
        _left_out.append(f"{report.nodeid}: {report.longrepr}")


def pytest_sessionfinish(session: pytest.Session) -> None:
    """CI says what it did not do, and fails for it."""
    if os.environ.get("CI") and _left_out and session.exitstatus in (0, 5):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """List what was left out without leave."""
    if os.environ.get("CI") and _left_out:
        terminalreporter.section("left out, and not among MAY_BE_SKIPPED (tests/conftest.py)")
        for said in _left_out:
            terminalreporter.line(said)


def pytest_collection_finish() -> None:
    """What is loaded by now stays: a full collection, a second each else, leaves it out."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def data_folder() -> Path:
    """The public-domain rhymes and other story files that tests read."""
    return Path(__file__).parent / "data"


@pytest.fixture(scope="session")
def demo_path() -> Path:
    """A story that comes with the program."""
    from tapscore.resources import demo_stories

    return next(path for path in demo_stories() if path.name == "the-lantern-boat.yaml")


@pytest.fixture(autouse=True)
def _collected_between_tests() -> Iterator[None]:
    """Cycles are looked for between tests alone, as the window does it from its own timer.

    A collection that begins while Qt destroys something destroys more of its objects under the
    same lock, and waits for ever; in a worker's thread it crashes.  Commands that were begun in
    the test before may have had Python collect by itself.
    """
    gc.disable()
    yield
    gc.disable()
    limits = gc.get_threshold()
    for generation in (2, 1, 0):
        if gc.get_count()[generation] > limits[generation]:
            gc.collect(generation)
            break


@pytest.fixture(autouse=True, scope="session")
def _own_caches(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keeps arrays, spoken lines, kept versions and notes of papers out of the user's folders."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TAPSCORE_BOARD_CACHE", str(tmp_path_factory.mktemp("board-cache")))
        patch.setenv("TAPSCORE_VERSIONS", str(tmp_path_factory.mktemp("versions")))
        patch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        patch.setenv("TAPSCORE_VOICE_CACHE", str(tmp_path_factory.mktemp("voice-cache")))
        yield
