"""Laws are tested without a stopwatch: the first text of a run loads the fonts."""

from hypothesis import settings

settings.register_profile("paper", deadline=None)
settings.load_profile("paper")
