"""Lays a syllabus out over the evenings of a term, and says who is to review what on which of them.

In: the syllabus, dates, minutes, and where the students stand (`UnitProgress`). Out: a `TermPlan`, which
holds no student's name and in which every slot says why it stands there, and beside it `TermReviews`.
Knows no memory model: a forecast comes in as a function. Only workflows may import it.
"""

__all__ = ["calendar", "replan", "request", "reviews", "taught", "together"]
