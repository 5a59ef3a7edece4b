from coachbook.paper.sheet_layout import qr_modules


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
