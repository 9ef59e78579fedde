"""Where a day is: what people write of a place, turned into a place with its zone.

In: a town's name, coordinates, a `geo:` link, a GPX file or a photo.
Out: a `Place` and what was taken, or what to type instead; nothing is chosen silently.
"""
