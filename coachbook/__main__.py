"""`python -m coachbook`: the command `coachbook` by another name, for where that one is not found."""

from coachbook.cli.main import main

if __name__ == "__main__":
    main()
