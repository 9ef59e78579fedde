"""The desk: its guard, its answers, and its pages in a real browser."""
