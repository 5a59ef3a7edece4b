"""Computes where students stand and who needs review, from marked answers and today's date.

In: `ItemResult`s and the syllabus. Out: `UnitProgress` and `ReviewAdvice`, never stored.
`review` alone knows the memory library. Only workflows may import it.
"""
