"""Lays a syllabus out over the evenings of a term.

In: the syllabus, dates, minutes, and what is already done. Out: a `TermPlan` in which every
slot says why it stands there. Knows no answers and no memory. Only workflows may import it.
"""
