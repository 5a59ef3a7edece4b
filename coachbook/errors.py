"""The one error that coachbook raises when it cannot go on."""


class CoachbookError(Exception):
    """What is wrong and where (`message`), and what to do about it (`hint`)."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.message} {self.hint}".strip()


class InterruptedEntryError(CoachbookError):
    """The coach stopped an interactive entry; nothing of it was saved."""
