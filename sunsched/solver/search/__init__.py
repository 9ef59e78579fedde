"""A good order fast: ruin and recreate, the incumbent, and how long a solve may go on.

In: tables and a seed.
Out: the best order known, from whatever finds it.
"""
