"""What commands have in common to say: findings, and why nothing could be saved."""

import sys
from typing import TYPE_CHECKING, Any

from tapscore.cli.terminal import as_json
from tapscore.disc.reasons import reason
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from pathlib import Path

    from tapscore.model.finding import Finding
    from tapscore.model.story import Story
    from tapscore.workflow.open_story import OpenedStory


def show_findings(opened: "OpenedStory", form: str = "text", *, err: bool = False) -> None:
    """Print the findings of a story, or that there are none."""
    if form == "json":
        _tell(as_json(_as_data(opened)))
        return
    name = opened.path.name
    for finding in opened.findings:
        place = f"{name}:{finding.span.line}:{finding.span.column}" if finding.span else name
        _tell(f"{place}: {finding.severity.words} [{finding.code}]", err=err)
        _tell(f"    {finding.message}", err=err)
        _tell(f"    {finding.remedy}", err=err)
    if opened.story is not None:
        _tell(_summary(opened), err=err)


def _tell(text: str, *, err: bool = False) -> None:
    print(text, file=sys.stderr if err else sys.stdout)


def show_accepted(opened: "OpenedStory") -> None:
    """Print what was found and is accepted, each with its reason."""
    for each in opened.accepted:
        _tell(say("accepted [{code}] because: {why}", code=each.finding.code, why=each.why))
        _tell(f"    {each.finding.message}")


def is_saved(file: "Path", text: str, story: "Story | None" = None) -> bool:
    """Save a new story's text; where that can't be, say why.  ``story`` as in ``save_story``."""
    from tapscore.workflow.keeping.save_story import (
        ChangedSinceError,
        NotSavedError,
        Seen,
        save_story,
    )

    try:
        save_story(file, text, story, seen=Seen(None))
    except ChangedSinceError:  # somebody made one of the name while this one was made
        _tell(say("{out} is already there. Choose another name.", out=file), err=True)
        return False
    except (OSError, NotSavedError) as error:
        _tell(
            say(
                "{file} can't be written: {reason}. Choose another folder.",
                file=file,
                reason=reason(error),
            ),
            err=True,
        )
        return False
    return True


def _summary(opened: "OpenedStory") -> str:
    name, kept = opened.path.name, ""
    if opened.accepted:
        kept = " " + say("{count} accepted.", count=len(opened.accepted))
    if not opened.findings:
        return say("{name}: nothing to mend.", name=name) + kept
    from tapscore.model.finding import Severity

    counts = [
        (sum(f.severity is severity for f in opened.findings), severity.words)
        for severity in Severity
    ]
    listed = ", ".join(f"{n} {word}" for n, word in counts if n)
    return f"{name}: {listed}.{kept}"


def _as_data(opened: "OpenedStory") -> dict[str, Any]:
    accepted = [{**_finding_data(each.finding), "why": each.why} for each in opened.accepted]
    return {
        "file": str(opened.path),
        "readable": opened.story is not None,
        "findings": [_finding_data(finding) for finding in opened.findings],
        **({"accepted": accepted} if accepted else {}),
    }


def _finding_data(finding: "Finding") -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "line": finding.span.line if finding.span else None,
        "column": finding.span.column if finding.span else None,
        "path": list(finding.path),
        "message": finding.message,
        "remedy": finding.remedy,
        "about": finding.about.as_plain(),
    }
