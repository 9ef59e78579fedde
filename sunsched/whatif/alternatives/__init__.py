"""Other plans that an assistant director would call different, and how far each is away.

In: a day that is solved, or planned for the average day.
Out: the best plan with a trait that none given before it has, again and again, with its price.
"""
