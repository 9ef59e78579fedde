"""What all routes share: the run of the desk, requests as checked data, templates.

In: requests that the guard has let through.
Out: day folders, bodies that hold what they should, pages.
"""
