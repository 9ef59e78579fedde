"""One problem as whole numbers: no words of the day, no clock.

In: what `build` has tabulated, and changes that a decision asks for.
Out: `Problem`, and `Tables` as compiled functions want them.
"""
