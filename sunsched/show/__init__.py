"""What people see. Here: what every form shares, lines, notes and paper sizes.

In: plans, prices, comparisons, as data.
Out: text, records, pictures, sheets and handouts; nothing is printed here.
"""
