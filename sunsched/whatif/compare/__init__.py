"""Two orders beside each other.

In: our plan and another's.
Out: what each shot gains and loses, and the small changes that win most back.
"""
