"""Start tapscore from the command line."""

from tapscore.cli.app import main

if __name__ == "__main__":
    main()
