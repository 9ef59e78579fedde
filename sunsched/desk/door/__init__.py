"""Who is let in: keys, the guard in front of every request, and the addresses to hand on.

In: requests as they come.
Out: requests with what their key opens, or a refusal.
"""
