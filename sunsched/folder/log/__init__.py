"""`log.csv`: what really happened, only ever added to.

In: the words of an event, or the rows of the file.
Out: events in their order, and how far the day has come.
"""
