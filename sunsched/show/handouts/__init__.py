"""An argument on paper: a comparison or a price, to be handed out.

In: what was compared or priced.
Out: the bytes of a file of the kind that its ending asks for.
"""
