"""How much light the sun and the sky give, on which plane and of what colour.

In: the sun's height and bearing, the kind of sky, the ground.
Out: illuminance, exposure and colour, as means of measured days: single ones differ by a stop.
"""
