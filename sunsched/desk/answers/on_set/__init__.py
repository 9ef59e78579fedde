"""What the page on set asks: a tap noted in the log, and the rest of the day planned anew.

In: taps with their own times; a moment and the minutes lost.
Out: the events they became or why not; the choices as pictures and sentences; a saved revision.
"""
