"""A file of many bytes in compressed blocks, so that one byte can be read without the others.

It is a checksum of the head and the index, the head (a line of JSON that says what the file holds), the
index (where each block ends, and its checksum), and the blocks. It is read through a memory map. Each
block is checked whenever it is read, and what is damaged is never trusted.
"""

import json
import mmap
import zlib
from collections.abc import Iterable, Mapping
from functools import lru_cache
from hashlib import blake2b
from pathlib import Path
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from coachbook.files.unfinished import make_private_folder
from coachbook.files.writing import put_in_place

BLOCK = 32_768
"""Bytes of a block before it is compressed: as far back as the compression looks."""
_LEVEL = 2
"""A tenth larger than at 4, for which it takes half as long again."""
_MOST_KEPT = 256
"""Blocks in memory, 8 MiB: the last ones that were read."""
_ENTRY = np.dtype([("end", "<u8"), ("checksum", "<u4")])


class DamagedFileError(Exception):
    """A file is not what was written, or no such file at all."""


def write_blocks(path: Path, head: Mapping[str, object], blocks: Iterable[bytes]) -> None:
    """Put a file of blocks in its place, whole or not at all. `head` is what it holds, fit for JSON.

    Raises CoachbookError if it cannot be written.
    """
    packed = [zlib.compress(block, _LEVEL) for block in blocks]
    index = np.zeros(len(packed), dtype=_ENTRY)
    index["end"] = np.cumsum([len(each) for each in packed])
    index["checksum"] = [zlib.crc32(each) for each in packed]
    begin = json.dumps({**head, "blocks": len(packed)}).encode() + b"\n" + index.tobytes()
    make_private_folder(path.parent)
    put_in_place(path, b"".join((_checksum(begin), b"\n", begin, *packed)))


class BlockFile:
    """A file of blocks that is being read. `head` is what it holds.

    Raises DamagedFileError for a file that is none, and OSError where there is no file.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        with path.open("rb") as file:
            try:
                self._bytes = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
            except ValueError as error:
                raise DamagedFileError(f"{path} is empty") from error
        self._block = lru_cache(maxsize=_MOST_KEPT)(self._read_block)
        self.head, self._ends, self._checksums, self._start = self._begin()

    def _begin(self) -> tuple[dict[str, Any], NDArray[np.uint64], NDArray[np.uint32], int]:
        checksum = self._bytes.readline().rstrip(b"\n")
        head_at = self._bytes.tell()
        line = self._bytes.readline()
        try:
            head = json.loads(line)
            index_size = int(head["blocks"]) * _ENTRY.itemsize
        except (ValueError, LookupError, TypeError) as error:
            raise DamagedFileError(f"{self.path} has no head") from error
        raw = self._bytes.read(index_size)
        if checksum != _checksum(line + raw) or head_at != len(checksum) + 1:
            raise DamagedFileError(f"the index of {self.path} is damaged")
        index = np.frombuffer(raw, dtype=_ENTRY)
        return head, index["end"], index["checksum"], self._bytes.tell()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._bytes.close()

    def __getitem__(self, place: int) -> int:
        """A byte, 0 to 255. Raises DamagedFileError if its block is damaged."""
        number, offset = divmod(place, BLOCK)
        return self._block(number)[offset]

    def read(self, start: int, size: int) -> bytes:
        """Some bytes that do not reach over the end of a block. Raises DamagedFileError as above."""
        number, offset = divmod(start, BLOCK)
        return self._block(number)[offset : offset + size]

    def check(self) -> None:
        """Raises DamagedFileError if any block is damaged."""
        for number in range(len(self._ends)):
            self._packed(number)

    def _read_block(self, number: int) -> bytes:
        return zlib.decompress(self._packed(number))

    def _packed(self, number: int) -> bytes:
        before = int(self._ends[number - 1]) if number else 0
        packed = self._bytes[self._start + before : self._start + int(self._ends[number])]
        if zlib.crc32(packed) != self._checksums[number]:
            raise DamagedFileError(f"block {number} of {self.path} is damaged")
        return packed


def _checksum(content: bytes) -> bytes:
    return blake2b(content, digest_size=16).hexdigest().encode()
