"""coachbook: plans, prints and follows up endgame lessons for a chess club."""

__version__ = "0.1.0"
