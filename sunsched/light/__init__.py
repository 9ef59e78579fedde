"""How good the light is for each shot, minute by minute.

In: a `Day` and the track of its sun.
Out: `DayFit`, with every part of each shot's light kept apart, and its windows.
"""
