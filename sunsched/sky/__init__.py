"""What the sun does: where it stands, when it rises, what hides it.

In: a place and a stretch of time, a skyline.
Out: degrees, moments and shares of the disc; no shot is known here.
"""
