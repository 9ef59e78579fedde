"""Work that takes longer than planned.

In: a plan and factors on its minutes, or the logs of past days.
Out: chances of shots and days, safer orders, the pace of a crew.
"""
