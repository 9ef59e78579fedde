"""Files of a day folder: found and kept inside it, read within limits, written whole.

In: a path, and bytes to be written.
Out: bytes, or a fault; a file appears whole or not at all.
"""
