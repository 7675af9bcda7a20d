"""A picture is brought beside the story once, and never over another."""

from pathlib import Path

import pytest
from PIL import Image

from tapscore.workflow.bring_picture import PictureUnusableError, bring_picture, pictures_beside


def saved(folder: Path, name: str, colour: str) -> Path:
    folder.mkdir(exist_ok=True)
    Image.new("RGB", (20, 10), colour).save(folder / name)
    return folder / name


def test_a_picture_is_copied_once_and_another_of_its_name_is_numbered(tmp_path: Path) -> None:
    story = tmp_path / "story.yaml"
    teal = saved(tmp_path / "phone", "Größe 1.png", "teal")
    assert bring_picture(teal, story) == "Größe 1.png"
    assert (tmp_path / "Größe 1.png").read_bytes() == teal.read_bytes()
    assert bring_picture(teal, story) == "Größe 1.png"
    assert bring_picture(tmp_path / "Größe 1.png", story) == "Größe 1.png"
    plum = saved(tmp_path / "phone", "Größe 1.png", "purple")
    assert bring_picture(plum, story) == "Größe 1 2.png"
    assert pictures_beside(story) == ("Größe 1 2.png", "Größe 1.png")
    assert pictures_beside(None) == ()
    assert pictures_beside(tmp_path / "gone" / "story.yaml") == ()


def test_what_is_no_picture_is_not_brought(tmp_path: Path) -> None:
    words = tmp_path / "words.jpg"
    words.write_text("no picture", encoding="utf-8")
    story = tmp_path / "here" / "story.yaml"
    story.parent.mkdir()
    with pytest.raises(PictureUnusableError, match="can't be read"):
        bring_picture(words, story)
    assert list(story.parent.iterdir()) == []
