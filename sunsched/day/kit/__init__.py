"""What a day is shot with and in: camera, frames, ground and weather.

In: nothing but what somebody wrote down.
Out: frozen facts.
"""
