"""music21 counts the same in a process of its own, which leaves nothing here."""

import subprocess
import sys
from typing import Any

import pytest

from tapscore.model.story import Story
from tapscore.resources import demo_stories
from tapscore.rhythm import theory, theory_apart
from tapscore.rhythm.metre_opinion import ask_ahead, differences
from tapscore.storyfile.read import read_file, read_text

WRONG_BAR = (
    "tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n"
    '      - words: Row the lan-tern home\n        lane: "| X . x X . x . | X . . . . . |"\n'
    "      - wait: 10\n"
    '      - words: the wind\n        lane: "x | X . . (x x) . . |"\n'
)


def _stories() -> list[Story]:
    read = [read_text(WRONG_BAR), *map(read_file, demo_stories())]
    return [each.story for each in read if each.story is not None]


@pytest.fixture
def apart(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Whether it was counted here or in another process, each time."""
    said: list[str] = []

    def here(asked: theory.Asked) -> theory.Counted:
        said.append("here")
        return theory.count(asked)

    started = subprocess.Popen

    def there(*words: Any, **how: Any) -> Any:
        said.append("apart")
        return started(*words, **how)

    monkeypatch.setattr(theory_apart, "_loaded", lambda: False)
    monkeypatch.setattr(theory_apart, "theory", _Theory(here))
    monkeypatch.setattr(subprocess, "Popen", there)
    theory_apart.counted.cache_clear()
    return said


class _Theory:
    __name__ = theory.__name__

    def __init__(self, count: Any) -> None:
        self.count = count


@pytest.mark.parametrize("ahead", [False, True])
def test_another_process_counts_as_this_one(apart: list[str], ahead: bool) -> None:
    for story in _stories()[:2]:
        theory_apart.counted.cache_clear()
        if ahead:
            ask_ahead(story)
            ask_ahead(story)
        found = list(differences(story))
        assert apart == ["apart"]
        apart.clear()
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(theory_apart, "_loaded", lambda: True)
            theory_apart.counted.cache_clear()
            assert list(differences(story)) == found
        assert apart == ["here"]
        apart.clear()


def test_where_no_process_can_be_had_it_is_counted_here(
    apart: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    story = _stories()[0]
    wanted = list(differences(story))
    assert wanted
    theory_apart.counted.cache_clear()
    monkeypatch.setattr(sys, "executable", "/no/such/program")
    assert list(differences(story)) == wanted
    assert apart == ["apart", "apart", "here"]


def test_a_process_that_fails_is_done_without(
    apart: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    story = _stories()[0]
    monkeypatch.setattr(theory_apart, "packed", lambda: True)  # python knows no such option
    assert list(differences(story))
    assert apart == ["apart", "here"]


def test_an_opinion_loads_no_music21() -> None:
    code = (
        "import sys\nfrom tapscore.rhythm.metre_opinion import differences\n"
        "from tapscore.storyfile.read import read_text\n"
        f"assert list(differences(read_text({WRONG_BAR!r}).story))\n"
        "print('music21' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
