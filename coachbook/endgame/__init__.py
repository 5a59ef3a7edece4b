"""Exact truth: who wins every ending of up to four men, and in how many moves; of five men where that was
built.

In: a `chess.Board` or arrays of squares. Out: outcomes, best moves, whole sets of positions. Read `space`
(what a cell is), `unmoving` (one rule, backwards), `retrograde` (the solver), then `tables`, `probe` and
`census`; of five men `large_table` and `build_large`. May be imported by every layer above; imports only
`errors`.
"""

__all__ = [
    "build_large",
    "census",
    "large_table",
    "material",
    "probe",
    "retrograde",
    "smaller",
    "space",
    "symmetry",
    "tables",
]
