"""Orders drawn as strips of a day: two under one another, and who waits in one.

In: plans, and a shape of paper.
Out: pictures with their pages.
"""
