"""Tables on disk: one compressed file each, checked whenever it is read.

A file is a checksum of all that follows, a line of JSON (format, material, shape), and the
values, compressed. One that is damaged, or of another format, is never trusted: it is solved again.
It is written beside its place and then renamed, so that two processes can't harm each other.
"""

import json
import os
import tempfile
import zlib
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path

import numpy as np

from coachbook.endgame.material import Material
from coachbook.endgame.smaller import Values
from coachbook.files.cache import FOLDER_VARIABLE as FOLDER_VARIABLE
from coachbook.files.cache import cache_folder as cache_folder

FORMAT = "coachbook mate distances 2"
"""To be raised whenever the solver's values or their order change."""


def read_values(folder: Path, material: Material) -> Values | None:
    """The values of a table, or None where there is no sound file."""
    try:
        content = _file(folder, material).read_bytes()
    except OSError:
        return None
    checksum, _, rest = content.partition(b"\n")
    head, _, packed = rest.partition(b"\n")
    if checksum != _checksum(rest):
        return None
    fields = json.loads(head)
    if (fields["format"], fields["material"]) != (FORMAT, material.name):
        return None
    return np.frombuffer(zlib.decompress(packed), dtype=np.int8).reshape(fields["shape"])


def is_kept(folder: Path, material: Material) -> bool:
    """Whether there is a file for this table, sound or not."""
    return _file(folder, material).exists()


def write_values(folder: Path, material: Material, values: Values) -> None:
    """Keep a table. Where the folder can't be written, nothing happens: it is only a cache."""
    head = json.dumps({"format": FORMAT, "material": material.name, "shape": values.shape})
    rest = head.encode() + b"\n" + zlib.compress(values.tobytes(), level=1)
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=folder, prefix=material.name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(_checksum(rest) + b"\n" + rest)
            Path(name).replace(_file(folder, material))
        finally:
            Path(name).unlink(missing_ok=True)


def _file(folder: Path, material: Material) -> Path:
    return folder / f"{material.name}.mates"


def _checksum(content: bytes) -> bytes:
    return blake2b(content, digest_size=16).hexdigest().encode()
