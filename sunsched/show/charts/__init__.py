"""The pictures: the day, the sun, a shot, prices, overruns.

In: a plan, a fit, a price table, a stress.
Out: a `Figure`, readable in grey, on a phone and on A4.
"""
