"""The command line: prints and exit codes only; the work is done in ``workflow``."""

from tapscore.wording.catalogue import translations

if translations() is not None:
    from tapscore.cli.click_words import speak_click

    speak_click()  # before options are made, whose kinds have names
