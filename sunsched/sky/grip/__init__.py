"""What frames do: where they must stand, how much they take or give, and what pulls at them.

In: the sun's height and bearing, frames and cloths with their sizes.
Out: places, aims, stops and forces; who sets a limit is the key grip.
"""
