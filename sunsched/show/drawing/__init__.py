"""What pictures are drawn with: figures, lettering, labels, keys, time axes.

In: facts and a shape of paper.
Out: marks on a matplotlib `Figure`, none over another.
"""
