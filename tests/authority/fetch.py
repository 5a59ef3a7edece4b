"""Gets the published tables and positions that the endgame tests compare with.

They are part of the source distribution of the PyPI package `chess` 1.11.2, fetched with pip,
checked by its SHA-256 and kept in a folder that is never committed.
"""

import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
from hashlib import sha256
from pathlib import Path

RELEASE = "chess-1.11.2"
SHA_256 = "a8b43e5678fdb3000695bdaa573117ad683761e5ca38e591c4826eba6d25bb39"
FOLDER_VARIABLE = "COACHBOOK_AUTHORITY"
REQUIRED_VARIABLE = "COACHBOOK_REQUIRE_AUTHORITY"
_MINUTES = 5


class NotAvailableError(Exception):
    """The published data can't be had; the text says why."""


def is_required() -> bool:
    """Whether a test must fail, not be skipped, without the data."""
    return os.environ.get(REQUIRED_VARIABLE) == "1"


def published_data() -> Path:
    """The folder with the data, fetched if need be. Raises NotAvailableError."""
    folder = Path(os.environ.get(FOLDER_VARIABLE) or Path(__file__).parents[2] / ".authority")
    folder.mkdir(parents=True, exist_ok=True)
    unpacked = folder / RELEASE
    if not unpacked.exists():
        _unpack(_archive(folder), unpacked)
    return unpacked / "data"


def _archive(folder: Path) -> Path:
    archive = folder / f"{RELEASE}.tar.gz"
    if not archive.exists():
        _download(archive)
    digest = sha256(archive.read_bytes()).hexdigest()
    if digest != SHA_256:
        raise NotAvailableError(f"{archive} has the SHA-256 {digest}, not {SHA_256}")
    return archive


def _download(archive: Path) -> None:
    """Download aside and rename, so that two test runs at once do each other no harm."""
    aside = Path(tempfile.mkdtemp(dir=archive.parent))
    try:
        _pip_download(aside)
        (aside / archive.name).replace(archive)
    finally:
        shutil.rmtree(aside)


def _pip_download(folder: Path) -> None:
    what = RELEASE.replace("-", "==")
    command = [sys.executable, "-m", "pip", "download", "--no-deps", "--no-binary", ":all:", what]
    try:
        subprocess.run(
            [*command, "--dest", str(folder)],
            check=True,
            capture_output=True,
            text=True,
            timeout=60 * _MINUTES,
        )
    except subprocess.CalledProcessError as error:
        reason = error.stderr.strip().splitlines() or ["no reason given"]
        raise NotAvailableError(f"'pip download {what}' failed: {reason[-1]}") from error
    except subprocess.TimeoutExpired as error:
        raise NotAvailableError(f"'pip download {what}' took over {_MINUTES} minutes") from error


def _unpack(archive: Path, target: Path) -> None:
    """Unpack the data aside and rename, as above; the first of two runs is as good as the second."""
    aside = Path(tempfile.mkdtemp(dir=target.parent))
    try:
        with tarfile.open(archive) as tar:
            wanted = [member for member in tar.getmembers() if member.name.startswith(f"{RELEASE}/data/")]
            tar.extractall(aside, members=wanted, filter="data")
        (aside / RELEASE).rename(target)
    except OSError:
        if not target.exists():
            raise
    finally:
        shutil.rmtree(aside)
