"""What a timetable is worth: the judge, who knows no solver.

In: a `DayFit` and an order with times.
Out: breaches, points, reasons, and the `Plan` that people see.
"""
