"""The proof checked a second way, in plain numpy, with no code shared.

In: a problem and what a proof noted of each node.
Out: the bound that the notes prove, or where they do not.
"""
