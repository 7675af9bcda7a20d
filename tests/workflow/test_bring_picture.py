"""A picture is brought beside the story once, and never over another."""

from pathlib import Path

import pytest
from PIL import Image

from tapscore.model.story import Story
from tapscore.workflow.belongings import bring_along
from tapscore.workflow.bring_picture import PictureUnusableError, bring_picture, pictures_beside
from tests.exports.test_photo_data import SECRETS, photo


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


def test_a_photo_is_brought_without_where_and_when_it_was_taken(tmp_path: Path) -> None:
    (tmp_path / "phone").mkdir()
    for kind, name in (("JPEG", "a.jpg"), ("PNG", "b.png"), ("HEIF", "c.heic")):
        source = tmp_path / "phone" / name
        source.write_bytes(photo(kind))
        story = tmp_path / "story.yaml"
        assert bring_picture(source, story) == name
        data = (tmp_path / name).read_bytes()
        assert not any(secret in data for secret in SECRETS)
        assert bring_picture(source, story) == name, "it is known again"
        assert source.read_bytes() == photo(kind), "the phone's own stays"


def test_pictures_come_along_without_where_and_when(tmp_path: Path) -> None:
    (tmp_path / "cover.jpg").write_bytes(photo("JPEG"))
    (tmp_path / "next").mkdir()
    story = Story(title="The Mill", picture="cover.jpg")
    source, target = tmp_path / "mill.yaml", tmp_path / "next" / "mill.yaml"
    (said,) = bring_along(source, target, story)
    assert said == "Copied the picture cover.jpg, without where and when it was taken."
    data = (tmp_path / "next" / "cover.jpg").read_bytes()
    assert not any(secret in data for secret in SECRETS)
    assert bring_along(source, target, story) == ("The picture cover.jpg is there already.",)
    (tmp_path / "next" / "cover.jpg").unlink()
    (tmp_path / "cover.jpg").write_bytes(photo("JPEG")[:300])
    (said,) = bring_along(source, target, story)
    assert "was not copied: it is damaged" in said
    assert not (tmp_path / "next" / "cover.jpg").exists()
    (tmp_path / "cover.jpg").write_text("no picture", encoding="utf-8")
    (said,) = bring_along(source, target, story)
    assert said == "Copied cover.jpg. The picture cover.jpg can't be read."
