"""Parts of the phone page: what is going on at each moment, pictures within a page.

In: a plan with the rows that its lines have in the page; a picture as SVG.
Out: steps, as the page's script reads them; an element of the page.
"""
