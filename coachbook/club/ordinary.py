"""Words that are names, too: with a small letter they are taken for what they mean."""

_WORDS = """
a an and are as at be but by can did do for go had has have he her him his i in is it me my no not of on
or out she so some the then there these they this to up us was we were with you
al da das de den der di do dos du el la le les lo van von
art august april autumn bill chance chase cliff dale daisy dawn drew earl early east eve faith fern
fleet forest frank gale gene grace grant green grey guy hall harmony hope hunter iris ivy jack jade jewel
joy june lily long march mark marks may mercy miles north olive pat patience pearl penny ray rich rob
robin rose ruby sage sandy short skip sky south sterling storm summer sunny trinity victor violet wade
west will wills win winter wood young
bishop black board box castle check draw king knight mate pawn piece queen rook white
"""

ORDINARY = frozenset(_WORDS.split())
"""In lower case, without accents."""
