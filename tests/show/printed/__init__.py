"""The printed pages of a plan and its workbook: nothing covers anything, and all fits its page."""
