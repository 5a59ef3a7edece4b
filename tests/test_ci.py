"""What the continuous integration does before the tests: its programs, and the lowest versions."""

import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
CI = ROOT / ".ci"
LOOK_AT_PAGES = ("pdftoppm", "zbarimg", "qpdf", "chromium")

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the scripts are for bash")


@pytest.fixture
def programs(tmp_path: Path) -> Path:
    """A folder with the few programs that every machine has; nothing else is found."""
    folder = tmp_path / "bin"
    folder.mkdir()
    for name in ("bash", "dirname", "xargs", "echo", "id", "env", "tail"):
        (folder / name).symlink_to(shutil.which(name) or pytest.fail(name))
    put(folder, "sudo", 'shift; exec "$@"')
    return folder


def put(folder: Path, name: str, script: str = "") -> None:
    (folder / name).write_text(f"#!{shutil.which('bash')}\n{script}\n", encoding="utf-8")
    (folder / name).chmod(0o755)


def tools(programs: Path) -> subprocess.CompletedProcess[str]:
    command = [str(programs / "bash"), str(CI / "tools")]
    return subprocess.run(command, env={"PATH": str(programs)}, capture_output=True, text=True, check=False)


def test_nothing_is_installed_where_all_is_there(programs: Path) -> None:
    for name in LOOK_AT_PAGES:
        put(programs, name)
    put(programs, "apt-get", "echo called >&2; exit 1")
    ran = tools(programs)
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", "")


def test_what_is_missing_is_installed_quietly(programs: Path) -> None:
    copies = "".join(f"cp {shutil.which('bash')} {programs / name};" for name in LOOK_AT_PAGES)
    (programs / "cp").symlink_to(shutil.which("cp") or pytest.fail("cp"))
    put(programs, "apt-get", f'echo "apt-get $*"; case "$*" in *install*) {copies} esac')
    ran = tools(programs)
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", "")
    assert (programs / "qpdf").exists()


def test_without_apt_get_there_is_a_warning_and_no_failure(programs: Path) -> None:
    put(programs, "qpdf")
    ran = tools(programs)
    assert (ran.returncode, ran.stdout) == (0, "")
    assert ran.stderr == (
        "Warning: no pdftoppm zbarimg chromium, and no apt-get to install what is missing."
        " Printed pages and the desk's will not be looked at.\n"
    )


def test_apt_get_that_does_not_bring_them_is_a_failure_with_its_reason(programs: Path) -> None:
    put(programs, "apt-get", 'echo "E: no network"; exit 100')
    ran = tools(programs)
    assert (ran.returncode, ran.stdout) == (1, "")
    assert ran.stderr.splitlines() == [
        "E: no network",
        "E: no network",
        "Not installed: pdftoppm zbarimg qpdf chromium."
        " Install poppler-utils, zbar-tools, qpdf and chromium, then try again.",
    ]


def test_the_lowest_versions_of_all_dependencies_are_tried() -> None:
    found = re.search(r"^sed .*pyproject\.toml", (CI / "lowest").read_text(encoding="utf-8"), re.MULTILINE)
    assert found
    bash = shutil.which("bash") or pytest.fail("bash")
    ran = subprocess.run([bash, "-c", found[0]], cwd=ROOT, capture_output=True, text=True, check=True)
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lowest = [each.split(",")[0].replace(">=", "==") for each in project["dependencies"]]
    assert ran.stdout.splitlines() == lowest
