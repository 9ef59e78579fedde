"""What stands behind the order of a sheet, on paper and on the phone page.

In: a `Sheet`, the setting of a paper.
Out: pictures that have no place yet.
"""
