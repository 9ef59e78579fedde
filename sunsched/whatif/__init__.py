"""What if: other orders, prices, the rest of the day, overruns.

In: a day solved once (`solved`), and what somebody wants.
Out: what it costs, shot by shot, as data; `show` has the words.
"""
