"""The commands ``adapt`` and ``timing --fit`` as a teacher runs them."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tapscore.cli.app import main
from tapscore.storyfile.read import read_file
from tapscore.workflow.adapt import BOUNDS, CopyWay


def _run(*args: str | Path) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


@pytest.mark.parametrize("way", CopyWay, ids=lambda way: way.value)
def test_adapt(demo_path: Path, tmp_path: Path, way: CopyWay) -> None:
    out = tmp_path / "copy.yaml"
    result = _run("adapt", demo_path, out, f"--{way.value}")
    assert result.exit_code == 0, result.output
    assert BOUNDS[way] in result.output
    assert f"  The story: is called “The Lantern Boat ({way.value})”" in result.output
    copy = read_file(out)
    assert copy.findings == ()
    assert copy.story is not None
    assert copy.story.title == f"The Lantern Boat ({way.value})"
    assert _run("check", out).exit_code == 0


def test_adapt_asks_for_one_way(demo_path: Path, tmp_path: Path) -> None:
    for ways in ((), ("--gentler", "--short")):
        result = _run("adapt", demo_path, tmp_path / "copy.yaml", *ways)
        assert result.exit_code == 2
        assert "--gentler, --livelier or --short" in result.output
        assert not (tmp_path / "copy.yaml").exists()


def test_adapt_replaces_nothing(demo_path: Path, tmp_path: Path) -> None:
    out = tmp_path / "copy.yaml"
    out.write_text("mine", encoding="utf-8")
    result = _run("adapt", demo_path, out, "--gentler")
    assert result.exit_code == 1
    assert "already there" in result.output
    assert out.read_text(encoding="utf-8") == "mine"


def test_adapt_needs_a_story(tmp_path: Path) -> None:
    result = _run("adapt", tmp_path / "none.yaml", tmp_path / "copy.yaml", "--short")
    assert result.exit_code == 2


def test_timing_says_at_least_and_likely(demo_path: Path) -> None:
    result = _run("timing", demo_path)
    assert result.exit_code == 0
    assert result.output.startswith("The Lantern Boat: 2:37 at least, likely ")
    assert "with setting up and coming down 34 to 53 minutes in all" in result.output
    assert "Likely means: " in result.output
    assert "To fit" not in result.output


def test_timing_fits(demo_path: Path) -> None:
    roomy = _run("timing", demo_path, "--fit", "30").output
    assert "likely fits 30 minutes as it is" in roomy
    assert "  20 seconds or more for 3 waits: then likely " in roomy
    assert "  another return of the refrain in “Evening”: then likely " in roomy
    result = _run("timing", demo_path, "--fit", "7")
    assert result.exit_code == 0
    assert "To fit 7 minutes:" in result.output
    assert "turns of 20 seconds with “beads” instead of 30: saves up to " in result.output
    assert "Then it likely fits." in result.output
    result = _run("timing", demo_path, "--fit", "0.5")
    assert result.exit_code == 1
    assert "likely does not fit" in result.output


def test_accepted_findings_are_counted_and_listed(tmp_path: Path) -> None:
    path = tmp_path / "story.yaml"
    path.write_text(
        "tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n"
        '      - words: Crash went the wave\n        lane: "| X x x X . . |"\n'
        "        loudness: loud\naccepted:\n  - finding: warn-before-loud\n"
        "    where: crash went the wave\n    why: we all wait for it\n",
        encoding="utf-8",
    )
    result = _run("check", path)
    assert result.exit_code == 0
    assert result.output == "story.yaml: nothing to mend. 1 accepted.\n"
    listed = _run("check", path, "--accepted").output
    assert "accepted [warn-before-loud] because: we all wait for it" in listed
    data = json.loads(_run("check", path, "--format", "json").output)
    assert [(each["code"], each["why"]) for each in data["accepted"]] == [
        ("warn-before-loud", "we all wait for it")
    ]


def test_a_story_with_gaps(tmp_path: Path) -> None:
    path = tmp_path / "train.yaml"
    run = CliRunner().invoke
    made = run(main, ["new", str(path), "--starter", "journey", "--fill", "ride=old train"])
    assert made.exit_code == 0, made.output
    assert "still ours: Where do we go? Now “sea”." in made.output
    assert "old train is wait-ing" in path.read_text(encoding="utf-8")
    assert run(main, ["check", str(path)]).exit_code == 0
    unknown = run(main, ["new", str(tmp_path / "x.yaml"), "--starter", "party"])
    assert unknown.exit_code == 1
    assert "going-to-sleep: “Off to Sleep”" in unknown.output
    assert run(main, ["new", str(tmp_path / "x.yaml")]).exit_code == 2
    bad = run(main, ["new", str(tmp_path / "x.yaml"), "--starter", "meal", "--fill", "food=7"])
    assert bad.exit_code == 1
    assert "letters alone" in bad.output
    assert not (tmp_path / "x.yaml").exists()
