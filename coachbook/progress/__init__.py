"""Computes where students stand and who needs review, from their evenings and today's date; and whether the
scale of difficulty holds, from all answers.

In: `Evening`s and the syllabus, or `Answered`. Out: `UnitProgress` and `ReviewAdvice`, or a `ScaleCheck`,
never stored. `review` alone knows the memory library. Only workflows may import it.
"""

__all__ = [
    "review",
    "scale_check",
    "standing",
]
