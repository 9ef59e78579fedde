"""The best order of a day, proven: from a `DayFit` to an answer with a bound.

In: a day, posed as whole numbers (`build`, `build_rest`).
Out: an `Answer`; or why no plan exists (`conflict`, `feasibility`).
"""
