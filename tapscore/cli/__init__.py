"""The command line: prints and exit codes only; the work is done in ``workflow``."""
