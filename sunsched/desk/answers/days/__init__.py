"""The days of a folder, and a new one.

In: names of day folders, or what a form asks for.
Out: what each day is called, and a folder that was made or what is still open.
"""
