"""Every sentence that a person reads, made from values: codes and what they are said of.

Values come in from whoever decides; words go out to paper and to whatever shows text. Nothing reads a
sentence to decide anything. Another language is one more set of these modules, with the same functions.
"""

__all__ = [
    "answer_forms",
    "care_words",
    "conversations",
    "counting",
    "definitions",
    "disagreements",
    "exercises",
    "method_words",
    "paper_words",
    "people",
    "plans",
    "practice_words",
    "reasons",
    "sentences",
    "show_sentences",
    "start_here",
    "term_lines",
    "why_due",
]
