"""The words of the library click, in the language of the program.

click asks the standard library's gettext for its texts, but in a catalogue of its own that no
language of ours has.  So its modules are given another ``_`` where the language isn't English.
"""

from importlib import import_module

from tapscore.wording.catalogue import say, translations

_MODULES = ("core", "decorators", "exceptions", "formatting", "parser", "termui", "types")


def speak_click() -> None:
    """Let click speak the language of the program; nothing is done for English."""
    if translations() is None:
        return
    words = click_words()

    def said(text: str) -> str:
        return words.get(text, text)

    def counted(one: str, many: str, number: int) -> str:
        return said(one if number == 1 else many)

    for name in _MODULES:
        module = import_module(f"click.{name}")
        for theirs, ours in (("_", said), ("ngettext", counted)):
            if hasattr(module, theirs):
                setattr(module, theirs, ours)


def click_words() -> dict[str, str]:
    """What click says to users of our commands, and how we say it; click fills the holes."""
    return {
        "Aborted!": say("Aborted!"),
        "Choose from:\n\t{choices}": say("Choose from:\n\t{choices}"),
        "Commands": say("Commands"),
        "Error: The two entered values do not match.": say(
            "Error: The two entered values do not match."
        ),
        "Error: invalid input": say("Error: invalid input"),
        "Error: {message}": say("Error: {message}"),
        "Got unexpected extra argument ({args})": say("Got unexpected extra argument ({args})"),
        "Got unexpected extra arguments ({args})": say("Got unexpected extra arguments ({args})"),
        "Invalid value for {param_hint}: {message}": say(
            "Invalid value for {param_hint}: {message}"
        ),
        "Invalid value: {message}": say("Invalid value: {message}"),
        "Missing argument": say("Missing argument"),
        "Missing command.": say("Missing command."),
        "Missing option": say("Missing option"),
        "No such command {name!r}.": say("No such command {name!r}."),
        "No such option {name!r}.": say("No such option {name!r}."),
        "Option {name!r} does not take a value.": say("Option {name!r} does not take a value."),
        "Option {name!r} requires an argument.": say("Option {name!r} requires an argument."),
        "Option {name!r} requires {nargs} arguments.": say(
            "Option {name!r} requires {nargs} arguments."
        ),
        "Options": say("Options"),
        "Show the version and exit.": say("Show the version and exit."),
        "Show this message and exit.": say("Show this message and exit."),
        "Try '{command} {option}' for help.": say("Try '{command} {option}' for help."),
        "Usage:": say("Usage:"),
        "default: {default}": say("default: {default}"),
        "directory": say("directory"),
        "file": say("file"),
        "path": say("path"),
        "required": say("required"),
        "{name} {filename!r} does not exist.": say("{name} {filename!r} does not exist."),
        "{name} {filename!r} is a directory.": say("{name} {filename!r} is a directory."),
        "{name} {filename!r} is a file.": say("{name} {filename!r} is a file."),
        "{name} {filename!r} is not readable.": say("{name} {filename!r} is not readable."),
        "{value!r} is not a valid {number_type}.": say("{value!r} is not a valid {number_type}."),
        "{value!r} is not one of {choices}.": say("{value!r} is not one of {choices}."),
        "{value} is not in the range {range}.": say("{value} is not in the range {range}."),
    }
