"""Files: reading what somebody gives, putting what is made in place, and leaving nothing half-written
where others could read it.

Knows nothing of chess or clubs; whatever part of coachbook reads or writes a file may use it.
"""
