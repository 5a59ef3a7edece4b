"""The command line: one small file for each thing a coach does. Parse, call one workflow, print.

The only part that knows Typer and rich, and the only one that imports inside functions, so
that help appears at once.
"""

__all__ = ["main"]
