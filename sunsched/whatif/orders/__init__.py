"""Another's order: read, and put on the clock as well as it can be.

In: ids in sequence, with or without times, or a saved plan.
Out: the best timetable of that order, and what of it could not be kept.
"""
