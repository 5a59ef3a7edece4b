"""How the command `coachbook` begins, and ends if it is stopped before it has begun."""

import signal
from typing import NoReturn


def main() -> NoReturn:
    """Run the command line and exit, as `coachbook.cli.main.main` does."""
    # A program that is stopped in the middle of an import would tell its insides.
    # One that is to ignore it, as in the background of a shell, goes on doing so.
    usual = signal.getsignal(signal.SIGINT)
    if usual is signal.default_int_handler:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    from coachbook.cli.main import main as run

    signal.signal(signal.SIGINT, usual)
    run()
