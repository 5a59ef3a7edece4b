"""Tables on disk: one compressed file each, checked whenever it is read.

A file is a line of JSON (format, material, shape, checksum of the rest) and the values,
compressed. One that is damaged, or of another format, is never trusted: it is solved again.
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
from platformdirs import user_cache_path

from coachbook.endgame.material import Material
from coachbook.endgame.smaller import Values

FORMAT = "coachbook mate distances 1"
"""To be raised whenever the solver's values or their order change."""

FOLDER_VARIABLE = "COACHBOOK_CACHE"


def cache_folder() -> Path:
    """Where tables are kept: the folder in COACHBOOK_CACHE, else the user's cache folder."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_cache_path("coachbook", appauthor=False)


def read_values(folder: Path, material: Material) -> Values | None:
    """The values of a table, or None where there is no sound file."""
    try:
        head, _, packed = _file(folder, material).read_bytes().partition(b"\n")
        fields = json.loads(head)
        if (
            fields["format"] != FORMAT
            or fields["material"] != material.name
            or fields["checksum"] != _checksum(packed)
        ):
            return None
        return np.frombuffer(zlib.decompress(packed), dtype=np.int8).reshape(fields["shape"])
    except (OSError, ValueError, KeyError, TypeError, zlib.error):
        return None


def write_values(folder: Path, material: Material, values: Values) -> None:
    """Keep a table. Where the folder can't be written, nothing happens: it is only a cache."""
    packed = zlib.compress(values.tobytes(), level=1)
    fields = {
        "format": FORMAT,
        "material": material.name,
        "shape": values.shape,
        "checksum": _checksum(packed),
    }
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=folder, prefix=material.name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(json.dumps(fields).encode() + b"\n" + packed)
            Path(name).replace(_file(folder, material))
        except OSError:
            Path(name).unlink(missing_ok=True)


def _file(folder: Path, material: Material) -> Path:
    return folder / f"{material.name}.mates"


def _checksum(packed: bytes) -> str:
    return blake2b(packed, digest_size=16).hexdigest()
