"""The argument: another order beside ours, and the price of a demand.

In: an order as somebody wrote it, or what they ask for.
Out: what both orders keep and cost, in words and in figures.
"""
