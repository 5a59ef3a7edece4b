"""The names of the methods, stated here so that reading a syllabus need not load them."""

METHOD_NAMES = ("two-majors", "queen-box", "rook-box", "king-and-pawn", "hold-king-and-pawn")
"""In teaching order: the same as those in `registry`."""
