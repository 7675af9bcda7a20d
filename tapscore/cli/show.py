"""Findings as text or JSON."""

import json
from typing import Any

import click

from tapscore.model.finding import Finding, Severity
from tapscore.workflow.open_story import OpenedStory


def show_findings(opened: OpenedStory, form: str = "text", *, err: bool = False) -> None:
    """Print the findings of a story, or that there are none."""
    if form == "json":
        click.echo(json.dumps(_as_data(opened), ensure_ascii=False, indent=2))
        return
    name = opened.path.name
    for finding in opened.findings:
        place = f"{name}:{finding.span.line}:{finding.span.column}" if finding.span else name
        click.echo(f"{place}: {finding.severity.value} [{finding.code}]", err=err)
        click.echo(f"    {finding.message}", err=err)
        click.echo(f"    {finding.remedy}", err=err)
    if opened.story is not None:
        click.echo(_summary(opened), err=err)


def _summary(opened: OpenedStory) -> str:
    if not opened.findings:
        return f"{opened.path.name}: nothing to mend."
    counts = [
        (sum(f.severity is severity for f in opened.findings), severity.value)
        for severity in Severity
    ]
    return f"{opened.path.name}: " + ", ".join(f"{n} {word}" for n, word in counts if n) + "."


def _as_data(opened: OpenedStory) -> dict[str, Any]:
    return {
        "file": str(opened.path),
        "readable": opened.story is not None,
        "findings": [_finding_data(finding) for finding in opened.findings],
    }


def _finding_data(finding: Finding) -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "line": finding.span.line if finding.span else None,
        "column": finding.span.column if finding.span else None,
        "path": list(finding.path),
        "message": finding.message,
        "remedy": finding.remedy,
    }
