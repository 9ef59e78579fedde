"""Blank rows put into a sheet of a workbook: what looks at the rows below moves with them.

In: the bytes of a workbook, and the lines before which rows come in.
Out: the bytes with them, or what stands in the workbook that cannot be moved along.
"""
