"""An order tried on the page of the day: what it is worth, the best with what it asks, its price.

In: the order on the page or the saved plan, and decisions as the page words them.
Out: arrangements with their prices, as plain data; decisions kept and plans saved.
"""
