"""A mistake in somebody's file, as a value: collected and shown together."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """`where` is a key, a line or a row of `file`; `message` says what is expected."""

    file: str
    where: str
    message: str

    def __str__(self) -> str:
        return f"{self.file}: {self.where}: {self.message}"
