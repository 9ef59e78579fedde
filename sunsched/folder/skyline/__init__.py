"""What people know of a skyline, as they type it or as files have it, and the file made of it.

In: phrases, tiles of terrain, footprints, the lines that a horizon file was made of.
Out: walls, roofs, notes, tiles and footprints as facts; the text of a horizon file.
"""
