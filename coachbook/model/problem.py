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

    @classmethod
    def undecodable(cls, file: str, error: UnicodeDecodeError) -> "Problem":
        """A text file that is not UTF-8: the line (from 1), and the byte (from 1) in the whole file.

        `error` must come from decoding the whole file.
        """
        line = error.object.count(b"\n", 0, error.start) + 1
        message = f"is not UTF-8 text (byte {error.start + 1} of the file); save the file as UTF-8"
        return cls(file, f"line {line}", message)
