"""Exact truth: who wins every ending of up to four men, and in how many moves.

In: a `chess.Board` or arrays of squares. Out: outcomes, best moves, whole sets of positions.
Read `space` (what a cell is), `unmoving` (one rule, backwards), `retrograde` (the solver), then
`tables`, `probe` and `census`. May be imported by every layer above; imports only `errors`.
"""

__all__ = ["census", "material", "probe", "retrograde", "smaller", "space", "symmetry", "tables"]
