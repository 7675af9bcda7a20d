"""Runs rules over a story, and keeps what they found in lines that stay the same.

What is kept is found again by the line's facts, which two equal lines share; a line moved,
numbered anew or read again from the file costs nothing, and a changed one costs only itself
and the line after it.
"""

from collections.abc import Callable, Hashable, Iterator
from functools import partial

from attrs import field, frozen

from tapscore.checks.facts import HeardLine, LineFacts
from tapscore.checks.rule import EachLine, EachPair, Found, Rule, Scene, pairs, placed
from tapscore.checks.setting import Setting
from tapscore.model.finding import Finding, Severity
from tapscore.wording.about import About

_KEPT, _TABLES_KEPT = 8192, 8


@frozen(eq=False)
class _Result:
    """What rules found in one line, and those that broke on it."""

    found: tuple[tuple[Rule, Found], ...]
    broken: tuple[tuple[Rule, Exception], ...] = ()


_Table = dict[Hashable, _Result]
"""What was found by some rules in some setting, by what it was found in."""


@frozen(eq=False)
class _Memory:
    """A table for each choice of rules and each setting: those are looked up once a check."""

    tables: dict[tuple[tuple[Rule, ...], Setting], _Table] = field(factory=dict)

    def table(self, rules: tuple[Rule, ...], setting: Setting) -> _Table:
        """The table, empty if there was none or it was full."""
        table = self.tables.get((rules, setting))
        if table is None:
            if len(self.tables) >= _TABLES_KEPT:
                self.tables.clear()
            table = self.tables[rules, setting] = {}
        if len(table) >= _KEPT:
            table.clear()
        return table


_memory = _Memory()


def run_rules(scene: Scene, rules: tuple[Rule, ...]) -> tuple[Finding, ...]:
    """Everything that rules find, in the order of the rules.

    A rule that breaks becomes a finding about itself; the others go on.
    """
    findings: dict[Rule, list[Finding]] = {rule: [] for rule in rules}
    broken: dict[Rule, Exception] = {}
    for rule in rules:
        if not isinstance(rule.find, EachLine | EachPair):
            try:
                findings[rule].extend(rule.findings(scene))
            except Exception as error:
                broken[rule] = error
    each_line = tuple(rule for rule in rules if isinstance(rule.find, EachLine))
    each_pair = tuple(rule for rule in rules if isinstance(rule.find, EachPair))
    try:
        _lines(scene, each_line, findings, broken)
        _pairs(scene, each_pair, findings, broken)
    except Exception as error:
        broken.update(dict.fromkeys((*each_line, *each_pair), error))
    for rule, fault in broken.items():
        findings[rule].append(_broke(rule, fault))
    return tuple(finding for rule in rules for finding in findings[rule])


def _lines(
    scene: Scene,
    rules: tuple[Rule, ...],
    findings: dict[Rule, list[Finding]],
    broken: dict[Rule, Exception],
) -> None:
    setting = scene.setting
    table = _memory.table(rules, setting)
    for told in scene.written:
        kept = told.known.get("line")
        if kept is None or kept[0] is not table:
            facts = told.facts
            result = table.get(facts)
            if result is None:
                result = table[facts] = _result(rules, partial(_in_line, setting, facts))
            kept = told.known["line"] = _placed(table, result, told)
        _add(kept, findings, broken)


def _in_line(setting: Setting, facts: LineFacts, rule: Rule) -> Iterator[Found]:
    assert isinstance(rule.find, EachLine)
    return rule.find.find(setting, facts)


def _pairs(
    scene: Scene,
    rules: tuple[Rule, ...],
    findings: dict[Rule, list[Finding]],
    broken: dict[Rule, Exception],
) -> None:
    setting = scene.setting
    table = _memory.table(rules, setting)
    for before, after in pairs(scene):
        last, kept = after.known.get("pair", (None, None))
        known = before.known if before else None
        if kept is None or kept[0] is not table or last is not known:
            facts = before.facts if before else None
            key = (facts, after.facts, after.paused)
            result = table.get(key)
            if result is None:
                find = partial(_in_pair, setting, facts, after.facts, after.paused)
                result = table[key] = _result(rules, find)
            kept = _placed(table, result, after, before)
            after.known["pair"] = known, kept
        _add(kept, findings, broken)


def _in_pair(
    setting: Setting, before: LineFacts | None, after: LineFacts, paused: bool, rule: Rule
) -> Iterator[Found]:
    assert isinstance(rule.find, EachPair)
    return rule.find.find(setting, before, after, paused)


_Kept = tuple[_Table, tuple[tuple[Rule, Finding], ...], tuple[tuple[Rule, Exception], ...]]
"""What was found in a line where it is heard, by the rules and in the setting of that table."""


def _placed(
    table: _Table, result: _Result, told: HeardLine, before: HeardLine | None = None
) -> _Kept:
    found = ((rule, rule.finding(placed(each, told, before))) for rule, each in result.found)
    return table, tuple(found), result.broken


def _add(kept: _Kept, findings: dict[Rule, list[Finding]], broken: dict[Rule, Exception]) -> None:
    for rule, finding in kept[1]:
        findings[rule].append(finding)
    broken.update(kept[2])


def _result(rules: tuple[Rule, ...], find: Callable[[Rule], Iterator[Found]]) -> _Result:
    found: list[tuple[Rule, Found]] = []
    broken: list[tuple[Rule, Exception]] = []
    for rule in rules:
        try:
            found.extend((rule, each) for each in tuple(find(rule)))
        except Exception as error:
            broken.append((rule, error))
    return _Result(tuple(found), tuple(broken))


def _broke(rule: Rule, error: Exception) -> Finding:
    about = About(rule=rule.id, title=rule.title, error=f"{type(error).__name__}: {error}")
    return Finding("rule-broke", Severity.LOOK_AGAIN, about=about)
