"""The sentence that an answer begins with: what is lost, what is won, and how late it gets.

In: comparisons, prices, rests of a day, orders under overruns.
Out: one sentence each, for terminals, handouts, pictures and JSON alike.
"""
