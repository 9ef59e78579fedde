"""A skyline made of what people know of it: walls, ridges, terrain and houses around a subject.

In: what was told, tiles of terrain and footprints as they were read, and where the subject stands.
Out: the points of a horizon file, with its vertical edges and overhangs.
"""
