"""What a decision costs: pins, meals, releases, rules, half-hours, wraps.

In: a demand about a solved day.
Out: the best plan that obeys it and its price, or why none does.
"""
