"""Pictures of a spot: the sun over it from above with looks and light, its skyline unrolled.

In: a day's fit, a plan, a skyline; a shape of paper.
Out: pictures with their pages.
"""
