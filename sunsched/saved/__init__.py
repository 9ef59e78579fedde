"""Saved plans: revisions in `plans/`, none ever overwritten.

In: a plan, or the number of a revision.
Out: a file written whole; a plan again, judged afresh.
"""
