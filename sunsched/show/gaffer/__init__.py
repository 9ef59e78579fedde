"""The gaffer's page: what the sun does to each setup, and what to build for it.

In: a plan, or a spot with a look at a time; the day's camera, frames and weather.
Out: lines in words with their figures, for a terminal, sheets and `--json`.
"""
