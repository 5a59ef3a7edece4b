"""Computes where students stand and who needs review, from their evenings and today's date.

In: `Evening`s and the syllabus. Out: `UnitProgress` and `ReviewAdvice`, never stored.
`review` alone knows the memory library. Only workflows may import it.
"""

__all__ = ["review", "standing"]
