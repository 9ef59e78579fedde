"""What commands write beside their text.

In: what was typed for a picture and its paper; plans.
Out: the shape of a picture, and the pictures of two orders.
"""
