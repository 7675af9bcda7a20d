"""Stories are shown while others are still looked into."""

import threading
from pathlib import Path
from typing import Any

import pytest

from tapscore.cli import stories
from tapscore.workflow.known_story import KnownStory
from tapscore.workflow.my_stories import StoryList


def test_the_newest_are_shown_before_the_rest_is_worked_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    new, old = (
        KnownStory(tmp_path / f"{title}.yaml", title, changed_sec=sec, known=True)
        for title, sec in (("New", 2e9), ("Old", 1e9))
    )
    unknown = KnownStory(old.path, "Old", changed_sec=old.changed_sec)
    seen = threading.Event()
    monkeypatch.setattr(stories, "_show", shown := _Shown(seen))

    def slowly(folder: Path, *, so_far: Any, every_sec: float) -> StoryList:
        so_far(StoryList(folder, (new, unknown)))
        so_far(StoryList(folder, (new, unknown)))
        assert seen.wait(20), "nothing was shown before all was worked out"
        return StoryList(folder, (new, old))

    monkeypatch.setattr(stories, "stories_in", slowly)
    assert stories.run_stories(tmp_path, "", "text") == 0
    assert shown.stories == [new, old]
    assert capsys.readouterr().out == ""


class _Shown:
    def __init__(self, seen: threading.Event) -> None:
        self.stories: list[KnownStory] = []
        self._seen = seen

    def __call__(self, folder: Path, story: KnownStory) -> None:
        self.stories.append(story)
        self._seen.set()
