"""Python's collector of cycles rests while a command starts, and where nothing needs it."""

import gc

import click

from tapscore.cli.app import main


def test_only_commands_that_make_no_cycles_do_without_the_collector() -> None:
    assert isinstance(main, click.Group)
    context = click.Context(main)
    gc.disable()
    try:
        assert main.get_command(context, "check") is not None
        assert not gc.isenabled()
        assert main.get_command(context, "export") is not None
        assert gc.isenabled()
    finally:
        gc.enable()
