import re
import subprocess
from pathlib import Path

import numpy as np

from coachbook.paper.board_svg import qr_svg
from coachbook.paper.sheet_layout import qr_modules
from tests.paper import printed

LINK = f"http://192.168.100.200:8642/enter/{'aZ-_09' * 5}xy"


def modules_of(svg: str) -> list[list[bool]]:
    """The dark modules of a drawing, the quiet zone around them with it."""
    (side,) = {int(each) for each in re.findall(r'viewBox="-4 -4 (\d+) (\d+)"', svg)[0]}
    found = [[False] * side for _ in range(side)]
    for x, y, width in re.findall(r"M(\d+) (\d+)h(\d+)v1H\1z", svg):
        for at in range(int(x), int(x) + int(width)):
            found[int(y) + 4][at + 4] = True
    return found


def test_a_sheet_code_fits_the_smallest_symbol() -> None:
    modules = qr_modules("Q2-0114-K7")
    assert len(modules) == 21
    assert all(len(row) == 21 for row in modules)


def test_the_three_corners_are_finders() -> None:
    """ISO/IEC 18004: a finder is a dark frame of seven modules."""
    rows = qr_modules("Q2-0114-K7")
    assert all(rows[0][:7]) and all(rows[0][14:]) and all(rows[20][:7])
    assert not all(rows[20][14:])


def test_other_codes_give_other_symbols() -> None:
    assert qr_modules("Q2-0114-K7") != qr_modules("Q2-0114-K8")


def test_a_screen_shows_the_modules_of_the_paper_with_four_free_ones_around() -> None:
    found = modules_of(qr_svg(LINK, "A code"))
    inside = tuple(tuple(row[4:-4]) for row in found[4:-4])
    assert inside == qr_modules(LINK)
    assert not any(any(row[:4] + row[-4:]) for row in found)
    assert not any(any(row) for row in found[:4] + found[-4:])


def test_a_camera_reads_the_code_on_a_screen(tmp_path: Path) -> None:
    zbarimg = printed.tool("zbarimg")
    dark = np.kron(np.array(modules_of(qr_svg(LINK, "A code"))), np.ones((8, 8), dtype=bool))
    height, width = dark.shape
    pixels = np.where(dark, 0, 255).astype(np.uint8).tobytes()
    (tmp_path / "code.pgm").write_bytes(b"P5 %d %d 255\n" % (width, height) + pixels)
    command = [zbarimg, "-q", "--raw", str(tmp_path / "code.pgm")]
    assert subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip() == LINK


def test_what_a_screen_reader_says_of_a_code_is_escaped() -> None:
    assert 'aria-label="&lt;b&gt; &quot;"' in qr_svg(LINK, '<b> "')
