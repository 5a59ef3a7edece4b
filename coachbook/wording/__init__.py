"""Every sentence that a person reads, made from values: codes and what they are said of.

Values come in from whoever decides; words go out to paper and to whatever shows text. Nothing reads a
sentence to decide anything. Another language is one more set of these modules, with the same functions.
"""

__all__ = [
    "answer_forms",
    "care_words",
    "class_words",
    "club_ways",
    "conversations",
    "counting",
    "definitions",
    "disagreements",
    "ending_sentences",
    "erasing",
    "exercises",
    "how_answered",
    "leaf_words",
    "letters_lacking",
    "method_words",
    "people",
    "plans",
    "practice_words",
    "reasons",
    "show_sentences",
    "start_here",
    "term_lines",
    "wall_words",
    "why_due",
]
