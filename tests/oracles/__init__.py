"""Outside opinions on the best order of a day: general solvers given the problem's tables alone."""
