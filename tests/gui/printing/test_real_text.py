"""Print with real text in it, and the command by which CUPS is given it."""

import os
import time
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tapscore.exports.paper.large_words import large_words
from tapscore.gui.printing.real_text import (
    HandOver,
    PagesTogether,
    begin_to_hand_over,
    can_hand_over,
)
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample


def words() -> bytes:
    return large_words(sample(), perform(sample()), paper="A5").pdf


def test_pages_put_together_keep_their_words_and_their_real_size() -> None:
    pdf = words()
    whole = PagesTogether()
    whole.add(pdf, 0, (148.0, 210.0))
    whole.add(pdf, 0, (210.0, 297.0))
    same_size, in_the_middle = PdfReader(BytesIO(whole.pdf())).pages
    assert "Out on the water" in same_size.extract_text()
    assert "Out on the water" in in_the_middle.extract_text()
    # ISO 216: A4 is 210 by 297 mm.
    assert float(in_the_middle.mediabox.width) / 72 * 25.4 == pytest.approx(210, abs=0.1)
    places = [_first_place(page) for page in (same_size, in_the_middle)]
    moved = [(b - a) / 72 * 25.4 for a, b in zip(*places, strict=True)]
    assert moved == pytest.approx([31.0, 43.5], abs=0.3)


def _first_place(page: object) -> tuple[float, float]:
    found: list[tuple[float, float]] = []

    def seen(text: str, matrix: list[float], place: list[float], *_: object) -> None:
        if text.strip():
            found.append((place[4] * matrix[0] + matrix[4], place[5] * matrix[3] + matrix[5]))

    page.extract_text(visitor_text=seen)  # type: ignore[attr-defined]
    return found[0]


HOW = HandOver(
    "office", "The Lantern Boat", (420.0, 297.0), 2, False, "two-sided-long-edge", (("tray", "2"),)
)


def test_the_command_says_all_that_was_chosen() -> None:
    said = HOW.command(Path("boat.pdf"))
    assert said[:7] == ["lp", "-d", "office", "-n", "2", "-t", "The Lantern Boat"]
    options = {said[at + 1] for at, word in enumerate(said) if word == "-o"}
    assert options == {
        "media=Custom.297x420mm",
        "tray=2",
        "sides=two-sided-long-edge",
        "collate=false",
        "print-scaling=none",
    }
    assert said[-2:] == ["--", "boat.pdf"]


@pytest.mark.skipif(os.name != "posix", reason="a script stands for the command")
@pytest.mark.parametrize(("code", "why"), [(0, ""), (1, "no such printer")])
def test_a_file_is_given_and_a_refusal_comes_back(
    code: int, why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script = tmp_path / "lp"
    script.write_text(f"#!/bin/sh\nfor last; do :; done\ncp \"$last\" '{tmp_path}/got.pdf'\n"
                      f"echo '{why}' >&2\nexit {code}\n", encoding="utf-8")  # fmt: skip
    script.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:{os.environ['PATH']}")
    assert can_hand_over()
    file = tmp_path / "boat.pdf"
    file.write_bytes(words())
    taking = begin_to_hand_over(HOW, file)
    while taking.poll() is None:
        time.sleep(0.01)
    assert taking.returncode == code
    assert taking.stderr is not None
    assert taking.stderr.read().strip() == why
    taking.stderr.close()
    assert (tmp_path / "got.pdf").read_bytes() == file.read_bytes()
