"""``rules``, ``help`` and the help of each command: every line of the page."""

import pytest

from tapscore.checks.all_rules import ALL_RULES
from tapscore.checks.rule import Rule
from tapscore.cli.first_page import COMMANDS
from tapscore.resources import resource_path
from tests.cli.running import Said, run, usage

TOPICS = ("lane", "story", "board", "cautions")


def test_rules_are_listed_in_columns() -> None:
    width = max(len(rule.id) for rule in ALL_RULES)
    rows = [
        rule.id.ljust(width) + "  " + rule.severity.value.ljust(10) + "  " + rule.title
        for rule in ALL_RULES
    ]
    assert run("rules") == Said(0, "\n".join(rows) + "\n", "")


@pytest.mark.parametrize("rule", [ALL_RULES[0], *[r for r in ALL_RULES if r.mends][:1]])
def test_a_rule_is_explained_from_its_title_to_its_examples(rule: Rule) -> None:
    page = [
        f"{rule.title}  [{rule.id}, {rule.severity.value}]",
        "",
        f"Why: {rule.why}",
        f"Source: {rule.source}",
        f"Looks at: {rule.looks_at}",
        *([f"Can be mended for you: {rule.mends}"] if rule.mends else []),
        "",
        *("Good:", ""),
        *(f"    {line}" for line in rule.good.splitlines()),
        "",
        *("Not good:", ""),
        *(f"    {line}" for line in rule.bad.splitlines()),
        "",
    ]
    assert run("rules", rule.id) == Said(0, "\n".join(page) + "\n", "")


def test_a_rule_there_is_none_of() -> None:
    said = run("rules", "bars-ful")
    assert said == Said(
        2,
        "",
        "There is no check “bars-ful”. Did you mean `bars-full`? `tapscore rules` lists them.\n",
    )
    assert run("rules", "bars-full", "bars-full").code == 2


@pytest.mark.parametrize("topic", TOPICS)
def test_a_topic_is_printed_as_it_is_written(topic: str) -> None:
    page = resource_path(f"{topic}.txt").read_text(encoding="utf-8")
    assert run("help", topic) == Said(0, page, "")


def test_help_without_a_topic_lists_commands_and_topics() -> None:
    said = run("help")
    assert (said.code, said.err) == (0, "")
    assert (
        said.out == run("--help").out + "\nTopics: tapscore help lane | story | board | cautions\n"
    )
    assert run("-h").out == run("--help").out


@pytest.mark.parametrize("command", ["check", "fit", "class-record", "open-pack"])
def test_help_of_a_command_is_its_own(command: str) -> None:
    said = run("help", command)
    assert (said.code, said.err) == (0, "")
    own = run(command, "--help").out
    assert own.startswith(f"Usage: tapscore {command} ")
    assert said.out == own


def test_help_about_nothing() -> None:
    assert run("help", "lan") == Said(2, "", "There is no help about “lan”. Did you mean `lane`?\n")
    assert run("help", "chek") == Said(
        2, "", "There is no help about “chek”. Did you mean `check`?\n"
    )


def test_a_command_or_story_there_is_none_of() -> None:
    guess = (
        "Error: There is no command or story “chek”. Did you mean `check`? See tapscore --help.\n"
    )
    assert run("chek") == Said(2, "", guess)
    none = "Error: There is no command or story “zzzzzz”. See tapscore --help.\n"
    assert run("zzzzzz") == Said(2, "", none)
    assert usage(run("--chek")).startswith("No such option '--chek'.")


def test_commands_are_listed_with_their_first_sentences() -> None:
    page = run("--help").out
    listed = page.split("Commands:\n")[1].split("\n\n")[0]
    named = [line.split()[0] for line in listed.splitlines() if line[2:3].strip()]
    assert named == list(COMMANDS)
    words = " ".join(listed.split())
    for name, sentence in COMMANDS.items():
        assert f"{name} {sentence}" in words


def test_class_record_s_commands_are_listed_with_their_sentences_whole() -> None:
    page = " ".join(run("class-record", "--help").out.split())
    for name, sentence in (
        ("add-pupil", "Add a pupil by MARK: initials, or any short mark that your school uses."),
        ("begin", "Begin a new record in FILE."),
        ("bring", "Bring the notes of NOTES.csv into FILE; first they are shown as they are"),
        ("passphrase", "Give FILE and its earlier versions another passphrase."),
    ):
        assert f"{name} {sentence}" in page


USUAL = {
    "--paper": "default: A5",
    "--other-paper": "default: A4",
    "--distance": "default: 1.0; 0.3<=x<=3.0",
    "--margin": "0<=x<=100",
    "--sheet": "default: 1",
}


@pytest.mark.parametrize("command", ["export", "day"])
def test_what_holds_if_nothing_is_said_stands_in_the_help(command: str) -> None:
    page = run(command, "--help").out
    options = page.split("Options:\n")[1]
    about = {}
    for entry in options.split("\n  --")[0:]:
        words = " ".join(entry.split())
        about["--" + words.removeprefix("--").split(" ")[0]] = words
    for option, usual in USUAL.items():
        assert f"[{usual}]" in about[option]
    assert "[default: A4 where hands are free at every change, else A3]" in about["--part-paper"]
    listed = list(about)
    order = ["--paper", "--part-paper", "--other-paper", "--margin", "--distance", "--sheet"]
    assert [each for each in listed if each in order] == order
