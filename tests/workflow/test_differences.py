"""Two versions of a story file side by side."""

from tapscore.workflow.differences import MOST, differences


def test_says_whose_line_it_is() -> None:
    said = differences("a\nb\nc\n", "a\nB\nc\nd\n")
    assert said.splitlines() == [
        "yours, line 2: b",
        "the file's, line 2: B",
        "the file's, line 4: d",
    ]


def test_same_and_many() -> None:
    assert differences("a\n", "a\n") == "They say the same."
    said = differences("", "\n".join(str(n) for n in range(50)))
    assert len(said.splitlines()) == MOST + 1
    assert said.endswith("... and 34 more lines")
